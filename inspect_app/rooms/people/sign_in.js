/** The sign-in page: pick a name, tap or type a PIN. */

const form = /** @type {HTMLFormElement} */ (document.getElementById("sign-in"));
const person = /** @type {HTMLInputElement} */ (form.elements.namedItem("person"));
const pin = /** @type {HTMLInputElement} */ (form.elements.namedItem("pin"));
const dots = /** @type {HTMLElement} */ (form.querySelector("[data-dots]"));
const title = /** @type {HTMLElement} */ (document.getElementById("pin-of"));
const names = /** @type {HTMLButtonElement[]} */ ([...form.querySelectorAll("[data-person]")]);

/** @param {HTMLButtonElement} chosen */
function choose(chosen) {
  for (const name of names) name.setAttribute("aria-pressed", String(name === chosen));
  person.value = chosen.dataset.person ?? "";
  title.textContent = `PIN of ${chosen.firstChild?.textContent ?? ""}`;
  set("");
  pin.focus();
}

/** @param {string} digits */
function set(digits) {
  pin.value = digits.slice(0, 8);
  show();
}

function show() {
  dots.replaceChildren(...[...pin.value].map(() => Object.assign(document.createElement("span"), { textContent: "•" })));
}

/** @param {string} key */
function press(key) {
  if (key === "erase") set(pin.value.slice(0, -1));
  else if (key === "clear") set("");
  else set(pin.value + key);
}

for (const name of names) name.addEventListener("click", () => choose(name));
for (const key of /** @type {NodeListOf<HTMLButtonElement>} */ (form.querySelectorAll("[data-key]"))) {
  key.addEventListener("click", () => press(key.dataset.key ?? ""));
}
pin.addEventListener("input", show);
form.addEventListener("submit", (event) => {
  if (person.value !== "" && pin.value !== "") return;
  event.preventDefault();
  title.textContent = person.value === "" ? "Pick your name first" : "Type your PIN";
});
const before = names.find((name) => name.getAttribute("aria-pressed") === "true") ?? (names.length === 1 ? names[0] : undefined);
if (before) choose(before);
