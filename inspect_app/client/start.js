/**
 * What every page that writes calls once: wires the moments at which sending is worth a try, and guards leaving where
 * leaving could cost something.
 */

import { ApiError } from "./api.js";
import { on } from "./bus.js";
import { forgetOldScopes } from "./feed.js";
import { refresh, remember } from "./identity.js";
import { install } from "./installed.js";
import { startKeeping } from "./keeping.js";
import { askToPersist } from "./store.js";
import { backInReach, flush, outOfReach, recount, signedOut, syncStatus } from "./sync.js";
import { watchForWiping } from "./wiped.js";

let started = false;

/**
 * Begin sending: now, when the network or the page comes back, after each keep, after a sign-in.
 * @param {{me?: import("./types.js").Me | null}} [options] me: who the page was made for, where it says so; else /me is
 *   asked, and while the server is away whoever signed in last on this tablet is taken
 * @returns {Promise<void>} when the first round is over, well or badly
 */
export async function start({ me = null } = {}) {
  if (started) return;
  started = true;
  watchForWiping();
  addEventListener("online", () => void backInReach());
  addEventListener("pageshow", () => void flush());
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) void flush();
  });
  on("outbox", (change) => void (change?.kept ? recount().then(attempt) : recount()));
  on("identity", () => void flush());
  guardLeaving();
  void askToPersist();
  await forgetOldScopes().catch(() => undefined);
  if (me) await remember(me);
  else await refresh().catch(nobody);
  await flush();
  startKeeping(install);
}

/** Out of reach, or signed out: say so at once, whether anything waits or not. @param {any} fault */
async function nobody(fault) {
  if (fault instanceof ApiError && fault.status === 401) await signedOut(fault);
  else if (fault instanceof ApiError && fault.away) await outOfReach(fault);
}

/** A new item is worth a try, except while nobody is signed in: then the sign-in or the timer goes on. */
function attempt() {
  if (syncStatus().phase !== "signin") void flush();
}

/** Can this page be opened again while the server is away? Only where a service worker holds it. */
function canComeBack() {
  return Boolean(navigator.serviceWorker?.controller);
}

/**
 * A page that cannot be opened again without the server is not left with unsent work unasked. What is kept stays kept in
 * any case.
 */
function guardLeaving() {
  addEventListener("beforeunload", (event) => {
    const { events, photos } = syncStatus();
    if (!canComeBack() && events + photos > 0) event.preventDefault();
  });
}
