/**
 * The catalogue, an outline or the lifecycle table in the language of the page: what people read in them is said through
 * gettext.js when they are taken in, so that whoever shows a label need not think of it. What a program reads (keys, ids,
 * units, materials by which a step is known) stays as it is. The words are collected by tests/docs/write_words.py.
 */

import { _ } from "./gettext.js";

const READ = new Set(["cause", "clause", "danger", "describe", "hint", "label", "late_sentence", "meaning", "question", "sentence", "short", "steps", "timer", "wait", "wear"]);

/**
 * @template Data
 * @param {Data} data as parsed from JSON; it is not changed
 * @returns {Data} the same with its words in the page's language
 */
export function spoken(data) {
  return /** @type {Data} */ (/** @type {any} */ (globalThis).lampwalkWords ? said(data, "") : data);
}

/** @param {any} value  @param {string} key  @returns {any} */
function said(value, key) {
  if (typeof value === "string") return READ.has(key) ? _(value) : value;
  if (Array.isArray(value)) return value.map((one) => said(one, key));
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, said(one, name)]));
}
