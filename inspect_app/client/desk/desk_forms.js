/**
 * Forms of pages at a desk, which go to the server as the browser sends them: before one goes, it is made sure that the
 * server answers and knows us. Else the browser would put a page of its own, or the sign-in, in place of what was typed.
 */

import { ApiError, ask } from "../api.js";
import { on } from "../bus.js";
import { el } from "../elements.js";
import { _ } from "../gettext.js";
import { outOfReach, recognised, signedOut } from "../sync.js";

const LATELY = 2000; // ms: an answer as fresh as this is taken for the next one
const PATIENCE = 6000; // ms to wait for an answer before the form is said to stay

let answered = -Infinity;
let stale = false; // the forms carry the token of a session that has ended
/** @type {HTMLFormElement | null} asked for at this moment: a second press changes nothing */
let asking = null;
/** @type {HTMLFormElement | null} on its way by our own hand */
let going = null;
const PAGE = 10_000; // ms in which a page makes way for the answer to a form
/** When each form went to the server. @type {WeakMap<HTMLFormElement, number>} */
const went = new WeakMap();
/** @type {Map<HTMLFormElement, HTMLElement>} kept from going, with what is said beside them */
const held = new Map();

/**
 * Whether the server was just found to answer and to know us.
 * @param {boolean} knows
 */
export function heard(knows) {
  answered = knows ? performance.now() : -Infinity;
  if (!knows) return;
  for (const [form, line] of held) if (form !== asking) line.textContent = _("The server answers again; press once more to send what stands here.");
}

/** Hold what is sent while the server is away, and warn before a page is left with it. */
export function guardForms() {
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    const submitter = /** @type {HTMLElement | null} */ (event.submitter);
    if (event.defaultPrevented || form.getAttribute("method") !== "post") return; // .method may be a field of that name
    if (performance.now() - (went.get(form) ?? -Infinity) < PAGE) return event.preventDefault(); // the second tap of two
    if (form === going || (!stale && navigator.onLine && performance.now() - answered < LATELY)) return leave(form);
    event.preventDefault();
    if (asking === null) void send(form, submitter);
  });
  on("signin-needed", () => {
    stale = true;
  });
  addEventListener("pageshow", noneWent); // back on a page that the browser had kept
  addEventListener("beforeunload", (event) => {
    if (held.size > 0) event.preventDefault();
    setTimeout(() => event.defaultPrevented && noneWent()); // whoever was asked may have stayed
  });
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLElement | null} submitter
 */
async function send(form, submitter) {
  asking = form;
  form.setAttribute("aria-busy", "true");
  const fault = await unanswered();
  asking = null;
  form.removeAttribute("aria-busy");
  if (fault) return hold(form, submitter, fault);
  going = form;
  form.requestSubmit(submitter);
  going = null;
}

/** What keeps a form from going, or nothing. @returns {Promise<string>} one sentence */
async function unanswered() {
  try {
    await ask("/me", { timeout: PATIENCE });
    heard(true);
    recognised();
    if (stale) await freshen();
    return "";
  } catch (fault) {
    if (!(fault instanceof ApiError)) throw fault;
    if (fault.status === 401) {
      await signedOut(fault);
      return _("You are no longer signed in, and nothing was sent. What you typed stays here: sign in and press once more.");
    }
    if (!fault.away) return ""; // it answers, and says by itself what is wrong
    await outOfReach(fault);
    return _("The server does not answer, and nothing was sent. What you typed stays here: press once more when it is back.");
  }
}

/** Give the forms the token of the session that has begun since. */
async function freshen() {
  const answer = await fetch("/sign-out", { headers: { Accept: "text/html" }, redirect: "manual", cache: "no-store" }).catch(() => null);
  const named = "input[name=csrf_token]";
  const page = new DOMParser().parseFromString((await answer?.text()) ?? "", "text/html");
  const token = /** @type {HTMLInputElement | null} */ (page.querySelector(named))?.value;
  if (!token) return; // the server then says that the page has grown old
  for (const field of document.querySelectorAll(named)) /** @type {HTMLInputElement} */ (field).value = token;
  stale = false;
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLElement | null} submitter
 * @param {string} sentence
 */
function hold(form, submitter, sentence) {
  release(form);
  const line = el("p", { class: "says", "data-tone": "wrong", role: "alert" }, sentence);
  const row = submitter?.closest("form > *");
  (row && form.contains(row) ? row : form.lastElementChild)?.after(line);
  line.scrollIntoView({ block: "nearest" });
  held.set(form, line);
}

function noneWent() {
  for (const form of document.forms) went.delete(form);
}

/** @param {HTMLFormElement} form */
function leave(form) {
  went.set(form, performance.now());
  release(form);
}

/** @param {HTMLFormElement} form */
function release(form) {
  held.get(form)?.remove();
  held.delete(form);
}
