/**
 * Notices when a browser has cleared the tablet's store with unsent work in it, and says so. The number of unsent
 * entries stands in a cookie as well, since stores are cleared together and cookies apart from them.
 */

import { on } from "./bus.js";
import { el } from "./elements.js";
import { _, ngettext } from "./gettext.js";
import { button } from "./pieces.js";
import { storeWasMade } from "./store.js";
import { syncStatus } from "./sync.js";

const YEAR = 365 * 24 * 3600;
const UNSENT = "lampwalk_unsent";
const LOST = "lampwalk_lost"; // until somebody has seen it, through any number of reloads

/** Watch, from before the store is first read. */
export function watchForWiping() {
  if (storeWasMade()) lose();
  else show();
  on("store-made", lose);
  on("status", () => {
    const { events, photos } = syncStatus();
    note(UNSENT, events + photos);
  });
}

/** @param {string} name @returns {number} */
function noted(name) {
  return Number(new RegExp(`(?:^|; )${name}=(\\d+)`).exec(document.cookie)?.[1] ?? 0);
}

/** @param {string} name @param {number} entries */
function note(name, entries) {
  if (entries === noted(name)) return;
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `${name}=${entries}; Path=/; Max-Age=${entries > 0 ? YEAR : 0}; SameSite=Lax${secure}`;
}

/** The store is new: what was unsent in the one before is gone. What the server has comes back by itself. */
function lose() {
  note(LOST, noted(LOST) + noted(UNSENT));
  note(UNSENT, 0);
  show();
}

/** Nothing is said where nothing was lost. */
function show() {
  const lost = noted(LOST);
  if (lost === 0 || document.querySelector("[data-wiped]")) return;
  const seen = button(_("I have seen it"));
  const words = ngettext("This browser has cleared what this tablet kept: %(n)s entry that was not sent is lost; look at the units you worked on and enter what is missing.",
    "This browser has cleared what this tablet kept: %(n)s entries that were not sent are lost; look at the units you worked on and enter what is missing.", lost);
  const said = el("div", { class: "says newer stack", "data-tone": "wrong", "data-wiped": "", role: "alert" }, el("p", {}, words), seen);
  seen.addEventListener("click", () => {
    said.remove();
    note(LOST, 0);
  });
  document.body.append(said);
}
