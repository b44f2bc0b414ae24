/**
 * What follows from a marker's spot and kind, before the server has said it: zone, class, joint, words, verdict. The
 * server works out the same by the same rules (journal/resolve/judgement.py).
 *
 * @typedef {import("../outline.js").Outline} Outline
 * @typedef {import("../limits.js").Verdict} Verdict
 * @typedef {Record<string, any>} Found  a marker's row or the body of marker_made
 */

import { tenth } from "../figures.js";
import { _ } from "../gettext.js";
import { allowedSize, gapBound, gapSteps, gapVerdict, limitFor, sizeSteps, sizeWords, verdict } from "../limits.js";

const SNAP = 4000; // tenths of mm, as on the server

/**
 * @param {Outline} outline
 * @param {any} catalogue
 * @returns {(found: Found, others: Found[]) => Record<string, any>} `others`: what else stands on the unit
 */
export function placer(outline, catalogue) {
  return (found, others) => {
    const kind = catalogue.kinds[found.kind];
    const view = outline.views.get(found.view);
    if (!kind || !view) return {};
    const zone = view.listed ? outline.zone(found.zone) : outline.zoneAt(view.id, found.x, found.y);
    if (!zone) return {};
    const joint = kind.snaps && !view.listed ? outline.nearestJoint(view.id, found.x, found.y, SNAP)?.joint : null;
    const spot = view.listed ? zone.label : outline.describe(zone.id, found.x, found.y, found.spread ?? 0);
    const placed = { zone: zone.id, part: zone.part, class: zone.class, joint: joint?.id ?? null, words: joint ? _("%(some)s, %(next)s", { some: joint.label, next: spot }) : spot };
    const alike = others.filter((one) => one.kind === found.kind && one.part === placed.part && one.class === placed.class);
    const said = judge(outline, catalogue, { ...found, ...placed }, alike.reduce((sum, one) => sum + (one.count ?? 1), 0));
    return { ...placed, severity: found.severity ?? kind.severity, origin: found.origin_basis === "judged" ? found.origin : kind.origin_department, verdict: said?.outcome ?? null, limit_text: said?.text ?? "" };
  };
}

/** @param {Outline} outline @param {Found} marker */
export function jointOf(outline, marker) {
  return outline.views.get(marker.view)?.joints.find((joint) => joint.id === marker.joint) ?? null;
}

/**
 * Hold a marker against its limit: a gap against its joint's own, anything else against kind and class.
 * @param {Outline} outline
 * @param {any} catalogue
 * @param {Found} marker
 * @param {number} [others] how many more of its kind stand on its part, in its class
 * @returns {Verdict | null}
 */
export function judge(outline, catalogue, marker, others = 0) {
  const kind = catalogue.kinds[marker.kind];
  if (!kind || !(marker.class in catalogue.classes)) return null;
  const joint = gapJoint(outline, kind, marker);
  if (joint) return gapVerdict(marker.gap ?? null, joint);
  return verdict(catalogue, marker.kind, marker.class, { size: marker.size ?? null, count: marker.count ?? 1, others, raking: Boolean(marker.raking), paint: paintOf(outline, marker) });
}

/** @param {Outline} outline @param {Found} marker @returns {string | null} whose paint the marker's zone wears */
function paintOf(outline, marker) {
  return outline.zone(marker.zone)?.paint ?? null;
}

/**
 * What was said of a marker when it was made or last amended: it is not judged anew when others join it on its part.
 * @typedef {{outcome: Verdict["outcome"], text: string}} Said
 * @param {Found} marker
 * @returns {Said | null}
 */
export function saidOf(marker) {
  return marker.verdict ? { outcome: marker.verdict, text: marker.limit_text ?? "" } : null;
}

/** @param {Outline} outline @param {any} kind @param {Found} marker */
function gapJoint(outline, kind, marker) {
  const joint = kind.measure === "gap" ? jointOf(outline, marker) : null;
  return joint && (marker.gap != null || marker.size == null) ? joint : null;
}

/**
 * The buttons of a marker's sizes, each with its verdict; `field` is what a button sets. The notch stands before the
 * button at `notch` (null: no limit by size) and says `bound`.
 * @typedef {{value: number, words: string, over: boolean, r: number}} Step
 * @typedef {{field: "size" | "gap", steps: Step[], notch: number | null, bound: string}} Rule
 *
 * @param {Outline} outline
 * @param {any} catalogue
 * @param {Found} marker
 * @returns {Rule | null} null for what is not sized
 */
export function ruleOf(outline, catalogue, marker) {
  const kind = catalogue.kinds[marker.kind];
  if (!kind) return null;
  const joint = gapJoint(outline, kind, marker);
  if (joint) return gapRule(kind, joint);
  const sizes = sizeSteps(kind);
  if (sizes.length === 0) return null;
  const limit = limitFor(catalogue, marker.kind, marker.class, paintOf(outline, marker));
  const allowed = limit ? allowedSize(limit, Boolean(marker.raking)) : null;
  const none = limit?.max_count === 0 || allowed === 0;
  const steps = sizes.map((value, i) => step(value, none || (allowed !== null && value > allowed), 1.2 + (i * 8) / sizes.length));
  const over = steps.findIndex((one) => one.over);
  const notch = none ? 0 : allowed === null ? null : over < 0 ? steps.length : over;
  return { field: "size", steps, notch, bound: none ? _("none allowed") : allowed === null ? "" : _("limit %(size)s", { size: sizeWords(kind, allowed) }) };
}

/** @param {number} value @param {boolean} over @param {number} r @returns {Step} */
function step(value, over, r) {
  return { value, words: tenth(value), over, r };
}

/**
 * Seven gaps around the nominal one: at the tolerance, and two steps beyond it on either side.
 * @param {any} kind
 * @param {{nominal: number, tolerance: number}} joint
 * @returns {Rule}
 */
function gapRule(kind, { nominal, tolerance }) {
  const beyond = sizeSteps(kind).filter((size) => size > tolerance).slice(0, 2);
  const wanted = new Set([0, tolerance, ...beyond].flatMap((off) => [nominal - off, nominal + off]));
  const near = [...new Set([...gapSteps(kind, nominal), ...wanted])].filter((gap) => gap >= 0 && wanted.has(gap)).sort((a, b) => a - b);
  const steps = near.map((gap) => step(gap, Math.abs(gap - nominal) > tolerance, 1 + (gap / Math.max(1, nominal)) * 4));
  return { field: "gap", steps, notch: null, bound: gapBound(nominal, tolerance) };
}

/**
 * A marker's size in words, "" when it has none.
 * @param {any} catalogue
 * @param {Found} marker
 */
export function measured(catalogue, marker) {
  const kind = catalogue.kinds[marker.kind];
  if (marker.gap != null) return _("gap %(n)s mm", { n: tenth(marker.gap) });
  return kind && marker.size != null ? sizeWords(kind, marker.size) : "";
}
