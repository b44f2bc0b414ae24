/** Where the tags of a crowded drawing stand, so that each that is shown can be read. */

/**
 * @typedef {{id: string, tag: string, x: number | null, y: number | null, undecided: boolean}} Mark
 * @typedef {{left: number, right: number, top: number, bottom: number}} Box
 * @typedef {"right" | "left"} Side
 */

/**
 * The side of its ring on which each tag stands; a tag without room on either is left out, for a tap on its ring tells
 * it. The chosen ring's comes first, then those that keep the unit from its signature: only these may lie on a ring.
 *
 * @param {Mark[]} marks @param {{r: number, width: number, lit: string | null}} drawing ring and view in the drawing's units
 * @returns {Map<string, Side>}
 */
export function sides(marks, { r, width, lit }) {
  const weight = (/** @type {Mark} */ mark) => (mark.id === lit ? 2 : mark.undecided ? 1 : 0);
  /** @type {Map<string, Side>} */
  const found = new Map();
  /** @type {Box[]} */
  const taken = [];
  const rings = marks.map(({ id, x, y }) => ({ id, ...ringBox((x ?? 0) / 10, (y ?? 0) / 10, r) }));
  for (const mark of [...marks].sort((a, b) => weight(b) - weight(a))) {
    const x = (mark.x ?? 0) / 10, y = (mark.y ?? 0) / 10;
    /** @type {Side[]} */
    const tried = x > width * 0.92 ? ["left"] : ["right", "left"];
    const free = tried.filter((one) => taken.every((box) => !meet(box, boxOf(mark.tag, x, y, r, one))));
    const clear = free.find((one) => rings.every((ring) => ring.id === mark.id || !meet(ring, boxOf(mark.tag, x, y, r, one))));
    const side = clear ?? (weight(mark) > 0 ? free[0] : undefined) ?? (mark.id === lit ? tried[0] : undefined);
    if (!side) continue;
    taken.push(boxOf(mark.tag, x, y, r, side));
    found.set(mark.id, side);
  }
  return found;
}

/** About what a tag of that size covers: ring.js draws it so. @param {string} tag @param {number} x @param {number} y @param {number} r @param {Side} side @returns {Box} */
function boxOf(tag, x, y, r, side) {
  const long = tag.length * 0.92 * r;
  const near = x + (side === "left" ? -1.25 : 1.25) * r;
  const [left, right] = side === "left" ? [near - long, near] : [near, near + long];
  return { left, right, top: y - 1.95 * r, bottom: y - 0.4 * r };
}

/** What a ring covers, less its corners. @param {number} x @param {number} y @param {number} r @returns {Box} */
function ringBox(x, y, r) {
  return { left: x - 0.85 * r, right: x + 0.85 * r, top: y - 0.85 * r, bottom: y + 0.85 * r };
}

/** @param {Box} a @param {Box} b */
function meet(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
