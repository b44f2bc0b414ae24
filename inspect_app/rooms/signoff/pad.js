/**
 * The signature pad: strokes as points from 0 to 1000 both ways in a box three times as wide as high, the shape in which the
 * sheet draws them. Being an SVG with a viewBox it needs no redrawing when the tablet is turned.
 *
 * @typedef {[number, number]} Point
 * @typedef {Point[]} Stroke
 */

import { svg } from "../../client/elements.js";

const NEAR = 3; // thousandths; finer than a finger, and it keeps a signature to a few hundred points
const MOST_STROKES = 200;

/** @param {Stroke} stroke @returns {string} path data in the pad's own units */
export function strokePath(stroke) {
  const at = stroke.map(([x, y]) => `${x * 3} ${y}`);
  return stroke.length === 1 ? `M${at[0]}h0` : `M${at.join("L")}`;
}

/** Length of the ink in thousandths. @param {Stroke[]} strokes */
export function inkOf(strokes) {
  return strokes.reduce((sum, stroke) => sum + stroke.slice(1).reduce((long, [x, y], i) => {
    const [px, py] = /** @type {Point} */ (stroke[i]);
    return long + Math.abs(x - px) + Math.abs(y - py);
  }, 0), 0);
}

/** A pad in somebody's hand: finger, stylus or mouse. A palm beside the stylus is not taken for a finger. */
export class Pad {
  /**
   * @param {SVGSVGElement} box
   * @param {() => void} changed
   */
  constructor(box, changed) {
    this.svg = box;
    this.changed = changed;
    /** @type {Stroke[]} */
    this.strokes = [];
    this.typed = false;
    this.penAt = -Infinity;
    /** @type {number | null} */
    this.pointer = null;
    box.addEventListener("pointerdown", (event) => this.down(event));
    // A stroke that ends in a flick would count as a fling, and Chromium takes the next tap for the finger that stops it.
    box.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    box.addEventListener("pointermove", (event) => this.move(event));
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) box.addEventListener(end, (event) => this.up(/** @type {PointerEvent} */ (event)));
  }

  /** @param {PointerEvent} event */
  down(event) {
    if (event.pointerType === "pen") this.penAt = performance.now();
    const palm = event.pointerType === "touch" && performance.now() - this.penAt < 2000;
    if (this.pointer !== null || palm || event.button !== 0 || this.strokes.length >= MOST_STROKES) return;
    if (this.typed) this.clear();
    event.preventDefault();
    this.pointer = event.pointerId;
    this.svg.setPointerCapture(event.pointerId);
    this.strokes.push([this.at(event)]);
    this.draw();
  }

  /** @param {PointerEvent} event */
  move(event) {
    if (event.pointerId !== this.pointer) return;
    if (event.pointerType === "pen") this.penAt = performance.now();
    const stroke = this.strokes.at(-1);
    const every = event.getCoalescedEvents?.() ?? [];
    for (const step of every.length > 0 ? every : [event]) {
      const [x, y] = this.at(step);
      const [px, py] = stroke?.at(-1) ?? [NaN, NaN];
      if (Math.hypot(x - px, y - py) >= NEAR) stroke?.push([x, y]);
    }
    this.draw();
  }

  /** @param {PointerEvent} event */
  up(event) {
    if (event.pointerId !== this.pointer) return;
    this.pointer = null;
    this.changed();
  }

  /** @param {{clientX: number, clientY: number}} event @returns {Point} */
  at({ clientX, clientY }) {
    const { left, top, width, height } = this.svg.getBoundingClientRect();
    /** @param {number} share */
    const whole = (share) => Math.max(0, Math.min(1000, Math.round(share * 1000)));
    return [whole((clientX - left) / width), whole((clientY - top) / height)];
  }

  /**
   * Put in strokes that were not drawn by hand.
   * @param {Stroke[]} strokes
   */
  write(strokes) {
    this.strokes = strokes;
    this.typed = strokes.length > 0;
    this.draw();
    this.changed();
  }

  undo() {
    if (this.typed) return this.clear();
    this.strokes.pop();
    this.draw();
    return this.changed();
  }

  clear() {
    this.strokes = [];
    this.typed = false;
    this.draw();
    this.changed();
  }

  draw() {
    const paths = this.strokes.map((stroke) => svg("path", { d: strokePath(stroke), "vector-effect": "non-scaling-stroke" }));
    this.svg.replaceChildren(...paths);
  }
}
