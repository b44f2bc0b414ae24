/** Keeping the screen awake where the browser can; one lets go of it whenever the page is hidden, so it is taken again. */

let wanted = false;
let asking = false;
let heard = false;

/** @type {WakeLockSentinel | null} */
let held = null;

/** @param {boolean} awake whether the screen is to stay on from now */
export function stayAwake(awake) {
  wanted = awake;
  if (!heard) document.addEventListener("visibilitychange", () => void settle());
  heard = true;
  void settle();
}

/** Take it or give it back, as is wanted now. Refused (a low battery, plain http): the screen goes dark as ever. */
async function settle() {
  if (!wanted) {
    void held?.release();
    held = null;
    return;
  }
  if (asking || document.hidden || (held && !held.released) || !("wakeLock" in navigator)) return;
  asking = true;
  held = await navigator.wakeLock.request("screen").catch(() => null);
  asking = false;
  if (!wanted) void settle();
}
