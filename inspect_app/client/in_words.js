/** Times, minutes, lists and flaws in words, as one says them across the shop. */

import { sizeWords } from "./limits.js";

const MINUTE = 60_000;

/**
 * @param {number} ms
 * @param {Intl.DateTimeFormatOptions} form
 */
function formed(ms, form) {
  return new Intl.DateTimeFormat("en-GB", form).format(ms);
}

/** @param {number} ms  @returns {string} "14:10" */
export function clock(ms) {
  return formed(ms, { hour: "2-digit", minute: "2-digit" });
}

/**
 * A moment near enough to be known by its weekday: "14:10" today, "Wed 14:10", "Wed 3 Dec 14:10" further away.
 * @param {number} ms
 * @param {number} now
 */
export function moment(ms, now) {
  return formed(ms, { dateStyle: "short" }) === formed(now, { dateStyle: "short" }) ? clock(ms) : `${day(ms, now)} ${clock(ms)}`;
}

/**
 * @param {number} ms
 * @param {number} now
 * @returns {string} "today", "Wed", "Wed 3 Dec"
 */
export function day(ms, now) {
  if (formed(ms, { dateStyle: "short" }) === formed(now, { dateStyle: "short" })) return "today";
  const near = Math.abs(ms - now) < 6 * 24 * 60 * MINUTE;
  return formed(ms, near ? { weekday: "short" } : { weekday: "short", day: "numeric", month: "short" }).replace(",", "");
}

/**
 * When a unit is due; a day without a time ends at its last millisecond.
 * @param {number | null | undefined} due
 * @param {number} now
 */
export function dueWords(due, now) {
  if (!due) return "no due date";
  const whole = clock(due) === "23:59";
  const when = whole ? day(due, now) : moment(due, now);
  return due < now ? `was due ${when}` : `due ${when}`;
}

/** @param {number} minutes  @returns {string} "25 min", "3.4 h" */
export function span(minutes) {
  return minutes < 100 ? `${minutes} min` : `${(minutes / 60).toFixed(1).replace(".0", "")} h`;
}

/** @param {number} film tenths of µm */
export function microns(film) {
  return `${film / 10} µm`;
}

/** @param {string[]} words  @returns {string} "B1, B2 and B3" */
export function list(words) {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}

/**
 * @param {number} n
 * @param {string} one
 * @param {string} [many]
 */
export function count(n, one, many = `${one}s`) {
  return `${n} ${n === 1 ? one : many}`;
}

/** @param {string} words  @returns {string} with a capital first letter */
export function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/**
 * What a person wrote, as a sentence of its own, whether they ended it with a full stop or not.
 * @param {string} words
 * @returns {string} "still rough." and "still rough" both give "Still rough."
 */
export function sentence(words) {
  const said = capital(words.trim());
  return said === "" || /[.!?…]["”’)]?$/.test(said) ? said : `${said}.`;
}

/** What a person wrote, to go on after it. @param {string} words  @returns {string} without a full stop at its end */
export function unended(words) {
  return words.trim().replace(/[\s.]+$/, "");
}

/** @param {any} catalogue @param {import("./types.js").Row} marker  @returns {string} "dirt nib, 1.5 mm, 3 of them" */
export function kindWords(catalogue, marker) {
  const kind = catalogue.kinds[marker.kind];
  const measure = kind?.measure === "gap" ? marker.gap : marker.size;
  const size = measure !== null && measure !== undefined && kind ? [sizeWords(kind, measure)] : [];
  return [kind?.label ?? marker.kind, ...size, ...(marker.count > 1 ? [`${marker.count} of them`] : [])].join(", ");
}
