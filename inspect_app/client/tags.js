/**
 * Tags: the short name written beside a wax ring, the tablet's letters and a number that starts at 1 for each unit.
 *
 * Two tablets never share letters, so a tablet can go on counting while the server is away.
 */

/** @typedef {import("./types.js").Row} Row */
/** @typedef {import("./types.js").KeptEvent} KeptEvent */

/**
 * The number of a tag with these letters; 0 for any other tag.
 * @param {unknown} tag
 * @param {string} letters
 * @returns {number}
 */
export function numberOf(tag, letters) {
  if (typeof tag !== "string" || !tag.startsWith(letters)) return 0;
  const rest = tag.slice(letters.length);
  return /^[1-9]\d*$/.test(rest) ? Number(rest) : 0;
}

/**
 * The next free tag of this tablet on a unit. Numbers once used stay used, also of withdrawn and refused markers: the
 * wax may still be on the van.
 * @param {string} unit
 * @param {string} letters
 * @param {Row[]} markers of this unit at least
 * @param {KeptEvent[]} [events] kept here and not in `markers`: waiting, flagged, refused
 * @returns {string} e.g. "B8"
 */
export function nextTag(unit, letters, markers, events = []) {
  const known = markers.filter((marker) => marker.unit === unit).map((marker) => marker.tag);
  const kept = events.filter((event) => event.type === "marker_made" && event.stream === `unit:${unit}`).map((event) => event.body.tag);
  return letters + (1 + Math.max(0, ...[...known, ...kept].map((tag) => numberOf(tag, letters))));
}

/** Tags are given out here at once: two fast taps must not get the same one, whatever has been stored meanwhile. */
export class Tags {
  constructor() {
    this.last = 0;
  }

  /** @param {string} next what the store says is free, e.g. "B8" @returns {string} */
  peek(next) {
    const letters = next.replace(/\d+$/, "");
    return letters + Math.max(Number(next.slice(letters.length)) || 1, this.last + 1);
  }

  /** @param {string} next @returns {string} */
  take(next) {
    const tag = this.peek(next);
    this.last = Number(tag.replace(/^\D+/, ""));
    return tag;
  }
}
