/** What the keypad found, in words and lines. */

import { el } from "./elements.js";
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
  const from = remembered ? " From what this tablet remembers; the server is out of reach." : "";
  if (units.length === 0) return `No unit holds ${spaced(typed)}. Look at the plate again.${from}`;
  if (shared.includes(typed)) return `${units.filter((unit) => unit.last_six === typed).length} units share ${spaced(typed)}. Choose by colour and chassis number.${from}`;
  if (more) return `More than ${units.length} units hold ${spaced(typed)}. Go on typing.${from}`;
  return `${units.length === 1 ? "One unit holds" : `${units.length} units hold`} ${spaced(typed)}.${from}`;
}

/**
 * @param {Hit} unit
 * @param {boolean} shared another one has the same last six
 */
export function hitLine(unit, shared) {
  const chassis = el("span", { class: "found-chassis" }, unit.chassis.slice(0, -6), el("b", {}, unit.chassis.slice(-6)));
  const more = [shared ? "shares its last six" : "", unit.stage_words, unit.due_words].filter(Boolean).join(", ");
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
  return el("div", { class: "line" }, el("p", {}, el("a", { class: "btn", href }, "Add this unit")));
}
