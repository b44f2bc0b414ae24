/** The drawing by keyboard: arrows move a reticle (Shift: finely), Enter marks, plus and minus zoom, Home shows all. */

import { crossAt } from "./loupe.js";
import { path } from "./outline.js";

const STEP_PX = 24;
const FINE_PX = 2;

/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** One reticle on one board. */
export class Reticle {
  /** @param {import("./board.js").Board} board */
  constructor(board) {
    this.board = board;
    this.seen = false;
    this.at = { x: 0, y: 0 };
    this.controller = new AbortController();
    const { signal } = this.controller;
    const { svg } = board;
    if (!svg.hasAttribute("tabindex")) svg.setAttribute("tabindex", "0");
    svg.setAttribute("role", "application");
    svg.addEventListener("keydown", (event) => this.onKey(event), { signal });
    svg.addEventListener("blur", () => this.show(false), { signal });
    svg.addEventListener("pointerdown", () => this.show(false), { signal });
  }

  /** Back to the middle of what is in sight. */
  reset() {
    const { x, y, w, h } = this.board.viewport.box;
    this.at = { x: x + w / 2, y: y + h / 2 };
    this.seen = false;
  }

  /** @param {boolean} seen */
  show(seen) {
    if (this.seen === seen) return;
    this.seen = seen;
    this.board.redrawTools();
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target !== this.board.svg) return;
    const arrow = ARROWS[event.key];
    if (arrow) this.move(arrow, event.shiftKey ? FINE_PX : STEP_PX);
    else if (event.key === "Enter" || event.key === " ") this.mark();
    else if (event.key === "+" || event.key === "=") this.zoom(1.6);
    else if (event.key === "-") this.zoom(1 / 1.6);
    else if (event.key === "Home") this.board.zoomTo(null);
    else if (event.key === "Escape") this.show(false);
    else return;
    event.preventDefault();
  }

  /**
   * @param {[number, number]} direction
   * @param {number} px
   */
  move([dx, dy], px) {
    const { viewport } = this.board;
    if (!this.seen) this.reset();
    this.seen = true;
    const { view } = viewport;
    this.at = {
      x: Math.max(0, Math.min(view.width, this.at.x + dx * px * viewport.unit)),
      y: Math.max(0, Math.min(view.height, this.at.y + dy * px * viewport.unit)),
    };
    this.follow();
    this.board.redrawTools();
    this.board.options.aim?.(this.board.spot(this.at, "fine"));
  }

  /** Keep the reticle in sight. */
  follow() {
    const { viewport } = this.board;
    const { x, y, w, h } = viewport.box;
    const [dx, dy] = [beyond(this.at.x, x, w), beyond(this.at.y, y, h)];
    if (dx !== 0 || dy !== 0) viewport.show({ x: x + dx, y: y + dy, w, h });
  }

  mark() {
    if (!this.seen) return this.move([0, 0], 0);
    const spot = this.board.spot(this.at, "fine");
    return this.board.options.tap(spot, this.board.marksNear(spot.x, spot.y));
  }

  /** @param {number} factor */
  zoom(factor) {
    const { viewport } = this.board;
    const { x, y, w, h } = viewport.box;
    const at = viewport.onScreen(this.seen ? this.at.x : x + w / 2, this.seen ? this.at.y : y + h / 2);
    viewport.zoomAt(at.x, at.y, factor);
  }

  /**
   * @param {number} unit mm per px
   * @returns {SVGElement[]}
   */
  elements(unit) {
    return this.seen ? [path("reticle", crossAt(this.at, 7 * unit, 26 * unit))] : [];
  }

  stop() {
    this.controller.abort();
  }
}

/**
 * How far a box has to move so that `value` lies well inside it.
 * @param {number} value
 * @param {number} start
 * @param {number} span
 */
function beyond(value, start, span) {
  const edge = span * 0.08;
  if (value < start + edge) return value - (start + edge);
  return value > start + span - edge ? value - (start + span - edge) : 0;
}
