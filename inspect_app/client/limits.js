/**
 * Verdicts in the browser: the same words as inspect_app/trade/limits.py; tests/vectors/limits.json holds both to it.
 * Sizes are whole tenths of a kind's unit. Pure functions: nothing here touches the page.
 */

import { tenth } from "./figures.js";
import { _, allOf, ngettext } from "./gettext.js";

/**
 * @typedef {{key: string, label: string, group: string, everyday: number | null, measure: string, unit: string,
 *   sizes: number[], snaps: boolean, origin_department: string, method: string, severity: string,
 *   pictogram: string}} Kind
 * @typedef {{kinds: string[], surface_class: string, paint?: string | null, max_size: number | null, max_count: number | null,
 *   raking_max_size: number | null, text: string}} Limit
 * @typedef {{kinds: Record<string, Kind>, classes: Record<string, object>, limits: Limit[]}} Catalogue
 * @typedef {{size?: number | null, count?: number | null, others?: number, raking?: boolean, paint?: string | null}} Found
 * @typedef {{outcome: "within" | "over" | "unmeasured" | "no_limit", text: string, limit: Limit | null}} Verdict
 * @typedef {{found: string, bound: string, over: boolean, worthSaying: boolean, shared?: boolean}} Held
 */

/** Units as they stand beside a field. @type {Record<string, string>} */
export const UNITS = { mm: _("mm"), steps: _("steps"), GU: _("GU") };

/**
 * The limit row for a kind on a surface class, or null when none is set.
 * @param {Catalogue} catalogue
 * @param {string} kind
 * @param {string} surfaceClass
 * @param {string | null} [paint] whose paint the zone wears: its own row comes before the one for any
 * @returns {Limit | null}
 */
export function limitFor(catalogue, kind, surfaceClass, paint = null) {
  const rows = catalogue.limits.filter((one) => one.surface_class === surfaceClass && one.kinds.includes(kind));
  return rows.find((one) => one.paint && one.paint === paint) ?? rows.find((one) => !one.paint) ?? null;
}

/**
 * The largest size still within; 0 for none allowed, null for any size.
 * @param {Limit} limit
 * @param {boolean} [raking]
 * @returns {number | null}
 */
export function allowedSize(limit, raking = false) {
  return raking && limit.raking_max_size !== null ? limit.raking_max_size : limit.max_size;
}

/**
 * The sizes of a kind's buttons, ascending; empty for what is not sized.
 * @param {Kind} kind
 * @returns {number[]}
 */
export function sizeSteps(kind) {
  return kind.sizes;
}

/**
 * A size in words with its unit, as "0.8 mm", "2 steps", "ΔE00 1.5" or "5 gloss units".
 * @param {Kind} kind
 * @param {number} size
 * @returns {string}
 */
export function sizeWords(kind, size) {
  const figure = tenth(size);
  if (kind.unit === "ΔE00") return _("ΔE00 %(figure)s", { figure });
  if (kind.unit === "mm") return _("%(n)s mm", { n: figure });
  const whole = size % 10 === 0 ? size / 10 : Math.max(2, Math.ceil(size / 10)); // half a step is said as many are
  return kind.unit === "steps" ? ngettext("%(figure)s step", "%(figure)s steps", whole, { figure }) : ngettext("%(figure)s gloss unit", "%(figure)s gloss units", whole, { figure });
}

/** A size in millimetres by what it means for its measure; a plain size needs no word. @param {Kind} kind @param {number} size */
function reachWords(kind, size) {
  const said = { size: sizeWords(kind, size) };
  if (kind.unit !== "mm") return said.size;
  if (kind.measure === "gap" || kind.measure === "step") return _("%(size)s off", said);
  if (kind.measure === "area") return _("%(size)s across", said);
  return kind.measure === "length" ? _("%(size)s long", said) : said.size;
}

/**
 * Gaps to choose from at a joint of this nominal gap: nominal and the kind's buttons either side, tenths of mm.
 * @param {Kind} kind
 * @param {number} nominal
 * @returns {number[]}
 */
export function gapSteps(kind, nominal) {
  const around = [0, ...sizeSteps(kind)].flatMap((step) => [nominal - step, nominal + step]);
  return [...new Set(around)].filter((gap) => gap >= 0).sort((a, b) => a - b);
}

/**
 * Judge a measured gap (tenths of mm) by its joint's own nominal and tolerance; at the tolerance is within.
 * @param {number | null} gap
 * @param {{nominal: number, tolerance: number}} joint
 * @returns {Verdict}
 */
export function gapVerdict(gap, { nominal, tolerance }) {
  const bound = gapBound(nominal, tolerance);
  if (gap === null) return { outcome: "unmeasured", text: _("gap not measured; the limit is %(bound)s", { bound }), limit: null };
  const said = { gap: tenth(gap), bound };
  if (Math.abs(gap - nominal) > tolerance) return { outcome: "over", text: _("gap of %(gap)s mm: over the limit of %(bound)s", said), limit: null };
  return { outcome: "within", text: _("gap of %(gap)s mm: within the limit of %(bound)s", said), limit: null };
}

/** @param {number} nominal @param {number} tolerance both tenths of mm @returns {string} "4 ± 1 mm" */
export function gapBound(nominal, tolerance) {
  return _("%(nominal)s ± %(tolerance)s mm", { nominal: tenth(nominal), tolerance: tenth(tolerance) });
}

/**
 * Judge a flaw against the limit of its class; a figure equal to its limit is within.
 * @param {Catalogue} catalogue
 * @param {string} kind key of the kind
 * @param {string} surfaceClass "A" to "D"
 * @param {Found} [found] size in tenths (null: not measured), how many the marker stands for, how many others of the
 *   kind stand on the part in this class, seen only in raking light, whose paint the zone wears
 * @returns {Verdict}
 */
export function verdict(catalogue, kind, surfaceClass, { size = null, count = 1, others = 0, raking = false, paint = null } = {}) {
  const row = catalogue.kinds[kind];
  if (!row) throw new Error(`there is no kind '${kind}' in this catalogue`);
  if (!(surfaceClass in catalogue.classes)) {
    throw new Error(`there is no surface class '${surfaceClass}' in this catalogue`);
  }
  const limit = limitFor(catalogue, kind, surfaceClass, paint);
  if (!limit) {
    const text = _("%(kind)s on %(where)s: no limit is set; judge it by its severity", { kind: row.label, where: _("class %(surface_class)s", { surface_class: surfaceClass }) });
    return { outcome: "no_limit", text, limit: null };
  }
  const raked = raking && limit.raking_max_size !== null;
  return judge(row, limit, allowedSize(limit, raking), size === null ? null : Math.abs(size), [count ?? 1, others], (shared) => on(limit, raked, shared));
}

/**
 * On what a flaw was found.
 * @param {Limit} limit
 * @param {boolean} raked by which light
 * @param {boolean} shared with all of its kind on the part
 * @returns {string}
 */
function on({ surface_class, paint }, raked, shared) {
  const at = { surface_class };
  const where = shared && raked ? _("this part, class %(surface_class)s, seen only in raking light", at)
    : shared ? _("this part, class %(surface_class)s", at)
      : raked ? _("class %(surface_class)s, seen only in raking light", at) : _("class %(surface_class)s", at);
  return paint === "maker" ? _("%(where)s, the chassis maker's paint", { where }) : where;
}

/**
 * @param {Kind} kind
 * @param {Limit} limit
 * @param {number | null} allowed
 * @param {number | null} size
 * @param {[number, number]} counted
 * @param {(shared: boolean) => string} onWhat
 * @returns {Verdict}
 */
function judge(kind, limit, allowed, size, counted, onWhat) {
  const where = onWhat(false);
  if (allowed === 0 || limit.max_count === 0) {
    return { outcome: "over", text: _("%(kind)s on %(where)s: none allowed", { kind: kind.label, where }), limit };
  }
  const held = heldAgainst(kind, limit, allowed, size, counted);
  const over = held.filter((one) => one.over);
  if (over.length > 0) return { outcome: "over", text: sentence(over, onWhat, "over"), limit };
  if (allowed !== null && size === null) {
    const text = _("%(kind)s on %(where)s: not measured; the limit is %(bound)s", { kind: kind.label, where, bound: sizeWords(kind, allowed) });
    return { outcome: "unmeasured", text, limit };
  }
  const said = held.filter((one) => one.worthSaying);
  return { outcome: "within", text: sentence(said.length > 0 ? said : held, onWhat, "within"), limit };
}

/**
 * Each figure held against its bound, both in words.
 * @param {Kind} kind
 * @param {Limit} limit
 * @param {number | null} allowed
 * @param {number | null} size
 * @param {[number, number]} counted the marker's own, and others on the part
 * @returns {Held[]}
 */
function heldAgainst(kind, limit, allowed, size, [own, others]) {
  const count = own + others;
  /** @type {Held[]} */
  const held = [];
  if (allowed !== null && size !== null) {
    held.push({ found: reachWords(kind, size), bound: sizeWords(kind, allowed), over: size > allowed, worthSaying: true });
  }
  if (limit.max_count !== null) {
    const found = count === 1 ? "1" : ngettext("%(n)s of them", "%(n)s of them", count);
    const bound = ngettext("%(n)s on a part", "%(n)s on a part", limit.max_count);
    held.push({ found, bound, over: count > limit.max_count, worthSaying: count > 1, shared: others > 0 });
  }
  return held;
}

/**
 * @param {Held[]} held
 * @param {(shared: boolean) => string} onWhat
 * @param {"over" | "within"} side
 * @returns {string}
 */
function sentence(held, onWhat, side) {
  const where = onWhat(held.some((one) => one.shared));
  const said = { found: allOf(held.map((one) => one.found)), bound: allOf(held.map((one) => one.bound)), where };
  return side === "over" ? _("%(found)s on %(where)s: over the limit of %(bound)s", said) : _("%(found)s on %(where)s: within the limit of %(bound)s", said);
}
