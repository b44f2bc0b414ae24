/**
 * Fingers, pens and mice on a drawing: tap, hold and drag to place finely, drag to pan, pinch, double tap, wheel.
 *
 * A long press is a short cut, never the only way: a ring that lies there can be dragged as well. A resting hand is no
 * finger: a contact as wide as a palm is left alone, and so is every finger while a pen writes.
 *
 * @typedef {{x: number, y: number, type: string, contact: number}} Touch  client px; contact is the finger's width in px
 *
 * @typedef {{x: number, y: number, span: number}} Two  the middle of two fingers and how far apart they are, px
 *
 * @typedef {object} Hands
 * @property {(touch: Touch) => void} tap
 * @property {(touch: Touch) => void} doubleTap
 * @property {(touch: Touch) => boolean} grab  whether a drag from here moves something, e.g. the ring that lies there
 * @property {(phase: "start" | "move" | "end" | "cancel", touch: Touch, from: Touch) => void} drag
 * @property {(dx: number, dy: number) => void} pan
 * @property {(x: number, y: number, factor: number) => void} zoom
 * @property {(begin: boolean, from: Two, to: Two) => void} pinch  two fingers since they were put down
 * @property {() => boolean} canPan
 */

const HOLD_MS = 220;
const SLOW_MS = 600; // whoever holds longer is looking through the loupe
const DOUBLE_MS = 320;
const SLOP = { touch: 9, pen: 5, mouse: 3 };
const DOUBLE_PX = 30;
const PALM_PX = 120; // a gloved thumb leaves 20 mm at most, on any tablet less than this; common practice, no source
const PEN_MS = 500; // the hand that holds a pen comes down a little before it or stays a little after it

/**
 * @param {PointerEvent} event
 * @returns {Touch}
 */
function touchOf(event) {
  return { x: event.clientX, y: event.clientY, type: event.pointerType || "mouse", contact: Math.max(event.width, event.height) || 0 };
}

/** @param {Touch} a @param {Touch} b */
function apart(a, b) {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

/**
 * @param {Touch[]} touches
 * @returns {Two}
 */
function twoOf([a, b]) {
  if (!a || !b) return { x: a?.x ?? 0, y: a?.y ?? 0, span: 1 };
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, span: Math.max(1, apart(a, b)) };
}

/** Turns pointer events of one element into the calls of Hands. */
export class Gestures {
  /**
   * @param {SVGSVGElement} svg
   * @param {Hands} hands
   */
  constructor(svg, hands) {
    this.svg = svg;
    this.hands = hands;
    /** @type {Map<number, Touch>} */
    this.down = new Map();
    /** @type {"none" | "press" | "pan" | "drag" | "pinch"} */
    this.mode = "none";
    /** @type {Touch} */
    this.from = { x: 0, y: 0, type: "mouse", contact: 0 };
    /** @type {Two} */
    this.two = { x: 0, y: 0, span: 1 };
    this.grabbed = false;
    /** the finger has left the spot where it came down */
    this.left = false;
    this.penned = -Infinity;
    this.pressed = -Infinity;
    this.hold = 0;
    this.lastTap = { at: -Infinity, touch: this.from };
    this.controller = new AbortController();
    this.wire();
  }

  wire() {
    const { signal } = this.controller;
    const { svg } = this;
    svg.addEventListener("pointerdown", (event) => this.onDown(event), { signal });
    svg.addEventListener("pointermove", (event) => this.onMove(event), { signal });
    svg.addEventListener("pointerup", (event) => this.onUp(event, false), { signal });
    svg.addEventListener("pointercancel", (event) => this.onUp(event, true), { signal });
    svg.addEventListener("wheel", (event) => this.onWheel(event), { signal, passive: false });
    // A tap may lay a sheet under the finger; the click that browsers make of the touch afterwards must not press a button of it.
    svg.addEventListener("touchend", (event) => event.cancelable && event.preventDefault(), { signal, passive: false });
    svg.addEventListener("contextmenu", (event) => event.preventDefault(), { signal });
  }

  /** Something else was pressed meanwhile: the next tap is no second half of a double tap. */
  forget() {
    this.lastTap = { ...this.lastTap, at: -Infinity };
  }

  stop() {
    clearTimeout(this.hold);
    this.controller.abort();
  }

  /** @param {PointerEvent} event */
  onDown(event) {
    if (event.button > 0) return undefined;
    const touch = touchOf(event);
    if (touch.type === "pen") this.takePen(event.timeStamp);
    else if (this.isHand(touch, event.timeStamp)) return undefined;
    this.down.set(event.pointerId, touch);
    capture(this.svg, event.pointerId);
    if (this.down.size > 1) return this.pinch();
    [this.mode, this.from, this.grabbed, this.left, this.pressed] = ["press", touch, this.hands.grab(touch), false, event.timeStamp];
    clearTimeout(this.hold);
    this.hold = setTimeout(() => this.mode === "press" && this.begin(this.from), HOLD_MS);
    return undefined;
  }

  /** The pen goes before the fingers: what they had begun is over. @param {number} at */
  takePen(at) {
    this.penned = at;
    if ([...this.down.values()].some(({ type }) => type === "touch")) this.letGo();
  }

  /** What was begun was not meant. */
  letGo() {
    clearTimeout(this.hold);
    if (this.mode === "drag") this.hands.drag("cancel", this.from, this.from);
    this.mode = "none";
    this.down.clear();
  }

  /** @param {Touch} touch @param {number} at */
  isHand(touch, at) {
    if (touch.type !== "touch") return false;
    const writing = [...this.down.values()].some(({ type }) => type === "pen");
    return touch.contact >= PALM_PX || writing || at - this.penned < PEN_MS;
  }

  /** @param {Touch} touch */
  begin(touch) {
    this.mode = "drag";
    this.hands.drag("start", touch, this.from);
  }

  pinch() {
    clearTimeout(this.hold);
    if (this.mode === "drag") this.hands.drag("cancel", this.from, this.from);
    this.mode = "pinch";
    this.two = twoOf([...this.down.values()]);
    this.hands.pinch(true, this.two, this.two);
  }

  /** @param {PointerEvent} event */
  onMove(event) {
    const before = this.down.get(event.pointerId);
    if (!before) return undefined;
    const touch = touchOf(event);
    if (touch.type === "touch" && touch.contact >= PALM_PX) return this.letGo(); // it came down on its edge
    this.down.set(event.pointerId, touch);
    if (this.mode !== "pinch" && apart(touch, this.from) > slopOf(touch)) this.left = true;
    if (this.mode === "press" && this.left) this.leave(touch);
    if (this.mode === "pinch" && this.down.size > 1) this.hands.pinch(false, this.two, twoOf([...this.down.values()]));
    else if (this.mode === "pan") this.hands.pan(touch.x - before.x, touch.y - before.y);
    else if (this.mode === "drag") this.hands.drag("move", touch, this.from);
    return undefined;
  }

  /**
   * The finger has left the spot: something is dragged, or the drawing.
   * @param {Touch} touch
   */
  leave(touch) {
    clearTimeout(this.hold);
    if (this.grabbed || !this.hands.canPan()) this.begin(touch);
    else this.mode = "pan";
  }

  /**
   * @param {PointerEvent} event
   * @param {boolean} cancelled
   */
  onUp(event, cancelled) {
    if (!this.down.delete(event.pointerId)) return;
    clearTimeout(this.hold);
    if (event.pointerType === "pen") this.penned = event.timeStamp;
    const { mode } = this;
    if (this.down.size > 0) return;
    this.mode = "none";
    if (mode === "drag" && !cancelled && this.slow(event)) this.tapSlowly();
    else if (mode === "drag") this.hands.drag(cancelled ? "cancel" : "end", touchOf(event), this.from);
    else if (mode === "press" && !cancelled) this.tapped(this.from, event.timeStamp);
  }

  /** A finger that lay still for long, as a glove does, has tapped; it was never as exact as the loupe. @param {PointerEvent} event */
  slow(event) {
    return event.pointerType === "touch" && !this.left && !this.grabbed && event.timeStamp - this.pressed < SLOW_MS;
  }

  tapSlowly() {
    this.hands.drag("cancel", this.from, this.from);
    this.hands.tap(this.from);
  }

  /**
   * @param {Touch} touch
   * @param {number} at
   */
  tapped(touch, at) {
    const twice = at - this.lastTap.at < DOUBLE_MS && apart(touch, this.lastTap.touch) < DOUBLE_PX;
    this.lastTap = { at: twice ? -Infinity : at, touch };
    if (twice) this.hands.doubleTap(touch);
    else this.hands.tap(touch);
  }

  /** @param {WheelEvent} event */
  onWheel(event) {
    event.preventDefault();
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    const speed = event.ctrlKey ? 0.01 : 0.0015;
    this.hands.zoom(event.clientX, event.clientY, Math.exp(-event.deltaY * lines * speed));
  }
}

/** @param {Touch} touch */
function slopOf({ type }) {
  return type === "touch" ? SLOP.touch : type === "pen" ? SLOP.pen : SLOP.mouse;
}

/**
 * @param {Element} element
 * @param {number} pointer
 */
function capture(element, pointer) {
  try {
    element.setPointerCapture(pointer);
  } catch {
    // the finger is gone already
  }
}
