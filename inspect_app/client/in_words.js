/** Times, minutes, lists and flaws in words, as one says them across the shop. */

import { endsItsDay, sameDay, time, weekday } from "./figures.js";
import { _, inTurn, ngettext } from "./gettext.js";
import { sizeWords } from "./limits.js";

/**
 * A moment near enough to be known by its weekday: "14:10" today, "Wed 14:10", "Wed 3 Dec 14:10" further away.
 * @param {number} ms
 * @param {number} now
 */
export function moment(ms, now) {
  return sameDay(ms, now) ? time(ms) : _("%(day)s %(time)s", { day: day(ms, now), time: time(ms) });
}

/**
 * @param {number} ms
 * @param {number} now
 * @returns {string} "today", "Wed", "Wed 3 Dec"
 */
export function day(ms, now) {
  return sameDay(ms, now) ? _("today") : weekday(ms, now);
}

/**
 * When a unit is due; a day without a time ends at its last millisecond.
 * @param {number | null | undefined} due
 * @param {number} now
 */
export function dueWords(due, now) {
  if (!due) return _("no due date");
  const when = whenWords(due, now);
  return due < now ? _("was due %(when)s", { when }) : _("due %(when)s", { when });
}

/** @param {number} due  @param {number} now  @returns {string} "Wed 14:10"; "Wed" where the day is all that is known */
export function whenWords(due, now) {
  return endsItsDay(due) ? day(due, now) : moment(due, now);
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
  return inTurn([kind?.label ?? marker.kind, ...size, ...(marker.count > 1 ? [ngettext("%(n)s of them", "%(n)s of them", marker.count)] : [])]);
}
