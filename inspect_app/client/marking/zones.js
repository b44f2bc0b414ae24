/** Zones as a list: the whole of a view that has no drawing, and the list beside one that has. */

import { el, svg } from "../elements.js";
import { _ } from "../gettext.js";
import { capital } from "../in_words.js";
import { pressButton, ringSmall } from "../pieces.js";

/**
 * @typedef {import("../outline.js").Zone} Zone
 * @typedef {import("../types.js").Row} Row
 * @typedef {{zone: Zone, look: string | null, marks: Row[]}} Entry
 */

const WORDS = /** @type {Record<string, string>} */ ({ none: _("not looked at"), looked: _("looked at"), again: _("look again: worked on since"), absent: _("not fitted"), off: _("off the van") });

/** @param {string | null} look */
export function lookWords(look) {
  return look === null ? _("not in this lap") : (WORDS[look] ?? look);
}

/**
 * What it means that a zone is not on the van.
 * @param {Zone} zone
 * @param {"off" | "not_fitted"} why
 * @param {string} blocks what it keeps from going on while it is off
 */
export function goneWords(zone, why, blocks) {
  const name = capital(zone.label);
  return why === "off" ? _("%(zone)s is off the van. Until it is back on it cannot be looked at or marked, so %(blocks)s.", { zone: name, blocks })
    : _("%(zone)s is not fitted on this van, so no look at it is asked for.", { zone: name });
}

/**
 * A view without a drawing: a tap on a zone is the tap on the spot.
 * @param {Entry[]} entries in walking order
 * @param {string | null} chosen
 * @param {(zone: Zone, at: DOMRect, byKey: boolean) => void} tap
 * @param {(marker: Row) => void} open
 * @returns {HTMLElement[]}
 */
export function zoneRows(entries, chosen, tap, open) {
  return entries.map(({ zone, look, marks }) => {
    const row = el("div", { class: "zone-row", "data-look": look ?? "" });
    const press = pressButton("", () => undefined, { class: "line zone-line", "data-zone": zone.id, "data-key": zone.id, ...(zone.id === chosen ? { "aria-current": "true" } : {}) });
    press.addEventListener("click", (event) => tap(zone, press.getBoundingClientRect(), event.detail === 0));
    press.append(lookMark(look), el("span", {}, el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, _("class %(class)s, %(look)s", { class: zone.class, look: lookWords(look) }))));
    row.append(press, el("div", { class: "zone-marks" }, ...marks.map((marker) => markButton(marker, open))));
    return row;
  });
}

/** @param {Row} marker @param {(marker: Row) => void} open */
function markButton(marker, open) {
  const made = pressButton("", () => open(marker), { class: "btn mark-btn", "data-marker": marker.id, "data-key": marker.id }, ringSmall(/** @type {any} */ (marker)));
  made.append(el("span", { class: "tag", "data-state": marker.state }, marker.tag));
  return made;
}

/** A little field: hatched, plain, crossed out. @param {string | null} look */
export function lookMark(look) {
  const box = svg("rect", { class: "look-box", x: 2, y: 2, width: 24, height: 24 });
  const ticks = /** @type {Record<string, string>} */ ({ none: "M2 14L14 2M2 26L26 2M14 26L26 14", again: "M2 14L14 2M2 26L26 2M14 26L26 14M2 2L26 26M2 14L14 26M14 2L26 14",
    looked: "M8 14.5l4.5 4.5L21 9.5", absent: "M7 14H21", off: "M14 20V8M9 12l5-5 5 5" });
  return svg("svg", { class: "look-mark", "data-look": look ?? "", viewBox: "0 0 28 28", "aria-hidden": "true" }, box, svg("path", { d: ticks[look ?? ""] ?? "" }));
}
