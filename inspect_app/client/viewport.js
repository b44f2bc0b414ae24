/**
 * Which piece of a drawing is in sight. Zoomed by viewBox alone: some browsers' coordinates ignore CSS transforms.
 *
 * The box always has the shape of the element, so one pixel is the same length in both directions. Lengths in mm.
 *
 * @typedef {{x: number, y: number, w: number, h: number}} Box
 * @typedef {{width: number, height: number}} Area
 */

const MARGIN = 0.03; // of the view, around it when all is in sight
const NEAREST = 150; // mm across at the closest

/**
 * All of a view, in the shape of the element.
 * @param {Area} view
 * @param {Area} element px
 * @returns {Box}
 */
export function wholeBox(view, element) {
  const pad = MARGIN * Math.max(view.width, view.height);
  return shaped({ x: -pad, y: -pad, w: view.width + 2 * pad, h: view.height + 2 * pad }, element);
}

/**
 * Grow a box around its middle to the shape of the element.
 * @param {Box} box
 * @param {Area} element
 * @returns {Box}
 */
export function shaped({ x, y, w, h }, element) {
  const ratio = element.width / Math.max(1, element.height);
  const [wide, high] = w / h < ratio ? [h * ratio, h] : [w, w / ratio];
  return { x: x - (wide - w) / 2, y: y - (high - h) / 2, w: wide, h: high };
}

/**
 * Keep a box within the whole: never wider, never beside it, never too near.
 * @param {Box} box in the element's shape
 * @param {Box} whole
 * @returns {Box}
 */
export function held(box, whole) {
  const scale = Math.min(whole.w / box.w, Math.max(1, NEAREST / box.w));
  const [w, h] = [box.w * scale, box.h * scale];
  const [cx, cy] = [box.x + box.w / 2, box.y + box.h / 2];
  return { x: between(cx - w / 2, whole.x, whole.x + whole.w - w), y: between(cy - h / 2, whole.y, whole.y + whole.h - h), w, h };
}

/**
 * @param {number} value
 * @param {number} low
 * @param {number} high
 */
function between(value, low, high) {
  return Math.max(low, Math.min(value, Math.max(low, high)));
}

/** The window onto one drawing. */
export class Viewport {
  /**
   * @param {SVGSVGElement} svg
   * @param {Area} view
   * @param {() => void} changed called whenever the box has changed
   */
  constructor(svg, view, changed) {
    this.svg = svg;
    this.view = view;
    this.changed = changed;
    this.frame = 0;
    /** as last measured: asking the browser in the middle of drawing makes it lay out the whole page @type {Area | null} */
    this.measured = null;
    /** where a glide is going @type {Box | null} */
    this.goal = null;
    /** @type {Box} */
    this.box = { x: 0, y: 0, w: view.width, h: view.height };
    this.before = this.box;
    /** the element as the box was last made for it @type {Area} */
    this.area = this.element;
    this.observer = new ResizeObserver(() => {
      this.measured = null;
      this.resized();
    });
    this.observer.observe(svg);
    this.show(this.whole);
  }

  /** The element as it was last seen on the screen. @returns {Area} px */
  get element() {
    if (this.measured) return this.measured;
    const { width, height } = this.svg.getBoundingClientRect();
    this.measured = { width: Math.max(1, width), height: Math.max(1, height) };
    return this.measured;
  }

  /** @returns {Box} */
  get whole() {
    return wholeBox(this.view, this.element);
  }

  /** Millimetres per pixel. */
  get unit() {
    return this.box.w / this.element.width;
  }

  /** True when there is anything beside what is in sight. */
  get zoomed() {
    return this.box.w < this.whole.w * 0.98;
  }

  /**
   * @param {Area} view
   */
  setView(view) {
    this.view = view;
    this.measured = null; // it may have been hidden until now
    this.show(this.whole);
  }

  /** A line under the drawing that grew or shrank moves nothing under the finger; a tablet that was turned keeps the middle. */
  resized() {
    const { area, box, element } = this;
    if (this.goal) return this.glide(this.goal); // the page moved meanwhile: go on to the same place
    const near = box.w < wholeBox(this.view, area).w * 0.98;
    if (near && area.width === element.width) return this.show({ ...box, h: (box.w * element.height) / element.width });
    const span = this.zoomed ? box : this.whole;
    return this.show(shaped({ x: box.x + (box.w - span.w) / 2, y: box.y + (box.h - span.h) / 2, w: span.w, h: span.h }, element));
  }

  /** @param {Box} box */
  show(box) {
    cancelAnimationFrame(this.frame);
    this.goal = null;
    this.set(held(box, this.whole));
  }

  /** @param {Box} box */
  set(box) {
    [this.box, this.area] = [box, this.element];
    this.svg.setAttribute("viewBox", [box.x, box.y, box.w, box.h].map((v) => Math.round(v * 100) / 100).join(" "));
    this.changed();
  }

  /**
   * Glide there, so that the eye can follow; at once for those who asked for less motion.
   * @param {Box} box any shape
   * @param {number} [ms]
   */
  glide(box, ms = 160) {
    const [from, to] = [this.box, held(shaped(box, this.element), this.whole)];
    cancelAnimationFrame(this.frame);
    this.goal = box;
    if (matchMedia("(prefers-reduced-motion: reduce)").matches || document.hidden) return this.show(to);
    // The first frame shows what the tap has drawn, as it lies; the drawing moves from the second on.
    let start = 0;
    const step = () => {
      const now = performance.now();
      start ||= now;
      const t = Math.min(1, (now - start) / ms);
      if (t > 0) this.set(t === 1 ? to : mixed(from, to, t * (2 - t)));
      if (t < 1) this.frame = requestAnimationFrame(step);
      else this.goal = null;
    };
    this.frame = requestAnimationFrame(step);
    return undefined;
  }

  /**
   * Zoom about a point that stays where it is on the screen.
   * @param {number} clientX
   * @param {number} clientY
   * @param {number} factor above 1 brings nearer
   */
  zoomAt(clientX, clientY, factor) {
    const { x, y } = this.at(clientX, clientY);
    const w = Math.min(this.whole.w, Math.max(NEAREST, this.box.w / factor));
    const scale = w / this.box.w;
    this.show({ x: x - (x - this.box.x) * scale, y: y - (y - this.box.y) * scale, w, h: this.box.h * scale });
  }

  /**
   * Two fingers: what lay between them when they came down stays between them. Reckoned from the beginning each time,
   * so that meeting the edge on the way leaves no trace.
   * @param {boolean} begin
   * @param {import("./gestures.js").Two} from
   * @param {import("./gestures.js").Two} to
   */
  pinch(begin, from, to) {
    if (begin) this.before = this.box;
    const { before, element } = this;
    const { left, top } = this.svg.getBoundingClientRect();
    const w = Math.min(this.whole.w, Math.max(NEAREST, (before.w * from.span) / to.span));
    const [old, unit] = [before.w / element.width, w / element.width];
    const x = before.x + (from.x - left) * old - (to.x - left) * unit;
    const y = before.y + (from.y - top) * old - (to.y - top) * unit;
    this.show({ x, y, w, h: (before.h * w) / before.w });
  }

  /**
   * @param {number} dx px the drawing moves to the right
   * @param {number} dy
   */
  panBy(dx, dy) {
    this.show({ ...this.box, x: this.box.x - dx * this.unit, y: this.box.y - dy * this.unit });
  }

  /**
   * Where a place on the screen lies on the drawing.
   * @param {number} clientX
   * @param {number} clientY
   * @returns {{x: number, y: number}} mm
   */
  at(clientX, clientY) {
    const { left, top } = this.svg.getBoundingClientRect();
    return { x: this.box.x + (clientX - left) * this.unit, y: this.box.y + (clientY - top) * this.unit };
  }

  /**
   * Where a place on the drawing lies on the screen.
   * @param {number} x mm
   * @param {number} y mm
   * @returns {{x: number, y: number}} client px
   */
  onScreen(x, y) {
    const { left, top } = this.svg.getBoundingClientRect();
    return { x: left + (x - this.box.x) / this.unit, y: top + (y - this.box.y) / this.unit };
  }

  stop() {
    cancelAnimationFrame(this.frame);
    this.observer.disconnect();
  }
}

/**
 * @param {Box} a
 * @param {Box} b
 * @param {number} t
 * @returns {Box}
 */
function mixed(a, b, t) {
  return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t, w: a.w + (b.w - a.w) * t, h: a.h + (b.h - a.h) * t };
}
