/**
 * What one tablet keeps about itself: on which side the kinds stand, large type, what is felt and heard when a marker is
 * kept. Large type is in a cookie, so that the server writes it into the page and nothing jumps; the rest is in the
 * browser's small store. Without that (some browsers shut it) everything is as usual until the page is left.
 *
 * @typedef {"away" | "left" | "right"} Side  away: on the side that the finger is not on
 * @typedef {{kinds: Side, buzz: boolean, sound: boolean}} Wishes
 */

const PLACE = "lampwalk-this-tablet";
const YEAR = 365 * 24 * 3600;

/** @type {Wishes | null} */
let wishes = null;

/** Whether this browser can make the tablet buzz. */
export const canBuzz = () => typeof navigator.vibrate === "function";

/** @returns {Wishes} */
function usual() {
  return { kinds: "away", buzz: canBuzz() && !matchMedia("(prefers-reduced-motion: reduce)").matches, sound: false };
}

/** @returns {Wishes} */
export function thisTablet() {
  wishes ??= { ...usual(), ...kept() };
  return wishes;
}

/** @returns {Partial<Wishes>} */
function kept() {
  try {
    const { kinds, buzz, sound } = JSON.parse(localStorage.getItem(PLACE) ?? "{}") ?? {};
    const said = { kinds: ["away", "left", "right"].includes(kinds) ? kinds : undefined, buzz: flag(buzz), sound: flag(sound) };
    return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined));
  } catch {
    return {}; // no store, or nothing that can be read: as usual
  }
}

/** @param {unknown} value */
function flag(value) {
  return typeof value === "boolean" ? value : undefined;
}

/** @param {Partial<Wishes>} change @returns {boolean} whether it outlives the page */
export function wish(change) {
  wishes = { ...thisTablet(), ...change };
  try {
    localStorage.setItem(PLACE, JSON.stringify(wishes));
    return true;
  } catch {
    return false;
  }
}

/** Is the type large on this page? */
export const typeIsLarge = () => document.documentElement.dataset.type === "large";

/** @param {boolean} large */
export function setLargeType(large) {
  showType(large);
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `type=${large ? "large" : ""}; Path=/; Max-Age=${large ? YEAR : 0}; SameSite=Lax${secure}`;
}

/** @param {boolean} large */
function showType(large) {
  if (large) document.documentElement.dataset.type = "large";
  else delete document.documentElement.dataset.type;
}

/** A page that the tablet keeps was made for nobody: what is wished is in the cookie. */
export function takeUpType() {
  showType(/(?:^|; )type=large(?:;|$)/.test(document.cookie));
}
