/**
 * Keeps a page of the server true while it is open: when something changed, the page is read again and every part marked
 * `data-live` is put anew. Signature, PIN and what is being typed stay.
 */

import { ApiError, ask } from "../../client/api.js";
import { _ } from "../../client/gettext.js";
import { layMarks } from "../../client/photo_marks.js";
import { recognised, signedOut } from "../../client/sync.js";

const EVERY = 4000; // ms
layMarks(document);
const TYPED = "textarea[id], select[id], input[id]:not([type='file'])";

/** Readings of the page: how many were begun, and the latest of those that are on show. */
const readings = { begun: 0, shown: 0 };

/**
 * Read the page again and put its live parts. Of two readings at a time the one begun later stays, whichever comes first.
 * @returns {Promise<void>}
 * @throws {ApiError}
 */
export async function refreshParts() {
  const reading = (readings.begun += 1);
  const response = await fetch(location.pathname + location.search, { headers: { Accept: "text/html" }, redirect: "manual", cache: "no-store" })
    .catch(() => null);
  if (!response) throw new ApiError("away", _("The server is out of reach; nothing was lost. Try again when it is back."));
  if (response.type === "opaqueredirect") {
    throw new ApiError("http", _("You are no longer signed in; sign in to go on."), { status: 401 });
  }
  if (!response.ok) throw new ApiError("http", _("The page could not be read again; reload it."), { status: response.status });
  const fresh = new DOMParser().parseFromString(await response.text(), "text/html");
  if (reading < readings.shown) return;
  readings.shown = reading;
  for (const part of document.querySelectorAll("[data-live]")) {
    const anew = fresh.querySelector(`[data-live="${/** @type {HTMLElement} */ (part).dataset.live}"]`);
    if (anew) swap(/** @type {HTMLElement} */ (part), document.importNode(/** @type {HTMLElement} */ (anew), true));
  }
}

/**
 * @param {HTMLElement} old
 * @param {HTMLElement} anew
 */
function swap(old, anew) {
  const focused = document.activeElement;
  const held = focused !== null && old.contains(focused);
  const key = held ? /** @type {Element | null} */ (focused.closest("[id]"))?.id ?? "" : "";
  const caret = focused instanceof HTMLTextAreaElement ? focused.selectionStart : null;
  const opened = [...old.querySelectorAll("details")].map((fold) => fold.open);
  for (const field of /** @type {NodeListOf<HTMLInputElement>} */ (old.querySelectorAll(TYPED))) {
    const next = /** @type {HTMLInputElement | null} */ (anew.querySelector(`#${CSS.escape(field.id)}`));
    if (next) next.value = field.value;
  }
  for (const [i, fold] of [...anew.querySelectorAll("details")].entries()) fold.open = opened[i] ?? fold.open;
  old.replaceWith(anew);
  layMarks(anew);
  if (!held) return;
  const again = document.getElementById(key) ?? anew;
  if (!again.matches("button, a, input, textarea, summary")) again.tabIndex = -1; // whoever pressed a button that is gone stays where it was
  again.focus({ preventScroll: true });
  if (caret !== null && again instanceof HTMLTextAreaElement) again.setSelectionRange(caret, caret);
}

/**
 * Ask every few seconds whether something changed, while the page can be seen.
 * @param {string} path of a JSON route that tells the present state
 * @param {any} shown the state that the page shows already
 * @param {(now: any) => Promise<void>} changed called when the answer is another than before
 * @param {(away: boolean) => void} [reached] called when the server goes out of reach and when it is back
 * @returns {{look: () => Promise<void>, saw: (now: any) => void}} `saw` notes an answer got elsewhere
 */
export function watchServer(path, shown, changed, reached = () => undefined) {
  let last = JSON.stringify(shown);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const look = async () => {
    clearTimeout(timer);
    try {
      const { data } = await ask(path);
      const told = JSON.stringify(data);
      const other = told !== last;
      reached(false);
      recognised();
      if (other) await changed(data);
      last = told; // once it is on show: what could not be read is asked for again
    } catch (fault) {
      if (!(fault instanceof ApiError)) throw fault;
      if (fault.status === 401) void signedOut(fault);
      if (fault.passing) reached(true);
    }
    if (!document.hidden) timer = setTimeout(() => void look(), EVERY);
  };
  document.addEventListener("visibilitychange", () => (document.hidden ? clearTimeout(timer) : void look()));
  void look();
  return { look, saw: (now) => void (last = JSON.stringify(now)) };
}
