/**
 * Signing in over the work: when the server no longer knows us, a sheet is laid over the page and nothing below it is
 * lost. What waits keeps the author it had.
 *
 * Talks to `GET /sign-in/names` ({people: [{person, name}]}) and `POST /sign-in` ({person, pin}, answered as /me).
 */

import { ApiError, ask } from "./api.js";
import { on } from "./bus.js";
import { authors, remember, whoAmI } from "./identity.js";
import { el } from "./elements.js";
import { syncStatus } from "./sync.js";

/** @typedef {{person: string, name: string}} Person */

/**
 * Open the panel by itself whenever it is needed.
 * @returns {() => void} stops doing so
 */
export function mountSignIn() {
  return on("signin-needed", () => void openSignIn());
}

/** @type {HTMLDialogElement | null} */
let open = null;

/**
 * Ask for a name and a PIN. Opening it twice gives the one that is open.
 * @returns {Promise<HTMLDialogElement>}
 */
export async function openSignIn() {
  if (open) return open;
  const dialog = /** @type {HTMLDialogElement} */ (el("dialog", { class: "dialog", "aria-labelledby": "sign-in-head" }));
  open = dialog;
  dialog.addEventListener("close", () => {
    open = null;
    dialog.remove();
  });
  const { events, photos } = syncStatus();
  dialog.append(head(dialog), await form(dialog, events + photos));
  document.body.append(dialog);
  dialog.showModal();
  dialog.querySelector("input")?.focus();
  return dialog;
}

/** @param {HTMLDialogElement} dialog */
function head(dialog) {
  const later = el("button", { type: "button", class: "btn btn-word" }, "Later");
  later.addEventListener("click", () => dialog.close());
  return el("div", { class: "dialog-head" }, el("h2", { id: "sign-in-head" }, "Sign in to send"), later);
}

/**
 * @param {HTMLDialogElement} dialog
 * @param {number} waiting
 */
async function form(dialog, waiting) {
  const me = await whoAmI();
  const people = await names(me);
  const who = el("select", { class: "input", id: "sign-in-who", name: "person" }, ...people.map((p) => option(p, me?.person)));
  const pin = el("input", { class: "input input-short", id: "sign-in-pin", name: "pin", type: "password", inputmode: "numeric", autocomplete: "off",
    maxlength: "8", "aria-describedby": "sign-in-fault" });
  const fault = el("p", { class: "fault", id: "sign-in-fault", role: "alert" });
  const send = el("button", { type: "submit", class: "btn btn-main" }, "Sign in");
  const body = el("div", { class: "dialog-body" }, el("p", {}, keptWords(waiting)), field("sign-in-who", "Name", who), field("sign-in-pin", "PIN", pin), fault);
  const sheet = el("form", { novalidate: "" }, body, el("div", { class: "dialog-foot" }, send));
  sheet.addEventListener("submit", (event) => {
    event.preventDefault();
    void submit(dialog, /** @type {HTMLSelectElement} */ (who).value, /** @type {HTMLInputElement} */ (pin), fault, send);
  });
  return sheet;
}

/** @param {number} waiting */
function keptWords(waiting) {
  if (waiting === 0) return "Nothing is waiting on this tablet.";
  const [what, keeps] = waiting === 1 ? ["entry is", "keeps its author"] : ["entries are", "keep their authors"];
  return `${waiting} ${what} kept on this tablet and ${keeps}, whoever signs in.`;
}

/**
 * @param {HTMLDialogElement} dialog
 * @param {string} person
 * @param {HTMLInputElement} pin
 * @param {HTMLElement} fault
 * @param {HTMLElement} button
 */
async function submit(dialog, person, pin, fault, button) {
  if (!/^\d{4,8}$/.test(pin.value)) {
    fault.textContent = "The PIN has 4 to 8 digits.";
    pin.focus();
    return;
  }
  button.setAttribute("disabled", "");
  try {
    const { data } = await ask("/sign-in", { method: "POST", json: { person, pin: pin.value } });
    await remember(data);
    dialog.close();
  } catch (problem) {
    fault.textContent = problem instanceof Error ? problem.message : "Signing in failed; try again.";
    pin.value = "";
    pin.focus();
  } finally {
    button.removeAttribute("disabled");
  }
}

/**
 * Everyone who may sign in; when the server does not say, those this tablet has seen.
 * @param {Person | null} me
 * @returns {Promise<Person[]>}
 */
async function names(me) {
  try {
    const { data } = await ask("/sign-in/names", { timeout: 5000 });
    return data.people;
  } catch (problem) {
    if (!(problem instanceof ApiError)) throw problem;
    const seen = [...(me ? [me] : []), ...Object.values(await authors())];
    return [...new Map(seen.map(({ person, name }) => [person, { person, name }])).values()];
  }
}

/**
 * @param {Person} person
 * @param {string | undefined} chosen
 */
function option({ person, name }, chosen) {
  const item = el("option", { value: person }, name);
  if (person === chosen) item.setAttribute("selected", "");
  return item;
}

/**
 * @param {string} id
 * @param {string} label
 * @param {HTMLElement} input
 */
function field(id, label, input) {
  return el("div", { class: "field" }, el("label", { for: id }, label), input);
}
