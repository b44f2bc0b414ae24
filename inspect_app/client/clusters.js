/** Marks that the server judged together: circles round them on the drawing, and a line of words in the list of markers. */

import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { capital } from "./in_words.js";
import { path } from "./outline.js";

/** @typedef {import("./types.js").Row} Row */

const LEAST_PX = 26; // a circle that stays outside of the rings in it

/** What stands now. @param {Row[] | undefined} rows @returns {Row[]} */
export function standing(rows) {
  return (rows ?? []).filter((row) => !row.gone);
}

/**
 * Circles for one view; "over" is drawn through, "unsure" is broken.
 * @param {Row[]} clusters
 * @param {string} view
 * @param {number} unit mm a pixel
 */
export function circles(clusters, view, unit) {
  return clusters.filter((row) => row.view === view).map((row) => {
    const [x, y, r] = [row.x / 10, row.y / 10, Math.max(row.reach / 10, LEAST_PX * unit)];
    return path("cluster", `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`, { "data-outcome": row.outcome });
  });
}

/**
 * The words of what concerns any of these markers.
 * @param {Row[]} clusters
 * @param {Row[]} markers
 * @returns {HTMLElement[]}
 */
export function clusterLines(clusters, markers) {
  const tags = new Map(markers.map((marker) => [marker.id, marker.tag]));
  const told = clusters.filter((row) => row.markers.some((/** @type {string} */ id) => tags.has(id)));
  if (told.length === 0) return [];
  return [el("section", { class: "clusters", "aria-label": _("Judged together") }, ...told.map((row) => {
    const named = row.markers.map((/** @type {string} */ id) => tags.get(id)).filter(Boolean).join(" ");
    return el("p", { "data-cluster": row.outcome }, el("b", {}, named), ` ${capital(row.text)}.`);
  }))];
}
