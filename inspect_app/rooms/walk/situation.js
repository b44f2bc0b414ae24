/**
 * Where a walk stands: which zones were looked at in which lap, what is missing, what comes next. Pure; built anew from
 * the rows whenever they change.
 *
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/state.js").State} State
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("../../client/outline.js").Outline} Outline
 * @typedef {"none" | "looked" | "again" | "absent" | "off"} Look
 * @typedef {{zone: Zone, lap: string, look: Look}} Missing
 */

import { standing } from "../../client/clusters.js";

/** Made on the walk page; look again has a room of its own. */
export const NOT_HERE = "again";

/**
 * Walks of a unit that are under way, the newest first.
 * @param {State | {walks?: Row[]}} state
 * @returns {Row[]}
 */
export function underWay({ walks = [] }) {
  return walks.filter((walk) => walk.state === "walking" && walk.purpose !== NOT_HERE).sort((a, b) => b.started_at - a.started_at);
}

/**
 * The purpose to propose: a first walk until there was one, after signing a walk after reopening, then second eyes.
 * @param {State} state
 * @param {Row} unit
 * @returns {string}
 */
export function proposed(state, unit) {
  const finished = (state.walks ?? []).filter((walk) => walk.state === "finished").map((walk) => walk.purpose);
  if (unit.revision && !finished.includes("reopened")) return "reopened";
  return finished.includes("first") ? "second" : "first";
}

/** One walk of one unit, as it stands. */
export class Situation {
  /**
   * @param {{state: State, unit: Row, walk: Row, outline: Outline, laps: string[]}} given laps of the walk's purpose, in order
   */
  constructor({ state, unit, walk, outline, laps }) {
    this.outline = outline;
    this.laps = laps;
    this.walk = walk;
    /** @type {Record<string, "not_fitted" | "off">} */
    this.absent = unit.absent ?? {};
    this.markers = state.markers ?? [];
    this.clusters = standing(/** @type {any} */ (state).clusters);
    /** @type {Map<string, Look>} */
    this.looks = new Map();
    for (const look of state.looks ?? []) if (look.walk === walk.id && !look.undone) this.note(look);
  }

  /** A look that work has undone asks for another, unless there is a newer one that holds. @param {Row} look */
  note(look) {
    const key = `${look.zone}/${look.lap}`;
    if (!look.voided) this.looks.set(key, "looked");
    else if (!this.looks.has(key)) this.looks.set(key, "again");
  }

  /**
   * @param {Zone} zone
   * @param {string} lap
   * @returns {Look | null} null where this lap does not look
   */
  look(zone, lap) {
    const gone = this.absent[zone.id];
    if (gone) return gone === "off" ? "off" : "absent";
    return zone.laps.includes(lap) ? (this.looks.get(`${zone.id}/${lap}`) ?? "none") : null;
  }

  /**
   * Zones that count in this lap: fitted ones, also when they are off the van for now.
   * @param {string} lap
   * @param {string | null} [view]
   */
  counted(lap, view = null) {
    const zones = view ? (this.outline.views.get(view)?.zones ?? []) : this.outline.zones;
    return zones.filter((zone) => zone.laps.includes(lap) && this.look(zone, lap) !== "absent");
  }

  /**
   * @param {string} lap
   * @param {string | null} [view]
   * @returns {{looked: number, total: number}}
   */
  coverage(lap, view = null) {
    const zones = this.counted(lap, view);
    return { looked: zones.filter((zone) => this.look(zone, lap) === "looked").length, total: zones.length };
  }

  /**
   * What is missing, in walking order, lap by lap.
   * @param {string | null} [only] one lap
   * @returns {Missing[]}
   */
  missing(only = null) {
    return this.laps.filter((lap) => only === null || lap === only).flatMap((lap) =>
      this.counted(lap).map((zone) => ({ zone, lap, look: this.look(zone, lap) ?? "none" })).filter(({ look }) => look !== "looked")
        .sort((a, b) => a.zone.order - b.zone.order));
  }

  /**
   * The next zone to look at in this lap: onwards in walking order, then from the start again.
   * @param {string} lap
   * @param {string | null} from id of a zone
   * @returns {Zone | null}
   */
  next(lap, from) {
    const left = this.missing(lap).filter(({ look }) => look !== "off").map(({ zone }) => zone);
    const order = (from && this.outline.zone(from)?.order) || 0;
    return left.find((zone) => zone.order > order) ?? left.find((zone) => zone.id !== from) ?? null;
  }

  /** @param {string} zone @param {string} lap markers of this walk in a zone, in one lap */
  markedIn(zone, lap) {
    return this.markers.filter((m) => m.zone === zone && m.walk === this.walk.id && (m.lap ?? lap) === lap && m.state !== "withdrawn").length;
  }

  /** @param {string} view open markers of a view */
  openIn(view) {
    return this.markers.filter((marker) => marker.view === view && marker.state === "open").length;
  }

  /**
   * Zones of a view in walking order, with their look in a lap and the markers on them.
   * @param {string} view
   * @param {string} lap
   * @returns {import("../../client/marking/zones.js").Entry[]}
   */
  entries(view, lap) {
    const zones = [...(this.outline.views.get(view)?.zones ?? [])].sort((a, b) => a.order - b.order);
    const here = this.markers.filter((marker) => marker.state !== "withdrawn");
    return zones.map((zone) => ({ zone, look: this.look(zone, lap), marks: here.filter((marker) => marker.zone === zone.id) }));
  }
}
