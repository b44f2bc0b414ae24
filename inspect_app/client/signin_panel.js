/**
 * Signing in over the work: when the server no longer knows us, a sheet is laid over the page and nothing below it is
 * lost. What waits keeps the author it had.
 *
 * While the server is away it changes who works here among those who signed in on this tablet this shift.
 *
 * Talks to `GET /sign-in/names` ({people: [{person, name}]}) and `POST /sign-in` ({person, pin}, answered as /me).
 */

import { ApiError, ask } from "./api.js";
import { on } from "./bus.js";
import { dialogBody, dialogFoot, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { _, ngettext } from "./gettext.js";
import { remember, whoAmI } from "./identity.js";
import { goOn, whoCanGoOn, whyNot } from "./switching.js";
import { syncStatus } from "./sync.js";

/** @typedef {{person: string, name: string}} Person */

/**
 * Open the panel by itself whenever it is needed.
 * @returns {() => void} stops doing so
 */
export function mountSignIn() {
  for (const list of document.querySelectorAll(".more-list")) {
    const button = el("button", { type: "button", "data-change-person": "" }, _("Someone else goes on"));
    button.addEventListener("click", () => {
      list.closest("details")?.removeAttribute("open");
      void openSignIn({ asked: true });
    });
    list.lastElementChild?.before(el("li", {}, button)); // above signing out
  }
  return on("signin-needed", ({ left, message }) => {
    if (left) gone = message;
    void openSignIn();
  });
}

/** Why nothing is kept until somebody signs in: whoever was here has left. */
let gone = "";

/** @type {Promise<HTMLDialogElement> | null} */
let opened = null;

/**
 * Ask for a name and a PIN. Opening it twice gives the one that is open.
 * @param {{asked?: boolean}} [why] asked: by a person who gives the tablet to another
 * @returns {Promise<HTMLDialogElement>}
 */
export function openSignIn({ asked = false } = {}) {
  opened ??= lay(asked).catch((fault) => {
    opened = null;
    throw fault;
  });
  return opened;
}

/** @param {boolean} asked */
async function lay(asked) {
  const { events, photos } = syncStatus();
  const me = await whoAmI();
  if (me) gone = "";
  const sheet = await form(me, events + photos, asked, () => dialog.close());
  const title = asked ? _("Who goes on?") : events + photos > 0 ? _("Sign in to send") : _("Sign in");
  const dialog = openDialog(title, [sheet], { close: asked ? _("Close") : gone ? "" : _("Later") });
  const signedIn = on("identity", (detail) => void (detail?.person && dialog.close())); // perhaps in another tab
  dialog.addEventListener("close", () => {
    opened = null;
    signedIn();
  });
  dialog.querySelector("input")?.focus();
  return dialog;
}

/**
 * @param {import("./types.js").Me | null} me
 * @param {number} waiting
 * @param {boolean} asked
 * @param {() => void} done
 */
async function form(me, waiting, asked, done) {
  const over = (/** @type {boolean} */ byServer) => {
    done();
    // The server made this page for who had the tablet before; with nothing unsent it is simply made anew.
    if (asked && byServer && waiting === 0) location.reload();
  };
  const { people, away } = await names();
  const who = el("select", { class: "input", id: "sign-in-who", name: "person" }, ...people.map((p) => option(p, me?.person)));
  const pin = el("input", { class: "input input-short", id: "sign-in-pin", name: "pin", type: "password", inputmode: "numeric", autocomplete: "off",
    maxlength: "8", "aria-describedby": "sign-in-fault" });
  const fault = el("p", { class: "fault", id: "sign-in-fault", role: "alert" });
  const send = el("button", { type: "submit", class: "btn btn-main" }, _("Sign in"));
  const body = dialogBody(el("p", {}, away ? awayWords(people.length) : gone || keptWords(waiting, asked)), field("sign-in-who", _("Name"), who), field("sign-in-pin", _("PIN"), pin), fault);
  const sheet = el("form", { novalidate: "" }, body, dialogFoot(send));
  sheet.addEventListener("submit", (event) => {
    event.preventDefault();
    void submit(over, /** @type {HTMLSelectElement} */ (who).value, /** @type {HTMLInputElement} */ (pin), fault, send);
  });
  return sheet;
}

/** @param {number} people who could go on without the server */
function awayWords(people) {
  if (people === 0) return whyNot();
  return _("The server is out of reach. Whoever signed in on this tablet this shift goes on with their PIN; what is kept keeps its author.");
}

/**
 * @param {number} waiting
 * @param {boolean} asked
 */
function keptWords(waiting, asked) {
  if (waiting === 0 && asked) return _("What you have done keeps your name.");
  if (waiting === 0) return _("The server no longer knows who is here. What is on this page stays; sign in to go on.");
  return ngettext("%(n)s entry is kept on this tablet and keeps its author, whoever signs in.", "%(n)s entries are kept on this tablet and keep their authors, whoever signs in.", waiting);
}

/**
 * @param {(byServer: boolean) => void} done
 * @param {string} person
 * @param {HTMLInputElement} pin
 * @param {HTMLElement} fault
 * @param {HTMLElement} button
 */
async function submit(done, person, pin, fault, button) {
  if (!/^\d{4,8}$/.test(pin.value)) {
    fault.textContent = _("The PIN has 4 to 8 digits.");
    pin.focus();
    return;
  }
  button.setAttribute("disabled", "");
  try {
    done(await prove(person, pin.value));
  } catch (problem) {
    fault.textContent = problem instanceof Error ? problem.message : _("Signing in failed; try again.");
    pin.value = "";
    pin.focus();
  } finally {
    button.removeAttribute("disabled");
  }
}

/**
 * By the server where it answers, else by what this tablet keeps.
 * @param {string} person
 * @param {string} pin
 * @returns {Promise<boolean>} by the server
 */
async function prove(person, pin) {
  try {
    const { data } = await ask("/sign-in", { method: "POST", json: { person, pin }, timeout: 8000 });
    await remember(data, pin);
    return true;
  } catch (problem) {
    if (!isAway(problem)) throw problem;
    await goOn(person, pin);
    return false;
  }
}

/** @param {any} problem */
function isAway(problem) {
  return problem instanceof ApiError && problem.kind !== "http";
}

/**
 * Everyone who may sign in; while the server is away, whoever can go on without it.
 * @returns {Promise<{people: Person[], away: boolean}>}
 */
async function names() {
  try {
    const { data } = await ask("/sign-in/names", { timeout: 5000 });
    return { people: data.people, away: false };
  } catch (problem) {
    if (!(problem instanceof ApiError)) throw problem;
    return { people: await whoCanGoOn(), away: true };
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
