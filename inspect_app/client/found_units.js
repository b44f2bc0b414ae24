/** What the keypad found, in words and lines. */

import { el } from "./elements.js";
import { _, inTurn, ngettext, together } from "./gettext.js";
import { six, swatch } from "./pieces.js";

/** @typedef {import("./find_unit.js").Hit} Hit */
/** @typedef {import("./find_unit.js").Found} Found */

/**
 * "047312" → "047 312"; anything longer or shorter stays.
 * @param {string} typed
 */
export function spaced(typed) {
  return typed.length === 6 ? `${typed.slice(0, 3)} ${typed.slice(3)}` : typed;
}

/**
 * One sentence on what was found. Pure.
 * @param {Found} found
 */
export function said({ typed, units, shared, more, remembered }) {
  const [n, found] = [units.length, { typed: spaced(typed) }];
  const alike = shared.includes(typed) ? units.filter((unit) => unit.last_six === typed).length : 0;
  const words = n === 0 ? _("No unit holds %(typed)s. Look at the plate again.", found)
    : alike > 0 ? ngettext("%(n)s unit shares %(typed)s. Choose by colour and chassis number.", "%(n)s units share %(typed)s. Choose by colour and chassis number.", alike, found)
      : more ? ngettext("More than %(n)s unit holds %(typed)s. Go on typing.", "More than %(n)s units hold %(typed)s. Go on typing.", n, found)
        : ngettext("One unit holds %(typed)s.", "%(n)s units hold %(typed)s.", n, found);
  return remembered ? together(words, _("From what this tablet remembers; the server is out of reach.")) : words;
}

/**
 * @param {Hit} unit
 * @param {boolean} shared another one has the same last six
 */
export function hitLine(unit, shared) {
  const chassis = el("span", { class: "found-chassis" }, unit.chassis.slice(0, -6), el("b", {}, unit.chassis.slice(-6)));
  const more = inTurn([shared ? _("shares its last six") : "", unit.stage_words, unit.due_words].filter(Boolean));
  return el("a", { class: "line found-line", href: unit.href },
    el("span", { class: "line-title" }, six(unit.last_six), el("span", { class: "found-next" }, unit.next)),
    el("span", {}, swatch(unit.colour_hex), ` ${unit.colour}, ${unit.make} ${unit.model}`),
    el("span", { class: "line-sub" }, chassis),
    ...(more ? [el("span", { class: "line-sub" }, more)] : []));
}

/**
 * The way on when a van is not known yet, for whoever may add it.
 * @param {string} href
 */
export function addLine(href) {
  return el("div", { class: "line" }, el("p", {}, el("a", { class: "btn", href }, _("Add this unit"))));
}
