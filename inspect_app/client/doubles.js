/**
 * Marks of two people that may be one flaw: of one group of kinds, within 30 mm of each other on one view. They are
 * offered, never joined by themselves. What one person marked side by side is two flaws: they saw both.
 */

/** @typedef {import("./types.js").Row} Row */
/** @typedef {{double: Row, into: Row, apart: number}} Double  the later mark, the earlier one, whole mm between them */

const NEAR = 300; // tenths of mm
const FINE = 300; // who was further off than this may have meant anything around

/**
 * The pairs on one unit, nearest first; each later mark once, with the earlier one that is nearest to it.
 * @param {Row[]} markers all of the unit
 * @param {Record<string, {group: string}>} kinds of the catalogue
 * @param {Set<string>} [different] pairs somebody called two flaws, see pairOf
 * @returns {Double[]}
 */
export function doublesOf(markers, kinds, different = new Set()) {
  const placed = markers.filter((row) => row.state === "open" && row.x !== null && row.y !== null && (row.spread ?? 0) <= FINE);
  const inOrder = placed.sort((a, b) => a.made_at - b.made_at || (a.id < b.id ? -1 : 1));
  /** @type {Double[]} */
  const found = [];
  inOrder.forEach((double, at) => {
    const near = inOrder
      .slice(0, at)
      .filter((into) => into.made_by !== double.made_by && into.view === double.view && groupOf(into, kinds) === groupOf(double, kinds))
      .map((into) => ({ double, into, apart: Math.hypot(into.x - double.x, into.y - double.y) }))
      .filter((pair) => pair.apart <= NEAR && !different.has(pairOf(pair)))
      .sort((a, b) => a.apart - b.apart);
    if (near[0]) found.push({ ...near[0], apart: Math.round(near[0].apart / 10) });
  });
  return found.sort((a, b) => a.apart - b.apart);
}

/** What a pair is called where it is remembered. @param {{double: Row, into: Row}} pair */
export function pairOf({ double, into }) {
  return `${into.id} ${double.id}`;
}

/** @param {Row} row @param {Record<string, {group: string}>} kinds */
function groupOf(row, kinds) {
  return kinds[row.kind]?.group ?? row.kind;
}
