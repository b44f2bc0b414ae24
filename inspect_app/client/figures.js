/**
 * Numbers, days and times as the reader writes them: by the locale in `<html data-formats>` (BCP 47), which is what the
 * person chose. Nobody chose: the house's own form, which is that of en-GB without a comma after the weekday.
 * Thousands are never set apart, so that a figure of a sentence can be copied into a field.
 */

import { _ } from "./gettext.js";

const HOUSE = "en-GB";
const DAY = 24 * 60 * 60_000;
const locale = usable(document.documentElement.dataset.formats) ?? HOUSE;

/** @type {Map<string, Intl.NumberFormat | Intl.DateTimeFormat>} making one takes longer than using it a thousand times */
const made = new Map();

/** @param {string | undefined} asked  @returns {string | null} null where this browser does not know it */
function usable(asked) {
  try {
    return Intl.DateTimeFormat.supportedLocalesOf(asked || [])[0] ?? null;
  } catch {
    return null;
  }
}

/** @param {number} ms  @param {Intl.DateTimeFormatOptions} form */
function formed(ms, form) {
  const key = Object.values(form).join();
  const format = /** @type {Intl.DateTimeFormat} */ (made.get(key) ?? new Intl.DateTimeFormat(locale, form));
  made.set(key, format);
  const said = format.format(ms);
  return locale === HOUSE ? said.replace(",", "") : said;
}

/**
 * A number with as many digits after its sign as it has.
 * @param {number} value
 * @param {number} [most] digits after the sign
 * @param {number} [least] digits that are written although they are nought
 * @returns {string} "0.8" or "0,8"; 2 is "2"
 */
export function decimal(value, most = 1, least = 0) {
  const key = `${most} ${least}`;
  const form = { minimumFractionDigits: least, maximumFractionDigits: most, useGrouping: false };
  const format = /** @type {Intl.NumberFormat} */ (made.get(key) ?? new Intl.NumberFormat(locale, form));
  made.set(key, format);
  return format.format(Number(value.toFixed(most))); // rounded as ever: Intl rounds the shortest decimal, toFixed the number
}

/** @param {number} tenths a whole number of tenths  @returns {string} 5 is "0.5", 20 is "2" */
export function tenth(tenths) {
  return decimal(tenths / 10);
}

/**
 * A number that a person typed, with a point or a comma before its digits.
 * @param {string} text
 * @returns {number} NaN for what is none
 */
export function typed(text) {
  const said = text.trim().replace("−", "-");
  return /^[-+]?(\d+[.,]?\d*|[.,]\d+)$/.test(said) ? Number(said.replace(",", ".")) : NaN;
}

/** @param {number} ms  @returns {string} "14:10" */
export function time(ms) {
  return formed(ms, { hour: "2-digit", minute: "2-digit" });
}

/** @param {number} ms  @param {number} other  @returns {boolean} whether both lie on one day of this tablet's clock */
export function sameDay(ms, other) {
  return new Date(ms).toDateString() === new Date(other).toDateString();
}

/** @param {number} ms  @param {number} now  @returns {string} "Wed", and further away than six days "Wed 3 Dec" */
export function weekday(ms, now) {
  return formed(ms, Math.abs(ms - now) < 6 * DAY ? { weekday: "short" } : { weekday: "short", day: "numeric", month: "short" });
}

/** @param {number} ms  @returns {boolean} whether it is the last minute of a day, as a day without a time is kept */
export function endsItsDay(ms) {
  const at = new Date(ms);
  return at.getHours() === 23 && at.getMinutes() === 59;
}

/** How long, wherever a person reads it; the same as words/spans.py. @param {number} minutes whole ones  @returns {string} "25 min", "3 h 20 min", "2 h" */
export function lasting(minutes) {
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours <= 0) return _("%(n)s min", { n: minutes });
  return rest === 0 ? _("%(n)s h", { n: hours }) : _("%(hours)s h %(minutes)s min", { hours, minutes: rest });
}

/** @param {number} film tenths of µm */
export function microns(film) {
  return _("%(n)s µm", { n: tenth(film) });
}

/** @param {number} bytes  @returns {string} "3.4 MB", "120 MB", "1.2 GB" */
export function megabytes(bytes) {
  if (bytes >= 1e9) return _("%(n)s GB", { n: decimal(bytes / 1e9, 1, 1) });
  return _("%(n)s MB", { n: bytes < 1e7 ? decimal(bytes / 1e6, 1, 1) : decimal(bytes / 1e6, 0) });
}
