/**
 * From a tap to a kept marker: the ring that is laid, the dock, snapping to joints, from here to there, same again. A
 * first tap brings a small zone near and lays the ring as well, so that a marker is two taps from wherever one stands.
 */

import { ready } from "../felt.js";
import { _ } from "../gettext.js";
import { uuid7 } from "../ids.js";
import { FINGER_PX } from "../placing.js";
import { held, shaped } from "../viewport.js";
import { Dock, sideAway } from "./dock.js";
import { dialogBody, openDialog } from "../dialogs.js";
import { pressButton, ringSmall, say } from "../pieces.js";
import { thisTablet } from "../this_tablet.js";

/**
 * @typedef {import("../board.js").Spot} Spot
 * @typedef {import("../board.js").Mark} Mark
 * @typedef {import("../outline.js").Zone} Zone
 *
 * @typedef {object} Page  what a page has on which markers are made
 * @property {import("../board.js").Board} board
 * @property {any} catalogue
 * @property {string} viewId
 * @property {string} lap
 * @property {{id: string} | null} walk  null while nothing may be marked
 * @property {{absent: Record<string, string>} | null} situation
 * @property {import("../tags.js").Tags} tags
 * @property {{mark: (body: Record<string, any>, handed?: () => void) => Promise<any>}} acts
 * @property {{kept: (mark: any, keep: (handed: () => void) => Promise<any>, lift: () => void) => Promise<void>, open: (id: string, spot: Spot | null) => void, amend: (change: Record<string, any>) => void}} after
 * @property {{setLining: (on: boolean) => void}} tools
 * @property {(id: string) => HTMLElement} place
 * @property {(zone: Zone | null, how: {near: boolean}) => void} choose
 * @property {(id: string, spot: Spot | null) => void} openMarker
 * @property {(id: string | null) => import("../types.js").Row | null} marker
 * @property {() => string} nextTag
 * @property {(words: string) => void} hint
 *
 * @typedef {{view: string, zone: Zone, x: number | null, y: number | null, x2?: number, y2?: number, spread: number | null}} Laid
 */

const HIT_PX = 20; // the ring itself, with a little around it
const NEAR_ENOUGH = 3; // mm a pixel: a gloved finger is then within five centimetres, and the drawing stays where it is
const CONTEXT = 900; // mm: a handle is not shown without its door
const SNAP = 4000; // tenths of mm, as on the server

/** How markers come about on one board. */
export class Marking {
  /** @param {Page} walk */
  constructor(walk) {
    this.walk = walk;
    this.board = walk.board;
    /** @type {Laid | null} */
    this.laid = null;
    /** @type {string | null} kind that was kept last */
    this.last = null;
    this.same = false;
    /** @type {string | null} marker whose new place the next tap is */
    this.moving = null;
    this.byKey = false;
    this.dock = new Dock(walk.place("dock"), walk.catalogue, (kind) => void this.keep(kind), () => this.drop(true));
  }

  /** @param {Spot} spot @param {Mark[]} marks */
  tap(spot, marks) {
    this.byKey = document.activeElement === this.board.svg && this.board.reticle.seen;
    const reach = this.reach(spot) * this.board.viewport.unit * 10;
    const hits = this.same || this.moving ? [] : marks.filter((mark) => Math.hypot((mark.x ?? 0) - spot.x, (mark.y ?? 0) - spot.y) <= reach);
    if (hits.length === 0) return this.lay(spot);
    const [only] = hits;
    if (hits.length === 1 && only) return this.walk.openMarker(only.id, spot);
    return this.choose(hits, spot);
  }

  /**
   * How near a ring has to be to be meant, px: a finger's width, but only the ring itself by what aims better, and with
   * the whole view in sight, where a finger covers a hand's breadth of the van and the tap brings it near first.
   * @param {Spot} spot
   */
  reach({ by }) {
    return by === "touch" && this.board.viewport.zoomed ? FINGER_PX : HIT_PX;
  }

  /** Several rings under one finger. @param {Mark[]} hits @param {Spot} spot */
  choose(hits, spot) {
    /** @param {() => void} act */
    const then = (act) => () => {
      made.close();
      act();
    };
    const rows = hits.map((mark) => pressButton(mark.tag ?? "", then(() => this.walk.openMarker(mark.id, spot)), { class: "btn btn-wide", "data-marker": mark.id }, ringSmall(/** @type {any} */ (mark))));
    const made = openDialog(_("Which one?"), [dialogBody(...rows, pressButton(_("A new marker here"), then(() => this.lay(spot)), { class: "btn btn-wide", "data-new": "" }))]);
  }

  /**
   * Lay the ring where it was tapped or dragged to.
   * @param {Spot & {x2?: number, y2?: number}} spot
   */
  lay(spot) {
    const { zone } = spot;
    if (!zone) return this.walk.hint(_("That spot is not on the van; tap on its body."));
    if (this.moving) return this.moveTo(spot);
    this.walk.choose(zone, { near: false });
    if (this.walk.situation?.absent[zone.id]) return this.drop(false);
    this.laid = { view: spot.view, zone, x: spot.x, y: spot.y, spread: spot.spread, ...(spot.x2 === undefined ? {} : { x2: spot.x2, y2: spot.y2 }) };
    this.board.lay({ x: spot.x / 10, y: spot.y / 10 });
    if (this.same && this.last) return void this.keep(this.last);
    const box = this.nearer(zone);
    return this.openDock(this.ringOnScreen(spot, box));
  }

  /** A tap on a zone of a view without a drawing. @param {Zone} zone @param {DOMRect} at @param {boolean} byKey */
  layInList(zone, at, byKey) {
    this.byKey = byKey;
    this.walk.choose(zone, { near: false });
    if (this.walk.situation?.absent[zone.id]) return this.drop(false);
    this.laid = { view: this.walk.viewId, zone, x: null, y: null, spread: null };
    if (this.same && this.last) return void this.keep(this.last);
    const board = this.walk.place("board").getBoundingClientRect();
    return this.openDock({ x: board.width / 2, y: at.top + at.height / 2 - board.top });
  }

  /** @param {{x: number, y: number}} ring px within the board */
  openDock(ring) {
    const { width, height } = this.walk.place("board").getBoundingClientRect();
    const flat = matchMedia("(max-width: 1000px), (orientation: portrait)").matches;
    this.dock.show(sideAway(ring, { width, height }, flat, thisTablet().kinds), this.byKey);
  }

  /**
   * Bring a small zone near unless it is near already.
   * @param {Zone} zone
   * @param {boolean} [always] also when it is only out of sight
   * @returns {import("../viewport.js").Box} what will be in sight
   */
  nearer(zone, always = false) {
    const { viewport, outline } = this.board;
    if (zone.rings.length === 0) return viewport.box;
    const { left, right, top, bottom } = outline.boxOf(zone);
    const pad = 0.18 * Math.max(right - left, bottom - top);
    const [w, h] = [Math.max(CONTEXT, right - left + 2 * pad), Math.max(CONTEXT * 0.6, bottom - top + 2 * pad)];
    const wanted = { x: (left + right - w) / 2, y: (top + bottom - h) / 2, w, h };
    const box = held(shaped(wanted, viewport.element), viewport.whole);
    if (!always && (viewport.unit <= NEAR_ENOUGH || box.w > viewport.box.w * 0.8)) return viewport.box;
    viewport.glide(box);
    return box;
  }

  /** @param {Spot} spot @param {import("../viewport.js").Box} box */
  ringOnScreen({ x, y }, box) {
    const { width, height } = this.board.viewport.element;
    return { x: ((x / 10 - box.x) / box.w) * width, y: ((y / 10 - box.y) / box.h) * height };
  }

  /** The laid ring is dragged; on release it lies there. @param {Spot} spot @param {boolean} done */
  place(spot, done) {
    this.byKey = false;
    if (!done) this.dock.hide();
    else queueMicrotask(() => (spot.zone ? this.lay(spot) : this.drop(true))); // after the board has laid its own
  }

  /** A double tap takes the ring away and shows all: then the dock has nothing to speak of. */
  zoomed() {
    if (this.dock.open && this.laid?.x != null && !this.board.laid) this.drop(false);
  }

  /** Repeat the last kind wherever is tapped next; at once where a ring lies already. @param {boolean} on */
  setSame(on) {
    this.same = on;
    if (on && this.laid && this.last) void this.keep(this.last);
  }

  /** @param {Spot} from @param {Spot} to @param {boolean} done */
  line(from, to, done) {
    if (!done) return;
    this.walk.tools.setLining(false);
    this.board.line = { a: { x: from.x / 10, y: from.y / 10 }, b: { x: to.x / 10, y: to.y / 10 } };
    this.lay({ ...from, x2: to.x, y2: to.y });
  }

  /** The tap was not meant as a marker. @param {boolean} focus back on the drawing */
  drop(focus) {
    this.board.line = null;
    this.board.lay(null);
    this.release(focus);
  }

  /** Nothing is being marked; what is drawn stays. @param {boolean} focus back on the drawing */
  release(focus) {
    this.laid = null;
    this.dock.hide();
    if (focus && this.byKey) this.board.svg.focus();
  }

  /** Take away what was laid for a marker that is kept; what was laid since for the next one stays. @param {unknown} ring @param {unknown} line */
  lift(ring, line) {
    if (this.board.line === line) this.board.line = null;
    this.board.lay(this.board.laid === ring ? null : this.board.laid);
  }

  /**
   * The second tap: keep a marker of this kind where the ring lies.
   * @param {string} kind
   */
  async keep(kind) {
    const { laid, walk } = this;
    if (!laid || !walk.walk) return;
    ready();
    const at = this.snapped(kind, laid);
    const marker = uuid7();
    const tag = walk.tags.take(walk.nextTag());
    const { view, spread, x2, y2 } = laid;
    const listed = laid.x === null;
    const body = { marker, tag, walk: walk.walk.id, lap: walk.lap, kind, view, zone: listed ? laid.zone.id : null, x: at.x, y: at.y, x2, y2, spread };
    this.last = kind;
    const { laid: ring, line } = this.board;
    this.release(true);
    this.board.gestures.forget(); // the next tap is a tap, however near and soon
    const mark = { ...body, id: marker, state: "open", severity: walk.catalogue.kinds[kind]?.severity };
    await walk.after.kept(mark, (handed) => walk.acts.mark(body, handed), () => this.lift(ring, line));
    say(_("%(tag)s kept: %(kind)s, %(zone)s", { tag, kind: walk.catalogue.kinds[kind]?.label ?? kind, zone: laid.zone.label }));
  }

  /**
   * Gaps and steps belong to a joint: the ring goes to the nearest one, on the side of the zone that was tapped.
   * @param {string} kind
   * @param {Laid} laid
   */
  snapped(kind, { view, zone, x, y }) {
    const snaps = this.walk.catalogue.kinds[kind]?.snaps;
    const near = snaps && x !== null && y !== null ? this.board.outline.nearestJoint(view, x, y, SNAP) : null;
    if (!near || x === null || y === null) return { x, y };
    for (const back of [0, 30, 60, 120, 240].filter((one) => one < near.distance)) {
      const share = back / Math.max(1, near.distance);
      const at = { x: Math.round(near.x + (x - near.x) * share), y: Math.round(near.y + (y - near.y) * share) };
      if (this.board.zoneAt(at.x, at.y)?.id === zone?.id) return at;
    }
    return { x: near.x, y: near.y };
  }

  /** @param {Spot} spot */
  moveTo(spot) {
    const marker = this.moving;
    this.moving = null;
    this.board.lay(null);
    const row = this.walk.marker(marker);
    if (!row) return;
    const { x, y } = this.snapped(row.kind, /** @type {any} */ (spot));
    this.walk.after.open(row.id, spot);
    this.walk.after.amend({ x, y, spread: spot.spread });
  }

  /** A marker for those who cannot tap the spot: in the middle of its zone, its place not better known than that. @param {Zone} zone */
  markIn(zone) {
    const view = this.walk.viewId;
    const { left, right, top, bottom } = this.board.outline.boxOf(zone);
    const spots = [0.5, 0.35, 0.65, 0.2, 0.8].flatMap((fx) => [0.5, 0.35, 0.65, 0.2, 0.8].map((fy) => [left + (right - left) * fx, top + (bottom - top) * fy]));
    const [x = 0, y = 0] = spots.find(([px = 0, py = 0]) => this.board.zoneAt(px * 10, py * 10)?.id === zone.id) ?? spots[0] ?? [];
    this.byKey = true;
    this.lay({ view, x: Math.round(x * 10), y: Math.round(y * 10), spread: Math.round(Math.min(right - left, bottom - top) * 5), zone });
  }
}
