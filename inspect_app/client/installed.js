/**
 * The app on the tablet: a worker of ours (rooms/offline/worker.js) keeps pages and scripts, so that a reload works
 * without the server. Where there can be none, over plain http, everything else works as well as it can.
 */

import { emit, on } from "./bus.js";
import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { button } from "./pieces.js";
import { syncStatus } from "./sync.js";

const LOOK_AGAIN = 15 * 60_000; // ms between two questions whether there is a newer one
/** @type {ServiceWorkerRegistration | null} */
let installed = null;
let putOff = false;

/** Where the browser has no workers, or the server wants nothing kept (LAMPWALK_PLAIN). */
function none() {
  return !("serviceWorker" in navigator) || !document.documentElement.hasAttribute("data-keeps");
}

/**
 * @returns {"never" | "soon" | "yes"} whether this page can be opened again without the server
 */
export function reloads() {
  if (none()) return "never";
  return navigator.serviceWorker.controller ? "yes" : "soon";
}

/** Is a newer Lampwalk waiting to be used? */
export function newerWaits() {
  return Boolean(installed?.waiting && navigator.serviceWorker.controller);
}

/**
 * Have the app kept. Called when the page has come to rest: keeping it takes the line that a first visit needs itself.
 * @returns {Promise<void>}
 */
export async function install() {
  if (none()) return;
  try {
    installed = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  } catch {
    return; // not now: the next page tries again
  }
  if (!installed) return;
  const { serviceWorker } = navigator;
  serviceWorker.addEventListener("controllerchange", () => emit("app"));
  installed.addEventListener("updatefound", () => watchNew(installed?.installing));
  watchNew(installed.installing);
  on("status", offer);
  offer();
  setInterval(() => void installed?.update().catch(() => undefined), LOOK_AGAIN);
}

/** @param {ServiceWorker | null | undefined} coming */
function watchNew(coming) {
  coming?.addEventListener("statechange", () => {
    offer();
    emit("app");
  });
}

/** A newer one is offered when nothing waits that was made with this one, and never taken by itself. */
function offer() {
  const { events, photos } = syncStatus();
  const shown = document.querySelector(".newer");
  const due = newerWaits() && events + photos === 0 && !putOff;
  if (!due) shown?.remove();
  else if (!shown) document.body.append(bar());
}

function bar() {
  const reload = button(_("Reload"), { class: "btn btn-main" });
  const later = button(_("Later"), { class: "btn btn-word" });
  reload.addEventListener("click", takeOver);
  later.addEventListener("click", () => {
    putOff = true;
    offer();
  });
  return el("div", { class: "says newer stack", role: "status" }, el("p", {}, _("A newer Lampwalk is ready.")), el("div", { class: "row" }, reload, later));
}

function takeOver() {
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  installed?.waiting?.postMessage("take over");
}
