/**
 * Notices when a browser has cleared the tablet's store with unsent work in it, and says so. The number of unsent
 * entries stands in a cookie as well, since stores are cleared together and cookies apart from them.
 */

import { on } from "./bus.js";
import { el } from "./elements.js";
import { count } from "./in_words.js";
import { button } from "./pieces.js";
import { storeWasMade } from "./store.js";
import { syncStatus } from "./sync.js";

const YEAR = 365 * 24 * 3600;
const COOKIE = /(?:^|; )lampwalk_unsent=(\d+)/;

/** Watch, from before the store is first read. */
export function watchForWiping() {
  if (storeWasMade()) tell();
  on("store-made", tell);
  on("status", () => {
    const { events, photos } = syncStatus();
    if (document.querySelector("[data-wiped]") === null) note(events + photos);
  });
}

/** @returns {number} */
function noted() {
  return Number(COOKIE.exec(document.cookie)?.[1] ?? 0);
}

/** @param {number} unsent */
function note(unsent) {
  if (unsent === noted()) return;
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `lampwalk_unsent=${unsent}; Path=/; Max-Age=${unsent > 0 ? YEAR : 0}; SameSite=Lax${secure}`;
}

/** Nothing is said where nothing was lost: what the server has comes back by itself. */
function tell() {
  const lost = noted();
  if (lost === 0 || document.querySelector("[data-wiped]")) return;
  const seen = button("I have seen it");
  const words = `This browser has cleared what this tablet kept: ${count(lost, "entry that was", "entries that were")} not sent ${lost === 1 ? "is" : "are"} lost; look at the units you worked on and enter what is missing.`;
  const said = el("div", { class: "says newer", "data-tone": "wrong", "data-wiped": "", role: "alert" }, el("p", {}, words), seen);
  seen.addEventListener("click", () => {
    said.remove();
    const { events, photos } = syncStatus();
    note(events + photos);
  });
  document.body.append(said);
}
