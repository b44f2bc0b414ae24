/**
 * Verdicts in the browser: the same words as inspect_app/trade/limits.py; tests/vectors/limits.json holds both to it.
 * Sizes are whole tenths of a kind's unit. Pure functions: nothing here touches the page.
 */

/**
 * @typedef {{key: string, label: string, group: string, everyday: number | null, measure: string, unit: string,
 *   sizes: number[], snaps: boolean, origin_department: string, method: string, severity: string,
 *   pictogram: string}} Kind
 * @typedef {{kinds: string[], surface_class: string, max_size: number | null, max_count: number | null,
 *   raking_max_size: number | null, text: string}} Limit
 * @typedef {{kinds: Record<string, Kind>, classes: Record<string, object>, limits: Limit[]}} Catalogue
 * @typedef {{size?: number | null, count?: number | null, others?: number, raking?: boolean}} Found
 * @typedef {{outcome: "within" | "over" | "unmeasured" | "no_limit", text: string, limit: Limit | null}} Verdict
 * @typedef {{found: string, bound: string, over: boolean, worthSaying: boolean, shared?: boolean}} Held
 */

/** What a size in millimetres means for a measure; a plain size needs no word. @type {Record<string, string>} */
const REACH = { gap: " off", step: " off", area: " across", length: " long" };

/**
 * The limit row for a kind on a surface class, or null when none is set.
 * @param {Catalogue} catalogue
 * @param {string} kind
 * @param {string} surfaceClass
 * @returns {Limit | null}
 */
export function limitFor(catalogue, kind, surfaceClass) {
  const row = catalogue.limits.find((one) => one.surface_class === surfaceClass && one.kinds.includes(kind));
  return row ?? null;
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
  const figure = inWhole(size);
  if (kind.unit === "ΔE00") return `ΔE00 ${figure}`;
  if (kind.unit === "mm") return `${figure} mm`;
  const noun = kind.unit === "steps" ? "step" : "gloss unit";
  return size === 10 ? `${figure} ${noun}` : `${figure} ${noun}s`;
}

/**
 * Tenths as a plain figure: 5 is "0.5", 20 is "2".
 * @param {number} tenths
 * @returns {string}
 */
function inWhole(tenths) {
  const whole = Math.floor(tenths / 10);
  return tenths % 10 === 0 ? `${whole}` : `${whole}.${tenths % 10}`;
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
  const bound = `${inWhole(nominal)} ± ${inWhole(tolerance)} mm`;
  if (gap === null) return { outcome: "unmeasured", text: `gap not measured; the limit is ${bound}`, limit: null };
  const outcome = Math.abs(gap - nominal) > tolerance ? "over" : "within";
  return { outcome, text: `gap of ${inWhole(gap)} mm: ${outcome} the limit of ${bound}`, limit: null };
}

/**
 * Judge a flaw against the limit of its class; a figure equal to its limit is within.
 * @param {Catalogue} catalogue
 * @param {string} kind key of the kind
 * @param {string} surfaceClass "A" to "D"
 * @param {Found} [found] size in tenths (null: not measured), how many the marker stands for, how many others of the
 *   kind stand on the part in this class, seen only in raking light
 * @returns {Verdict}
 */
export function verdict(catalogue, kind, surfaceClass, { size = null, count = 1, others = 0, raking = false } = {}) {
  const row = catalogue.kinds[kind];
  if (!row) throw new Error(`there is no kind '${kind}' in this catalogue`);
  if (!(surfaceClass in catalogue.classes)) {
    throw new Error(`there is no surface class '${surfaceClass}' in this catalogue`);
  }
  const limit = limitFor(catalogue, kind, surfaceClass);
  if (!limit) {
    const text = `${row.label} on class ${surfaceClass}: no limit is set; judge it by its severity`;
    return { outcome: "no_limit", text, limit: null };
  }
  const light = raking && limit.raking_max_size !== null ? ", seen only in raking light" : "";
  const where = `class ${surfaceClass}${light}`;
  return judge(row, limit, allowedSize(limit, raking), size === null ? null : Math.abs(size), [count ?? 1, others], where);
}

/**
 * @param {Kind} kind
 * @param {Limit} limit
 * @param {number | null} allowed
 * @param {number | null} size
 * @param {[number, number]} counted
 * @param {string} where
 * @returns {Verdict}
 */
function judge(kind, limit, allowed, size, counted, where) {
  if (allowed === 0 || limit.max_count === 0) {
    return { outcome: "over", text: `${kind.label} on ${where}: none allowed`, limit };
  }
  const held = heldAgainst(kind, limit, allowed, size, counted);
  const over = held.filter((one) => one.over);
  if (over.length > 0) return { outcome: "over", text: sentence(over, where, "over"), limit };
  if (allowed !== null && size === null) {
    const text = `${kind.label} on ${where}: not measured; the limit is ${sizeWords(kind, allowed)}`;
    return { outcome: "unmeasured", text, limit };
  }
  const said = held.filter((one) => one.worthSaying);
  return { outcome: "within", text: sentence(said.length > 0 ? said : held, where, "within"), limit };
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
    const reach = kind.unit === "mm" ? (REACH[kind.measure] ?? "") : "";
    const bound = sizeWords(kind, allowed);
    held.push({ found: sizeWords(kind, size) + reach, bound, over: size > allowed, worthSaying: true });
  }
  if (limit.max_count !== null) {
    const found = count === 1 ? "1" : `${count} of them`;
    const bound = `${limit.max_count} on a part`;
    held.push({ found, bound, over: count > limit.max_count, worthSaying: count > 1, shared: others > 0 });
  }
  return held;
}

/**
 * @param {Held[]} held
 * @param {string} where
 * @param {"over" | "within"} side
 * @returns {string}
 */
function sentence(held, where, side) {
  const found = held.map((one) => one.found).join(" and ");
  const bound = held.map((one) => one.bound).join(" and ");
  const part = held.some((one) => one.shared) ? "this part, " : "";
  return `${found} on ${part}${where}: ${side} the limit of ${bound}`;
}
