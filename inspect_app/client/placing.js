/** Placing finely on a board: a ring dragged under the loupe, or a line drawn from here to there. */

import { Loupe } from "./loupe.js";

/**
 * @typedef {import("./gestures.js").Touch} Touch
 * @typedef {"start" | "move" | "end" | "cancel"} Phase
 * @typedef {{x: number, y: number}} Place  mm on the drawing
 */

export const FINGER_PX = 32;
/** @type {Record<string, number>} half the width of what one can aim with, px */
const SPREAD_PX = { touch: 17, pen: 5, mouse: 3, fine: 3 };

/**
 * How far off a spot may be, in tenths of mm.
 * @param {number} unit mm per px
 * @param {string} how "touch", "pen", "mouse" or "fine"
 * @param {number} [contact] the finger's width in px, where the screen tells it
 * @returns {number}
 */
export function spreadOf(unit, how, contact = 0) {
  const known = SPREAD_PX[how] ?? 3;
  const px = how === "touch" ? Math.max(known, Math.min(contact / 2, 40)) : known;
  return Math.round(px * unit * 10);
}

/** The drags of one board. */
export class Placing {
  /** @param {import("./board.js").Board} board */
  constructor(board) {
    this.board = board;
    this.loupe = new Loupe(/** @type {HTMLElement} */ (board.svg.parentElement));
    /** @type {Place} from the finger to the ring it holds */
    this.held = { x: 0, y: 0 };
  }

  /**
   * Whether a finger is on something.
   * @param {Place | null} at
   * @param {Touch} touch
   */
  reaches(at, touch) {
    if (!at) return false;
    const screen = this.board.viewport.onScreen(at.x, at.y);
    return Math.hypot(screen.x - touch.x, screen.y - touch.y) <= FINGER_PX;
  }

  /**
   * A ring that was grabbed keeps its distance from the finger, so the finger need not cover the spot.
   * @param {Phase} phase
   * @param {Touch} touch
   * @param {Touch} from
   */
  drag(phase, touch, from) {
    const { board } = this;
    if (phase === "start") this.held = this.grip(from);
    if (phase === "cancel") return this.end(null);
    const at = board.viewport.at(touch.x, touch.y);
    const place = { x: at.x + this.held.x, y: at.y + this.held.y };
    board.lay(place);
    this.magnify(place, touch);
    board.options.place?.(board.spot(place, "fine"), phase === "end");
    return phase === "end" ? this.end(place) : undefined;
  }

  /** @param {Touch} from @returns {Place} */
  grip(from) {
    const { laid, viewport } = this.board;
    const start = viewport.at(from.x, from.y);
    return laid && this.reaches(laid, from) ? { x: laid.x - start.x, y: laid.y - start.y } : { x: 0, y: 0 };
  }

  /** @param {Place | null} at */
  end(at) {
    this.loupe.hide();
    this.board.lay(at);
  }

  /**
   * @param {Phase} phase
   * @param {Touch} touch
   * @param {Touch} from
   */
  line(phase, touch, from) {
    const { board } = this;
    const [a, b] = [board.viewport.at(from.x, from.y), board.viewport.at(touch.x, touch.y)];
    const done = phase === "end" || phase === "cancel";
    board.line = done ? null : { a, b };
    if (done) this.loupe.hide();
    else this.magnify(b, touch);
    if (phase !== "cancel") board.options.line?.(board.spot(a, touch.type, touch.contact), board.spot(b, "fine"), done);
    board.redrawTools();
  }

  /** @param {Place} place @param {Touch} touch */
  magnify(place, touch) {
    this.loupe.show(place, touch, this.board.viewport.unit, this.board.drawing.root.id);
  }

  stop() {
    this.loupe.remove();
  }
}
