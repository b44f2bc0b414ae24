/**
 * Signing in over the work: when the server no longer knows us, a sheet is laid over the page and nothing below it is
 * lost. What waits keeps the author it had.
 *
 * Talks to `GET /sign-in/names` ({people: [{person, name}]}) and `POST /sign-in` ({person, pin}, answered as /me).
 */

import { ApiError, ask } from "./api.js";
import { on } from "./bus.js";
import { dialogBody, dialogFoot, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { authors, remember, whoAmI } from "./identity.js";
import { syncStatus } from "./sync.js";

/** @typedef {{person: string, name: string}} Person */

/**
 * Open the panel by itself whenever it is needed.
 * @returns {() => void} stops doing so
 */
export function mountSignIn() {
  return on("signin-needed", () => void openSignIn());
}

/** @type {Promise<HTMLDialogElement> | null} */
let opened = null;

/**
 * Ask for a name and a PIN. Opening it twice gives the one that is open.
 * @returns {Promise<HTMLDialogElement>}
 */
export function openSignIn() {
  opened ??= lay().catch((fault) => {
    opened = null;
    throw fault;
  });
  return opened;
}

async function lay() {
  const { events, photos } = syncStatus();
  const sheet = await form(events + photos, () => dialog.close());
  const dialog = openDialog(events + photos > 0 ? "Sign in to send" : "Sign in", [sheet], { close: "Later" });
  const signedIn = on("identity", (detail) => void (detail?.person && dialog.close())); // perhaps in another tab
  dialog.addEventListener("close", () => {
    opened = null;
    signedIn();
  });
  dialog.querySelector("input")?.focus();
  return dialog;
}

/**
 * @param {number} waiting
 * @param {() => void} done
 */
async function form(waiting, done) {
  const me = await whoAmI();
  const people = await names(me);
  const who = el("select", { class: "input", id: "sign-in-who", name: "person" }, ...people.map((p) => option(p, me?.person)));
  const pin = el("input", { class: "input input-short", id: "sign-in-pin", name: "pin", type: "password", inputmode: "numeric", autocomplete: "off",
    maxlength: "8", "aria-describedby": "sign-in-fault" });
  const fault = el("p", { class: "fault", id: "sign-in-fault", role: "alert" });
  const send = el("button", { type: "submit", class: "btn btn-main" }, "Sign in");
  const body = dialogBody(el("p", {}, keptWords(waiting)), field("sign-in-who", "Name", who), field("sign-in-pin", "PIN", pin), fault);
  const sheet = el("form", { novalidate: "" }, body, dialogFoot(send));
  sheet.addEventListener("submit", (event) => {
    event.preventDefault();
    void submit(done, /** @type {HTMLSelectElement} */ (who).value, /** @type {HTMLInputElement} */ (pin), fault, send);
  });
  return sheet;
}

/** @param {number} waiting */
function keptWords(waiting) {
  if (waiting === 0) return "The server no longer knows who is here. What is on this page stays; sign in to go on.";
  const [what, keeps] = waiting === 1 ? ["entry is", "keeps its author"] : ["entries are", "keep their authors"];
  return `${waiting} ${what} kept on this tablet and ${keeps}, whoever signs in.`;
}

/**
 * @param {() => void} done
 * @param {string} person
 * @param {HTMLInputElement} pin
 * @param {HTMLElement} fault
 * @param {HTMLElement} button
 */
async function submit(done, person, pin, fault, button) {
  if (!/^\d{4,8}$/.test(pin.value)) {
    fault.textContent = "The PIN has 4 to 8 digits.";
    pin.focus();
    return;
  }
  button.setAttribute("disabled", "");
  try {
    const { data } = await ask("/sign-in", { method: "POST", json: { person, pin: pin.value } });
    await remember(data);
    done();
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
