/**
 * The drawing one works on: the van's view, its rings, the loupe, the reticle. Walk, rework and look-again share it.
 *
 * It tells where something was tapped and what lies there; what that means is the room's business. Positions are
 * tenths of mm, whole numbers.
 */

import { circles } from "./clusters.js";
import { Gestures } from "./gestures.js";
import { _ } from "./gettext.js";
import { drawOutline, Outline, path } from "./outline.js";
import { FINGER_PX, Placing, spreadOf } from "./placing.js";
import { keepIn } from "./refill.js";
import { Reticle } from "./reticle.js";
import { hatchDefs, ring, scaleHatch } from "./ring.js";
import { Viewport } from "./viewport.js";

/**
 * @typedef {import("./gestures.js").Touch} Touch
 * @typedef {import("./outline.js").Zone} Zone
 * @typedef {{id: string, view: string, x: number | null, y: number | null, state: any, severity?: string | null, tag?: string,
 *   x2?: number | null, y2?: number | null}} Mark
 *
 * @typedef {object} Spot
 * @property {string} view
 * @property {number} x
 * @property {number} y
 * @property {number} spread  how far off it may be
 * @property {Zone | null} zone
 * @property {string} [by]  "touch", "pen", "mouse" or "fine"
 *
 * @typedef {object} Options
 * @property {(spot: Spot, marks: Mark[]) => void} tap  marks within a finger's width, the nearest first
 * @property {(spot: Spot, done: boolean) => void} [place]  the laid ring is being dragged; done on release
 * @property {(from: Spot, to: Spot, done: boolean) => void} [line]  drawn from here to there, while `lining` is on
 * @property {(spot: Spot) => void} [aim]  the reticle moved
 * @property {() => void} [zoomed]
 * @property {(mark: Mark) => boolean} [faint]  which rings stand back
 * @property {(mark: Mark) => boolean} [chosen]  the ring that is spoken of
 * @property {() => boolean} [quick]  each tap counts for itself, none is half of a double tap
 */

const RING_PX = 15;

/** One view of the van, on a screen, in somebody's hands. */
export class Board {
  /**
   * @param {SVGSVGElement} svg inside a positioned element (.board)
   * @param {import("./outline.js").OutlineJson} json
   * @param {string} viewId
   * @param {Options} options
   */
  constructor(svg, json, viewId, options) {
    this.svg = svg;
    this.options = options;
    this.outline = new Outline(json);
    this.drawing = drawOutline(svg, json, viewId);
    /** @type {Mark[]} */
    this.marks = [];
    /** What was judged together, of all views. @type {import("./types.js").Row[]} */
    this.clusters = [];
    /** @type {string | null} */
    this.chosen = null;
    /** @type {{x: number, y: number} | null} mm, the ring that is not kept yet */
    this.laid = null;
    /** True while a drag draws a line (a run, a scratch, a gap) and does not move a ring. */
    this.lining = false;
    /** @type {{a: {x: number, y: number}, b: {x: number, y: number}} | null} mm, the line being drawn */
    this.line = null;
    this.frame = 0;
    /** The rings as they are drawn, by marker. @type {Map<string, {looks: string, ring: SVGGElement}>} */
    this.rings = new Map();
    this.viewport = new Viewport(svg, this.drawing.view, () => this.redrawSoon());
    this.placing = new Placing(this);
    this.reticle = new Reticle(this);
    this.gestures = new Gestures(svg, this.hands());
    this.dress();
  }

  get viewId() {
    return this.drawing.view.id;
  }

  /** @param {string} viewId */
  setView(viewId) {
    this.drawing = drawOutline(this.svg, this.outline.json, viewId);
    this.laid = null;
    this.chosen = null;
    this.dress();
    this.viewport.setView(this.drawing.view);
  }

  dress() {
    this.rings.clear();
    this.svg.prepend(hatchDefs());
    this.svg.setAttribute("aria-label", _("%(view)s. Arrow keys move the reticle, Enter marks, plus and minus zoom.", { view: this.drawing.view.label }));
    this.reticle.reset();
    this.redraw();
  }

  /** @returns {import("./gestures.js").Hands} */
  hands() {
    return {
      tap: (touch) => this.tapped(touch),
      doubleTap: (touch) => this.doubleTapped(touch),
      grab: (touch) => this.lining || this.placing.reaches(this.laid, touch),
      drag: (phase, touch, from) => (this.lining ? this.placing.line(phase, touch, from) : this.placing.drag(phase, touch, from)),
      pan: (dx, dy) => this.viewport.panBy(dx, dy),
      zoom: (x, y, factor) => this.viewport.zoomAt(x, y, factor),
      pinch: (begin, from, to) => this.viewport.pinch(begin, from, to),
      canPan: () => this.viewport.zoomed,
    };
  }

  /**
   * Where an event lies on the drawing, with its zone.
   * @param {{clientX: number, clientY: number}} event
   * @param {string} [how]
   * @param {number} [contact]
   * @returns {Spot}
   */
  pointAt(event, how = "mouse", contact = 0) {
    return this.spot(this.viewport.at(event.clientX, event.clientY), how, contact);
  }

  /**
   * @param {{x: number, y: number}} at mm
   * @param {string} how
   * @param {number} [contact]
   * @returns {Spot}
   */
  spot(at, how, contact = 0) {
    const [x, y] = [Math.round(at.x * 10), Math.round(at.y * 10)];
    return { view: this.viewId, x, y, spread: spreadOf(this.viewport.unit, how, contact), zone: this.zoneAt(x, y), by: how };
  }

  /** @param {number} x @param {number} y @returns {Zone | null} */
  zoneAt(x, y) {
    return this.outline.zoneAt(this.viewId, x, y);
  }

  /**
   * Rings within a finger's width, the nearest first.
   * @param {number} x
   * @param {number} y
   * @returns {Mark[]}
   */
  marksNear(x, y) {
    const reach = FINGER_PX * this.viewport.unit * 10;
    /** @param {Mark} mark */
    const far = (mark) => Math.hypot((mark.x ?? Infinity) - x, (mark.y ?? Infinity) - y);
    return this.marks.filter((mark) => mark.view === this.viewId && far(mark) <= reach).sort((a, b) => far(a) - far(b));
  }

  /** @param {Touch} touch */
  tapped(touch) {
    const spot = this.spot(this.viewport.at(touch.x, touch.y), touch.type, touch.contact);
    this.options.tap(spot, this.marksNear(spot.x, spot.y));
  }

  /** @param {Touch} touch */
  doubleTapped(touch) {
    if (this.options.quick?.()) return this.tapped(touch);
    this.lay(null);
    if (this.viewport.zoomed) this.viewport.glide(this.viewport.whole);
    else this.viewport.zoomAt(touch.x, touch.y, 3);
    return undefined;
  }

  /**
   * Lay the ring that is not kept yet, or take it away.
   * @param {{x: number, y: number} | null} at mm
   */
  lay(at) {
    this.laid = at;
    this.redrawTools();
  }

  /**
   * Bring a zone near enough to place within a few centimetres; all of the view without one.
   * @param {Zone | string | null} zone
   */
  zoomTo(zone) {
    const found = typeof zone === "string" ? this.outline.zone(zone) : zone;
    if (!found || found.rings.length === 0) return this.viewport.glide(this.viewport.whole);
    const { left, right, top, bottom } = this.outline.boxOf(found);
    const pad = 0.18 * Math.max(right - left, bottom - top);
    return this.viewport.glide({ x: left - pad, y: top - pad, w: right - left + 2 * pad, h: bottom - top + 2 * pad });
  }

  /** @param {Mark[]} marks of all views @param {import("./types.js").Row[]} [clusters] */
  showMarks(marks, clusters = []) {
    this.marks = marks;
    this.clusters = clusters;
    this.redraw();
  }

  /**
   * Tell zones apart: "none" not looked at, "again", "absent" not fitted, "off" the van; anything else is plain.
   * @param {(zone: string) => string | null} lookOf
   */
  showLooks(lookOf) {
    for (const [id, element] of this.drawing.zones) {
      const look = lookOf(id) || undefined;
      if (element.dataset.look === look) continue;
      if (look) element.dataset.look = look;
      else delete element.dataset.look;
    }
  }

  /** @param {string | null} zone */
  choose(zone) {
    this.chosen = zone;
    this.redrawTools();
  }

  redrawSoon() {
    cancelAnimationFrame(this.frame);
    this.frame = requestAnimationFrame(() => {
      this.redraw();
      this.options.zoomed?.();
    });
  }

  /** Rings keep one size on the screen, so they are drawn anew when the drawing comes nearer; else only what has changed is. */
  redraw() {
    const { unit } = this.viewport;
    scaleHatch(this.svg, unit);
    const shown = this.marks.filter((mark) => mark.view === this.viewId && mark.x !== null && mark.y !== null);
    const before = this.rings;
    this.rings = new Map(shown.map((mark) => {
      const looks = [unit, mark.state, mark.tag, mark.severity, mark.x, mark.y, mark.x2, mark.y2].join();
      const drawn = before.get(mark.id);
      return [mark.id, drawn?.looks === looks ? drawn : { looks, ring: this.ringOf(mark, unit) }];
    }));
    for (const mark of shown) {
      const list = this.rings.get(mark.id)?.ring.classList;
      list?.toggle("faint", this.options.faint?.(mark) ?? false);
      list?.toggle("chosen", this.options.chosen?.(mark) ?? false);
    }
    keepIn(this.drawing.marks, [...this.rings.values()].map(({ ring: drawn }) => drawn));
    this.redrawTools();
  }

  /** @param {Mark} mark @param {number} unit */
  ringOf(mark, unit) {
    const { state, tag = "", severity } = mark;
    const x = (mark.x ?? 0) / 10;
    const side = x > this.drawing.view.width - (19 + 12 * tag.length) * unit ? "left" : "right";
    const drawn = ring({ state, tag, severity: severity ?? "S3", x, y: (mark.y ?? 0) / 10, r: RING_PX * unit, seed: mark.id, side });
    drawn.dataset.marker = mark.id;
    if (mark.x2 != null && mark.y2 != null) drawn.prepend(path("ring-line", `M0 0L${mark.x2 / 10 - x} ${(mark.y2 - (mark.y ?? 0)) / 10}`));
    return drawn;
  }

  redrawTools() {
    const { unit } = this.viewport;
    /** @type {SVGElement[]} */
    const tools = circles(this.clusters, this.viewId, unit);
    const zone = this.chosen && this.outline.zone(this.chosen);
    if (zone) tools.push(path("chosen-line", zone.d));
    if (this.line) tools.push(path("ring-path", `M${this.line.a.x} ${this.line.a.y}L${this.line.b.x} ${this.line.b.y}`));
    if (this.laid) tools.push(ring({ state: "open", x: this.laid.x, y: this.laid.y, r: RING_PX * unit, seed: "laid" }));
    tools.push(...this.reticle.elements(unit));
    const before = [...this.drawing.tools.children]; // what stays the same is not painted again
    keepIn(this.drawing.tools, tools.map((tool) => before.find((one) => one.isEqualNode(tool)) ?? tool));
  }

  stop() {
    cancelAnimationFrame(this.frame);
    this.gestures.stop();
    this.viewport.stop();
    this.reticle.stop();
    this.placing.stop();
  }
}
