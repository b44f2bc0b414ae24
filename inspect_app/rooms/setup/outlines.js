/** Outlines in the setup: what is coloured on a drawing, classes, parts or joints. */

for (const views of document.querySelectorAll(".outline-views")) {
  const buttons = /** @type {HTMLElement[]} */ ([...views.querySelectorAll("[data-outline-show]")]);
  for (const button of buttons) {
    button.addEventListener("click", () => {
      views.setAttribute("data-show", button.dataset.outlineShow ?? "classes");
      for (const one of buttons) one.setAttribute("aria-pressed", String(one === button));
    });
  }
}
