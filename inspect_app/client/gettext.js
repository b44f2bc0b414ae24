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
  return fill(Array.isArray(said) ? said[0] : said, values);
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

/** Mark a text for the catalogue where it is written down, to be said later. @param {string} text @returns {string} */
export function N_(text) {
  return text;
}

/** @param {string} text @param {Record<string, unknown>} [values] */
function fill(text, values) {
  return values ? text.replace(/%\((\w+)\)s/g, (whole, name) => (name in values ? String(values[name]) : whole)).replace(/%%/g, "%") : text;
}
