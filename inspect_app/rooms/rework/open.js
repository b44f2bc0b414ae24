/**
 * Which methods are open for a flaw and why the others are not: the rules of /judgement.json, read as
 * trade/selectors.py and trade/ways.py read them and held against both by a test. Pure.
 *
 * @typedef {Record<string, any>} Facts  kind, material, surface_class, paint, size, count, depth, clear_left, film, on_edge …; null is not known
 * @typedef {{offers: {kinds: string[], methods: string[]}[], bars: {methods: string[], kinds: string[], when: Record<string, any>, sentence: string}[], budgets: import("./film.js").Budgets, renewed?: import("./covered.js").Renewed}} Rules
 * @typedef {{open: string[], barred: Record<string, string[]>, asks: string[], left: import("./film.js").Left | null}} Opened  `asks` are names of facts
 */

import { clearLeft } from "./film.js";

/**
 * @param {any} catalogue
 * @param {Rules} rules
 * @param {Facts} known
 * @param {{here?: import("./film.js").Place | null, removals?: import("./film.js").Removal[], reading?: import("./film.js").Reading | null}} [spot]
 * @returns {Opened}
 */
export function openMethods(catalogue, rules, known, { here = null, removals = [], reading = null } = {}) {
  const budgeted = here && known.paint && known.surface_class;
  const left = (/** @type {number} */ takes) => (budgeted ? clearLeft(rules.budgets, here, removals, { surfaceClass: known.surface_class, paint: known.paint, takes, reading }) : null);
  const now = left(0);
  const facts = reading && now ? { ...known, film: reading.film ?? null, clear_left: reading.clear == null ? null : now.clear } : known;
  /** @type {Opened} */
  const found = { open: [], barred: {}, asks: [], left: now };
  const asked = new Set();
  for (const key of offered(catalogue, rules, facts.kind)) {
    const method = catalogue.methods[key];
    const { reasons, unknown } = held(method, facts, rules);
    const spent = method.film ? left(method.film)?.bars : null;
    if (spent) reasons.push(spent);
    if (reasons.length > 0) found.barred[key] = reasons;
    else {
      found.open.push(key);
      for (const name of unknown) asked.add(name);
    }
  }
  return { ...found, asks: [...asked] };
}

/** The methods that come into question, mildest first. @param {any} catalogue @param {Rules} rules @param {string} kind @returns {string[]} */
export function offered(catalogue, rules, kind) {
  const keys = rules.offers.filter((offer) => offer.kinds.includes(kind)).flatMap((offer) => offer.methods);
  return keys.filter((key) => catalogue.methods[key] && !catalogue.methods[key].retired);
}

/** @param {any} method @param {Facts} facts @param {Rules} rules */
function held(method, facts, rules) {
  const reasons = [];
  const unknown = [];
  for (const bar of rules.bars) {
    if (!bar.methods.includes(method.key) || (bar.kinds.length > 0 && !bar.kinds.includes(facts.kind))) continue;
    const told = Object.entries(bar.when).map(([name, wanted]) => /** @type {const} */ ([name, holds(name, wanted, method, facts)]));
    if (told.every(([, one]) => one === true)) reasons.push(bar.sentence);
    else if (told.every(([, one]) => one !== false)) unknown.push(...told.filter(([, one]) => one === null).map(([name]) => factOf(name)));
  }
  return { reasons, unknown };
}

/** @param {string} name @param {any} wanted @param {any} method @param {Facts} facts @returns {boolean | null} null when its fact is not known */
function holds(name, wanted, method, facts) {
  const value = facts[factOf(name)] ?? null;
  if (value === null) return null;
  if (name === "clear_after_below") return value - (method.film ?? 0) < wanted;
  if (name.endsWith("_over")) return value > wanted;
  if (name.endsWith("_below")) return value < wanted;
  return Array.isArray(wanted) ? wanted.includes(value) : value === wanted;
}

/** @param {string} condition "size_over" asks about "size" */
function factOf(condition) {
  return condition === "clear_after_below" ? "clear_left" : condition.replace(/_over$/, "").replace(/_below$/, "");
}
