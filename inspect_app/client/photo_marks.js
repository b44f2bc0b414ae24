/**
 * Arrows and rings on a photo: kept as data in thousandths of the picture, drawn over it, never into it.
 *
 * @typedef {{form: "arrow" | "ring", x: number, y: number, x2: number, y2: number}} PhotoMark
 */

import { svg } from "./elements.js";
import { _, allOf, ngettext } from "./gettext.js";

const [BARB, SPREAD] = [60, 0.45]; // as on the sheet (rooms/signoff/photo_strokes.py)

/**
 * @param {PhotoMark} mark
 * @param {number} wide of the picture, px
 * @param {number} high
 * @returns {string} path data in px of the picture
 */
function pathOf({ form, x, y, x2, y2 }, wide, high) {
  /** @param {number} px @param {number} py */
  const at = (px, py) => `${Math.round(px * wide) / 1000} ${Math.round(py * high) / 1000}`;
  if (form === "ring") {
    const [rx, ry, my] = [(Math.abs(x2 - x) * wide) / 2000, (Math.abs(y2 - y) * high) / 2000, (y + y2) / 2];
    return `M${at(x, my)}A${rx} ${ry} 0 1 1 ${at(x2, my)}A${rx} ${ry} 0 1 1 ${at(x, my)}`;
  }
  const [angle, barb] = [Math.atan2(y2 - y, x2 - x), Math.min(BARB, Math.hypot(x2 - x, y2 - y))];
  const [a, b] = [-SPREAD, SPREAD].map((turn) => at(x2 - barb * Math.cos(angle + turn), y2 - barb * Math.sin(angle + turn)));
  return `M${at(x, y)}L${at(x2, y2)}M${a}L${at(x2, y2)}L${b}`;
}

/** @param {PhotoMark[]} marks  @returns {string} "2 rings and 1 arrow"; "" for none */
export function markWords(marks) {
  const rings = marks.filter(({ form }) => form === "ring").length;
  const arrows = marks.length - rings;
  return allOf([rings ? ngettext("%(n)s ring", "%(n)s rings", rings) : "", arrows ? ngettext("%(n)s arrow", "%(n)s arrows", arrows) : ""].filter(Boolean));
}

/** @param {string} caption @param {PhotoMark[]} marks  @returns {string} what the picture shows, with what is drawn on it */
export function captionWith(caption, marks) {
  return marks.length === 0 ? caption : _("%(caption)s, %(marks)s drawn on it", { caption, marks: markWords(marks) });
}

/**
 * Lay the marks over a picture as the picture itself lies in its place.
 * @param {HTMLImageElement} image
 * @param {boolean} whole the picture is fitted in whole; else it fills its place and is cut
 * @returns {{layer: SVGElement, draw: (marks: PhotoMark[]) => void}}
 */
export function marksOver(image, whole) {
  const layer = svg("svg", { class: "shot-marks", "aria-hidden": "true", preserveAspectRatio: whole ? "xMidYMid meet" : "xMidYMid slice" });
  /** @type {PhotoMark[]} */
  let shown = [];
  /** @param {PhotoMark[]} marks */
  const draw = (marks) => {
    shown = marks;
    const { naturalWidth: wide, naturalHeight: high } = image;
    if (!wide) return;
    layer.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    layer.replaceChildren(...marks.flatMap((mark) => ["shot-rim", "shot-wax"].map((kind) => svg("path", { class: kind, d: pathOf(mark, wide, high) }))));
  };
  image.addEventListener("load", () => draw(shown));
  return { layer, draw };
}

/** Lay the marks over pictures that a page of the server shows (`img[data-marks]`). @param {ParentNode} root */
export function layMarks(root) {
  for (const image of /** @type {NodeListOf<HTMLImageElement>} */ (root.querySelectorAll("img[data-marks]"))) {
    const { layer, draw } = marksOver(image, false);
    image.after(layer);
    draw(JSON.parse(image.dataset.marks ?? "[]"));
    image.removeAttribute("data-marks");
  }
}
