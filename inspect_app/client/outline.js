/**
 * The outline on the tablet: which zone a spot lies in, which joint is near, how to say where; and its drawing.
 *
 * Positions are tenths of a millimetre in a view's own coordinates, as in the events.
 */

import { polylines } from "./curves.js";
import { boxOf, distanceToLine, distanceToRing, holds, nearestOnLine } from "./rings.js";
import { describe } from "./words.js";

/**
 * @typedef {import("./rings.js").Point} Point
 * @typedef {import("./rings.js").Ring} Ring
 * @typedef {{id: string, part: string, label: string, class: string, laps: string[], material: string, paint: string, overlay: boolean,
 *   order: number, d: string, rings: Ring[]}} Zone  its rings are worked out when they are first asked for
 * @typedef {{id: string, parts: [string, string], label: string, nominal: number, tolerance: number, d: string,
 *   lines: Point[][]}} Joint  its lines likewise
 * @typedef {{id: string, label: string, width: number, height: number, nose: string, listed: boolean,
 *   art: {class: string, d: string}[], mirror?: string, zones: Zone[], joints: Joint[]}} View  `mirror`: its art is that view's, turned round
 * @typedef {{id: string, label: string, hash: string, views: View[], parts: Record<string, any>}} OutlineJson
 * @typedef {{view: View, art: SVGGElement, marks: SVGGElement, tools: SVGGElement, root: SVGGElement,
 *   zones: Map<string, SVGPathElement>, joints: Map<string, SVGPathElement>}} Drawing
 */

const SVG = "http://www.w3.org/2000/svg";
const SNAP = 30; // mm a finger may miss the body by and still mean it; as in trade/outline.py

/** An outline that answers questions. */
export class Outline {
  /** @param {OutlineJson} json */
  constructor(json) {
    this.json = unfolded(json);
    /** @type {Map<string, View>} */
    this.views = new Map(json.views.map((view) => [view.id, view]));
    /** @type {Map<string, {zone: Zone, view: View}>} */
    this.found = new Map(json.views.flatMap((view) => view.zones.map((zone) => [zone.id, { zone, view }])));
    /** All zones in walking order. @type {Zone[]} */
    this.zones = [...this.found.values()].map(({ zone }) => zone).sort((a, b) => a.order - b.order);
  }

  /** @param {string} id @returns {Zone | null} */
  zone(id) {
    return this.found.get(id)?.zone ?? null;
  }

  /** @param {string} id of a zone @returns {View | null} */
  viewOf(id) {
    return this.found.get(id)?.view ?? null;
  }

  /**
   * The zone at a position: an overlay before what it lies on, the last drawn first, the nearest when the finger just
   * missed the body, null off it.
   * @param {string} viewId
   * @param {number} x
   * @param {number} y
   * @returns {Zone | null}
   */
  zoneAt(viewId, x, y) {
    const [px, py] = [x / 10, y / 10];
    const stack = this.stack(viewId);
    const inside = stack.find((zone) => holds(ringOf(zone), px, py));
    if (inside) return inside;
    let [best, nearest] = [SNAP, /** @type {Zone | null} */ (null)];
    for (const zone of stack) {
      const distance = distanceToRing(ringOf(zone), px, py);
      if (distance < best || (nearest === null && distance === best)) [best, nearest] = [distance, zone];
    }
    return nearest;
  }

  /** @param {string} viewId @returns {Zone[]} topmost first */
  stack(viewId) {
    const drawn = (this.views.get(viewId)?.zones ?? []).filter((zone) => zone.rings.length > 0).reverse();
    return [...drawn.filter((zone) => zone.overlay), ...drawn.filter((zone) => !zone.overlay)];
  }

  /**
   * The joint nearest to a position and the spot on it.
   * @param {string} viewId
   * @param {number} x
   * @param {number} y
   * @param {number} within tenths of mm
   * @returns {{joint: Joint, x: number, y: number, distance: number} | null}
   */
  nearestJoint(viewId, x, y, within) {
    let found = null;
    for (const joint of this.views.get(viewId)?.joints ?? []) {
      for (const line of joint.lines) {
        const distance = distanceToLine(line, x / 10, y / 10);
        if (distance * 10 > within || (found && distance >= found.distance)) continue;
        found = { joint, line, distance };
      }
    }
    if (!found) return null;
    const [jx, jy] = nearestOnLine(found.line, x / 10, y / 10);
    return { joint: found.joint, x: Math.round(jx * 10), y: Math.round(jy * 10), distance: Math.round(found.distance * 10) };
  }

  /**
   * @param {string} zoneId
   * @param {number} x
   * @param {number} y
   * @param {number} [spread]
   * @returns {string} "" for a zone this outline does not have
   */
  describe(zoneId, x, y, spread = 0) {
    const entry = this.found.get(zoneId);
    if (!entry) return "";
    const side = entry.view.id === "roof" ? "roof" : entry.view.nose;
    return describe(entry.zone.label, entry.zone.rings[0] ?? null, side, x, y, spread);
  }

  /** The box of a zone in mm. @param {Zone} zone */
  boxOf(zone) {
    return boxOf(ringOf(zone));
  }
}

/** @param {Zone} zone @returns {Ring} */
function ringOf(zone) {
  return zone.rings[0] ?? [];
}

/**
 * Let zones and joints tell the points of their paths. They are not sent: they follow from the paths, and would be a third of all.
 * @param {OutlineJson} json
 */
function unfolded(json) {
  for (const view of json.views) {
    for (const zone of view.zones) tells(zone, "rings", () => polylines(zone.d).map((line) => line.slice(0, -1)));
    for (const joint of view.joints) {
      joint.d ??= beforeItsPath(joint);
      tells(joint, "lines", () => polylines(joint.d));
    }
  }
  return json;
}

/** A browser may keep an outline for a year, in the words of the release that sent it: once joints had a line and no path. @param {any} joint */
function beforeItsPath({ line }) {
  return `M${line.map((/** @type {Point} */ [x, y]) => `${x} ${y}`).join("L")}`;
}

/**
 * @param {object} thing
 * @param {string} name
 * @param {() => any} made
 */
function tells(thing, name, made) {
  const get = () => {
    const value = made();
    Object.defineProperty(thing, name, { value });
    return value;
  };
  Object.defineProperty(thing, name, { get, configurable: true });
}

/** Have the points of a view ready before its first tap, which on a slow tablet would wait some frames for them. @param {View} view */
function workAhead(view) {
  const soon = globalThis.requestIdleCallback ?? ((/** @type {() => void} */ run, /** @type {unknown} */ _wait) => setTimeout(run, 100));
  soon(() => view.zones.forEach((zone) => zone.rings), { timeout: 500 }); // a page may go without an idle moment for minutes
}

let drawn = 0;

/**
 * Draw one view into an svg: art, zones (overlays last), joints, then empty layers for marks and tools. drawing.css
 * colours it; the caller sets the viewBox (see viewport.js).
 * @param {SVGSVGElement} svg
 * @param {OutlineJson} json
 * @param {string} viewId
 * @returns {Drawing}
 */
export function drawOutline(svg, json, viewId) {
  const view = json.views.find((v) => v.id === viewId);
  if (!view) throw new Error(`This outline has no view '${viewId}'.`);
  drawn += 1;
  const root = group("van", { id: `van-${drawn}` });
  const art = artOf(view, json);
  const zones = new Map(ordered(view.zones).map((zone) => [zone.id, zonePath(zone)]));
  const joints = new Map(view.joints.map((joint) => [joint.id, path("joint", joint.d, { "data-joint": joint.id })]));
  const layers = [group("zones"), group("joints"), group("marks")];
  layers[0]?.append(...zones.values());
  layers[1]?.append(...joints.values());
  root.append(art, ...layers);
  const tools = group("tools");
  svg.replaceChildren(root, tools);
  svg.classList.add("drawing");
  svg.dataset.view = viewId;
  workAhead(view);
  return { view, art, root, tools, marks: /** @type {SVGGElement} */ (layers[2]), zones, joints };
}

/** @param {Zone[]} zones @returns {Zone[]} in the order of drawing, overlays on top */
function ordered(zones) {
  const shown = zones.filter((zone) => zone.d);
  return [...shown.filter((zone) => !zone.overlay), ...shown.filter((zone) => zone.overlay)];
}

/** @param {Zone} zone */
function zonePath(zone) {
  return path("zone", zone.d, { "data-zone": zone.id, "data-class": zone.class });
}

/** @param {View} view @param {OutlineJson} json */
function artOf(view, json) {
  const twin = json.views.find((other) => other.id === view.mirror);
  const art = group("art", twin ? { transform: `matrix(-1 0 0 1 ${view.width} 0)` } : {});
  art.append(...(twin ?? view).art.map(({ class: kind, d }) => path(kind, d)));
  return art;
}

/**
 * @param {string} kind
 * @param {Record<string, string>} [attributes]
 * @returns {SVGGElement}
 */
export function group(kind, attributes = {}) {
  return /** @type {SVGGElement} */ (make("g", { class: kind, ...attributes }));
}

/**
 * @param {string} kind
 * @param {string} d
 * @param {Record<string, string>} [attributes]
 * @returns {SVGPathElement}
 */
export function path(kind, d, attributes = {}) {
  return /** @type {SVGPathElement} */ (make("path", { class: kind, d, ...attributes }));
}

/**
 * @param {string} name
 * @param {Record<string, string>} attributes
 */
function make(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}
