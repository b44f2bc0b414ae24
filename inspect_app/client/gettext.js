/**
 * Words for people, in the language of the page. A sentence is written in English where it is said, and that text is its
 * key in the same catalogue that the server speaks from (inspect_app/words); the page's words come as a script before
 * all modules, none for English. Values stand as `%(name)s`.
 */

/** @type {{said: Record<string, string | string[]>, forms: number[]}} */
const words = /** @type {any} */ (globalThis).lampwalkWords ?? { said: {}, forms: [] };

/**
 * The sentence in the page's language, with its values put in.
 * @param {string} text English, a literal
 * @param {Record<string, unknown>} [values]
 * @returns {string}
 */
export function _(text, values) {
  const said = words.said[text] ?? text;
  return fill(Array.isArray(said) ? (said[0] ?? text) : said, values);
}

/**
 * The sentence for n things; `%(n)s` is n itself.
 * @param {string} one English
 * @param {string} many English
 * @param {number} n
 * @param {Record<string, unknown>} [values]
 * @returns {string}
 */
export function ngettext(one, many, n, values) {
  const said = words.said[one];
  // A rule of gettext looks at the last two digits, so that the table of 200 tells all of it.
  const form = words.forms[n < 200 ? n : 100 + (n % 100)] ?? 0;
  const text = Array.isArray(said) ? said[form] : n === 1 ? one : many;
  return fill(text ?? many, { n, ...values });
}

/**
 * Names one after the other: "A", "A and B", "A, B and C".
 * @param {string[]} names
 * @returns {string}
 */
export function allOf(names) {
  if (names.length < 2) return names.join("");
  return _("%(most)s and %(last)s", { most: inTurn(names.slice(0, -1)), last: names.at(-1) });
}

/** @param {string[]} names  @returns {string} "a", "a or b", "a or b or c" */
export function oneOf(names) {
  return names.length === 0 ? "" : names.reduce((most, last) => _("%(most)s or %(last)s", { most, last }));
}

/** @param {string[]} parts  @returns {string} "dirt nib, 1.5 mm" */
export function inTurn(parts) {
  return parts.length === 0 ? "" : parts.reduce((some, next) => _("%(some)s, %(next)s", { some, next }));
}

/**
 * Whole sentences one after the other, without those that are not said.
 * @param {...(string | null | undefined | false)} sentences
 * @returns {string}
 */
export function together(...sentences) {
  return sentences.filter(Boolean).join(" ");
}

/**
 * A name as it stands inside a sentence: in small letters in English. Another language writes its names as its
 * translator did, for German would be wrong in small letters.
 * @param {string} name
 */
export function midway(name) {
  return document.documentElement.lang.startsWith("en") ? name.toLowerCase() : name;
}

/**
 * A sentence with elements where its values stand.
 * @template Part
 * @param {string} text as `_` gives it, its values not put in
 * @param {Record<string, Part>} parts
 * @returns {(string | Part)[]}
 */
export function around(text, parts) {
  return text.split(/%\((\w+)\)s/).map((piece, i) => (i % 2 === 0 ? piece : parts[piece] ?? ""));
}

/** Mark a text for the catalogue where it is written down, to be said later. @param {string} text @returns {string} */
export function N_(text) {
  return text;
}

/** @param {string} text @param {Record<string, unknown>} [values] */
function fill(text, values) {
  return values ? text.replace(/%\((\w+)\)s/g, (whole, name) => (name in values ? String(values[name]) : whole)).replace(/%%/g, "%") : text;
}
