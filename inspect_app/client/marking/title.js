/** The strip of a unit's page, filled from the unit's row: the page itself knows no unit. */

import { _ } from "../gettext.js";

/** @typedef {import("../types.js").Row} Row */

/** @param {string} selector @param {string} words */
function write(selector, words) {
  const place = document.querySelector(selector);
  if (place && place.textContent !== words) place.textContent = words;
}

/** @param {Row} unit */
export function fillStrip(unit) {
  write("[data-six-a]", unit.last_six.slice(0, 3));
  write("[data-six-b]", unit.last_six.slice(3));
  write("[data-make]", `${unit.make} ${unit.model}`);
  write("[data-colour]", unit.finish === "metallic" ? _("%(colour)s metallic", unit) : unit.colour);
  document.querySelector("[data-card]")?.setAttribute("href", `/units/${unit.id}`);
  document.querySelector("[data-swatch]")?.setAttribute("fill", unit.colour_hex ?? "none");
}

/** @param {{looked: number, total: number}} coverage of this lap */
export function showCoverage({ looked, total }) {
  const cell = /** @type {HTMLElement | null} */ (document.querySelector("[data-coverage]"));
  if (!cell) return;
  cell.hidden = false;
  write("[data-looked]", String(looked));
  write("[data-total]", String(total));
  const scale = cell.querySelector("progress");
  if (scale) [scale.max, scale.value] = [Math.max(1, total), looked];
}
