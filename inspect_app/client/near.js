/** Bringing zones near. */

/** @typedef {import("./board.js").Board} Board */

/**
 * Bring zones near, with a little of what lies around them.
 * @param {Board} board
 * @param {string[]} zones
 */
export function nearAll(board, zones) {
  const boxes = zones.map((id) => board.outline.zone(id)).filter((zone) => zone !== null && zone.rings.length > 0)
    .map((zone) => board.outline.boxOf(/** @type {import("./outline.js").Zone} */ (zone)));
  if (boxes.length === 0) return board.viewport.glide(board.viewport.whole);
  const [left, top] = [Math.min(...boxes.map((box) => box.left)), Math.min(...boxes.map((box) => box.top))];
  const [right, bottom] = [Math.max(...boxes.map((box) => box.right)), Math.max(...boxes.map((box) => box.bottom))];
  const pad = 0.3 * Math.max(right - left, bottom - top, 300);
  return board.viewport.glide({ x: left - pad, y: top - pad, w: right - left + 2 * pad, h: bottom - top + 2 * pad });
}
