/** The sign-in page: pick a name, tap or type a PIN. */

import { ApiError, ask } from "../../client/api.js";
import { _ } from "../../client/gettext.js";
import { remember } from "../../client/identity.js";
import { mountKeys } from "../../client/pin_keys.js";

const form = /** @type {HTMLFormElement} */ (document.getElementById("sign-in"));
const person = /** @type {HTMLInputElement} */ (form.elements.namedItem("person"));
const pin = /** @type {HTMLInputElement} */ (form.elements.namedItem("pin"));
const next = /** @type {HTMLInputElement} */ (form.elements.namedItem("next"));
const dots = /** @type {HTMLElement} */ (form.querySelector("[data-dots]"));
const title = /** @type {HTMLElement} */ (document.getElementById("pin-of"));
const names = /** @type {HTMLButtonElement[]} */ ([...form.querySelectorAll("[data-person]")]);

/** @param {HTMLButtonElement} chosen */
function choose(chosen) {
  for (const name of names) name.setAttribute("aria-pressed", String(name === chosen));
  person.value = chosen.dataset.person ?? "";
  title.textContent = _("PIN of %(name)s", { name: chosen.firstChild?.textContent ?? "" });
  empty();
  pin.focus();
}

function empty() {
  pin.value = "";
  show();
}

function show() {
  dots.replaceChildren(...[...pin.value].map(() => Object.assign(document.createElement("span"), { textContent: "•" })));
}

for (const name of names) name.addEventListener("click", () => choose(name));
mountKeys(form, pin, show);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (person.value === "" || pin.value === "") title.textContent = person.value === "" ? _("Pick your name first") : _("Type your PIN");
  else void signIn();
});

/** Sign in and let this tablet know who it is, so that nothing kept from now on carries another name. */
async function signIn() {
  try {
    const { data } = await ask("/sign-in", { method: "POST", json: { person: person.value, pin: pin.value } });
    await remember(data, pin.value).catch(() => undefined); // without a store the pages still work online
    location.assign(next.value || "/");
  } catch (fault) {
    say(fault instanceof ApiError ? fault.message : _("Signing in did not work; try again."));
    empty();
  }
}

/** @param {string} sentence */
function say(sentence) {
  const said = form.querySelector("[role=alert]") ?? Object.assign(document.createElement("p"), { className: "says" });
  said.setAttribute("role", "alert");
  said.setAttribute("data-tone", "wrong");
  said.textContent = sentence;
  title.after(said);
}

const before = names.find((name) => name.getAttribute("aria-pressed") === "true") ?? (names.length === 1 ? names[0] : undefined);
if (before) choose(before);
