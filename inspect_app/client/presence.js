/** Telling the server that this tablet has put a unit down, so that a tablet that sleeps does not hold up its signing. */

import { syncStatus } from "./sync.js";

/**
 * Report when the page is left or hidden. A page that comes back is noticed by its next poll.
 * @param {string} unit
 * @returns {() => void} stops doing so
 */
export function reportLeaving(unit) {
  const left = () => {
    const { events, photos } = syncStatus();
    const body = JSON.stringify({ unit, pending: events + photos });
    // keepalive: the request outlives the page. Nobody waits for the answer; at worst the tablet counts as silent.
    fetch("/presence/left", { method: "POST", keepalive: true, headers: { "Content-Type": "application/json", "X-Lampwalk": "1" }, body }).catch(() => undefined);
  };
  const hidden = () => document.hidden && left();
  addEventListener("pagehide", left);
  document.addEventListener("visibilitychange", hidden);
  return () => {
    removeEventListener("pagehide", left);
    document.removeEventListener("visibilitychange", hidden);
  };
}
