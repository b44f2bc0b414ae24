/**
 * A spot in words, as one would call it across the shop: "420 mm from its front edge, 310 mm up". The same words as
 * trade/outline_words.py, which explains the rule; tests/vectors/where.json runs through both.
 */

import { _, N_ } from "./gettext.js";
import { across, boxOf, down } from "./rings.js";

/** @typedef {import("./rings.js").Ring} Ring */
/** @typedef {{spread: number, step: number, coarse: boolean}} Rounding */
/** @typedef {{distance: number, name: string}} Edge */

/**
 * Names of the low-x, high-x, low-y and high-y edges, by where the nose points.
 * @type {Record<string, [string, string, string, string]>}
 */
const EDGES = {
  left: ["front", "rear", "upper", "lower"],
  right: ["rear", "front", "upper", "lower"],
  front: ["right", "left", "upper", "lower"],
  rear: ["left", "right", "upper", "lower"],
  roof: ["front", "rear", "right", "left"],
};
const FIRST_NAMED = ["front", "left", "lower"];
/** What is said of a spot on an edge. @type {Record<string, string>} */
const AT = {
  front: N_("at its front edge"),
  rear: N_("at its rear edge"),
  left: N_("at its left edge"),
  right: N_("at its right edge"),
  upper: N_("at its upper edge"),
  lower: N_("at its lower edge"),
};
/** And of one away from it. @type {Record<string, string>} */
const AWAY = {
  front: N_("%(size)s from its front edge"),
  rear: N_("%(size)s from its rear edge"),
  left: N_("%(size)s from its left edge"),
  right: N_("%(size)s from its right edge"),
  upper: N_("%(size)s below its upper edge"),
  lower: N_("%(size)s up"),
};

/** @type {Rounding[]} spread in tenths of mm, step in mm */
const ROUNDINGS = [
  { spread: 50, step: 5, coarse: false },
  { spread: 299, step: 10, coarse: false },
  { spread: 999, step: 50, coarse: true },
];
/** @type {Rounding} */
const COARSEST = { spread: Infinity, step: 100, coarse: true };

/**
 * @param {string} label the zone's
 * @param {Ring | null} ring none in list-only views
 * @param {string} side "roof", or where the view's nose points
 * @param {number} x tenths of mm
 * @param {number} y tenths of mm
 * @param {number} spread tenths of mm
 * @returns {string}
 */
export function describe(label, ring, side, x, y, spread) {
  if (!ring) return label;
  const rounding = ROUNDINGS.find((r) => spread <= r.spread) ?? COARSEST;
  const [low, high, upper, lower] = EDGES[side] ?? ["left", "right", "upper", "lower"];
  const box = boxOf(ring);
  const along = nearer(across(ring, y / 10), x / 10, [box.left, box.right], [low, high], rounding);
  const plumb = nearer(down(ring, x / 10), y / 10, [box.top, box.bottom], [upper, lower], rounding);
  const spot = { label, along: said(along, rounding), plumb: said(plumb, rounding) };
  if (!rounding.coarse || (!along.distance && !plumb.distance)) return _("%(label)s, %(along)s, %(plumb)s", spot);
  return along.distance ? _("%(label)s, about %(along)s, %(plumb)s", spot) : _("%(label)s, %(along)s, about %(plumb)s", spot);
}

/**
 * @param {number[]} crossings
 * @param {number} at
 * @param {[number, number]} ends of the box, where one side has no crossing
 * @param {[string, string]} names
 * @param {Rounding} rounding
 * @returns {Edge}
 */
function nearer(crossings, at, ends, names, { step }) {
  const low = Math.max(...crossings.filter((c) => c <= at));
  const high = Math.min(...crossings.filter((c) => c > at));
  const before = Math.max(0, at - (Number.isFinite(low) ? low : ends[0]));
  const after = Math.max(0, (Number.isFinite(high) ? high : ends[1]) - at);
  const first = before < after || (before === after && FIRST_NAMED.includes(names[0]));
  return { distance: Math.floor((first ? before : after) / step + 0.5) * step, name: first ? names[0] : names[1] };
}

/**
 * @param {Edge} edge
 * @param {Rounding} rounding
 */
function said({ distance, name }, { coarse }) {
  if (!distance) return _(String(AT[name]));
  const size = coarse ? _("%(n)s cm", { n: Math.floor(distance / 10) }) : _("%(n)s mm", { n: distance });
  return _(String(AWAY[name]), { size });
}
