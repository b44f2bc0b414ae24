/**
 * The walk: puts the parts together, holds what is chosen, and draws them again whenever something changed here or on
 * another tablet. What a tap on the van means is marking.js; what follows a marker is afterwards.js.
 */

import { stayAwake } from "../../client/awake.js";
import { _ } from "../../client/gettext.js";
import { actsOn } from "../../client/marking/acts.js";
import { Rail } from "../../client/marking/rail.js";
import { fillStrip, showCoverage } from "../../client/marking/title.js";
import { UnitPage } from "../../client/marking/unit_page.js";
import { zoneRows } from "../../client/marking/zones.js";
import { once } from "../../client/once.js";
import { fill } from "../../client/refill.js";
import { showTimers } from "../../client/timers.js";
import { Afterwards } from "./afterwards.js";
import { showBegin } from "./begin.js";
import { openFinish } from "./finish.js";
import { Foot, stepOf } from "./foot.js";
import { Situation, underWay } from "./situation.js";
import { Tools } from "./tools.js";

/**
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("../../client/view.js").Sight} Sight
 */

const LINGER = 1000; // ms: by then the page shows the walk that was begun

/** The walk of one unit. */
export class Walk extends UnitPage {
  /**
   * @param {string} unit
   * @param {import("../../client/marking/load.js").Loaded} loaded
   */
  constructor(unit, loaded) {
    super(unit, loaded);
    /** @type {Row | null} */
    this.walk = null;
    /** @type {Situation | null} */
    this.situation = null;
    this.acts = actsOn(unit);
    this.after = new Afterwards(this);
    this.rail = new Rail(this.place("rail"), this.views, (view) => this.setView(view));
    this.foot = new Foot(this.place("foot"), { go: () => this.go(), same: () => this.toggleSame() });
    this.tools = new Tools(this);
  }

  /** @returns {Partial<import("../../client/board.js").Options>} */
  boardOptions() {
    return {
      line: (from, to, done) => this.marking.line(from, to, done),
      chosen: (mark) => mark.id === this.after.marker,
      quick: () => this.marking.same,
    };
  }

  /** @param {Sight} sight */
  show(sight) {
    this.sight = sight;
    void showTimers(sight, this.unit, this.catalogue);
    this.draw();
  }

  draw() {
    const { sight, row: unit } = this;
    if (!sight || !unit) return;
    fillStrip(unit);
    document.title = _("Walk %(six)s · Lampwalk", { six: unit.last_six });
    const walks = underWay(sight.state);
    this.walk = walks.find((walk) => walk.id === this.walk?.id) ?? walks[0] ?? null;
    const { walk } = this;
    stayAwake(Boolean(walk));
    this.place("begin").hidden = Boolean(walk);
    for (const id of ["bar", "foot"]) this.place(id).hidden = !walk;
    if (!walk) return this.begin(unit);
    const laps = this.catalogue.walks[walk.purpose]?.laps ?? Object.keys(this.catalogue.laps);
    this.situation = new Situation({ state: sight.state, unit, walk, outline: this.outline, laps });
    if (!laps.includes(this.lap)) this.arrive(laps);
    return this.drawWalk();
  }

  /** @param {Row} unit */
  begin(unit) {
    this.situation = null;
    this.place("kept").hidden = true;
    this.marking.drop(false);
    const state = /** @type {Sight} */ (this.sight).state;
    const shows = [unit.state, unit.revision, state.walks?.map((walk) => [walk.purpose, walk.state]), state.markers?.filter((marker) => marker.state === "reworked").length];
    fill(this.place("begin"), shows, () => showBegin({ state, unit, catalogue: this.catalogue }, (purpose) => void this.start(purpose)));
  }

  /** @param {string} purpose */
  start(purpose) {
    return once("walk", () => this.acts.startWalk(purpose), LINGER).catch((fault) => this.fault(fault));
  }

  /** Where the walk goes on: the first lap that lacks something, at its first missing zone, the whole view in sight. @param {string[]} laps */
  arrive(laps) {
    const situation = /** @type {Situation} */ (this.situation);
    this.lap = laps.find((lap) => situation.next(lap, null)) ?? laps[0] ?? "";
    const zone = situation.next(this.lap, null);
    this.zone = zone?.id ?? null;
    if (this.gone) this.after.telling = false; // it has something to say itself
    if (zone) this.turnTo(this.outline.viewOf(zone.id)?.id ?? this.viewId);
  }

  drawWalk() {
    const situation = /** @type {Situation} */ (this.situation);
    const { lap } = this;
    this.rail.show(situation, lap, this.viewId);
    this.tools.show(situation, lap);
    showCoverage(situation.coverage(lap));
    this.board.showLooks((id) => {
      const zone = this.outline.zone(id);
      return zone && situation.look(zone, lap);
    });
    this.board.showMarks(this.after.marks(situation.markers), situation.clusters);
    this.board.choose(this.zone);
    if (this.listed) this.drawList();
    this.after.show();
    this.drawFoot();
  }

  drawFoot() {
    const { situation, lap } = this;
    if (!situation) return;
    const zone = this.chosen;
    const label = this.catalogue.laps[lap]?.label ?? lap;
    const last = this.marking.last ? this.catalogue.kinds[this.marking.last]?.label : null;
    this.foot.show({ tag: this.tags.peek(this.nextTag()), zone, look: zone && situation.look(zone, lap), lap: label, step: stepOf(situation, lap, zone, this.catalogue.laps), last, same: this.marking.same });
  }

  drawList() {
    const entries = this.entries();
    const shows = [this.viewId, this.lap, this.zone, entries.map(({ zone, look, marks }) => [zone.id, look, marks.map(({ id, state }) => [id, state])])];
    fill(this.place("zone-list"), shows, () => zoneRows(entries, this.zone, (zone, at, byKey) => this.marking.layInList(zone, at, byKey), (marker) => this.openMarker(marker.id)));
  }

  entries() {
    return this.situation?.entries(this.viewId, this.lap) ?? [];
  }

  /** @param {string | null} id @returns {Row | null} */
  marker(id) {
    return this.situation?.markers.find((marker) => marker.id === id) ?? null;
  }

  /** @param {string} view chosen by hand: its next zone is chosen with it */
  setView(view) {
    this.turnTo(view);
    const here = this.entries().find(({ look }) => look === "none" || look === "again");
    this.zone = here?.zone.id ?? null;
    if (!this.listed) void this.board.viewport.glide(this.board.viewport.whole);
    this.draw();
  }

  /** @param {string} lap */
  setLap(lap) {
    this.lap = lap;
    this.choose(this.situation?.next(lap, null) ?? null, { near: true });
  }

  /** Choose a zone and, where wanted, bring it near. @param {Zone | null} zone @param {{near: boolean}} how */
  choose(zone, { near }) {
    this.zone = zone?.id ?? null;
    if (this.gone) this.after.telling = false; // it has something to say itself
    if (zone) this.turnTo(this.outline.viewOf(zone.id)?.id ?? this.viewId);
    if (zone && near) this.marking.nearer(zone, true);
    this.draw();
  }

  /** @param {string} id @param {import("../../client/board.js").Spot | null} [spot] where it was tapped */
  openMarker(id, spot = null) {
    this.marking.drop(false);
    this.after.open(id, spot);
  }

  /** The main button. */
  go() {
    const { situation, lap, chosen } = this;
    if (!situation) return;
    const step = stepOf(situation, lap, chosen, this.catalogue.laps);
    this.marking.drop(false);
    if (step.act === "finish") return this.finish();
    if (step.act === "lap") return this.setLap(step.lap ?? lap);
    if (step.act === "look" && chosen) this.after.lookedAt(chosen, lap);
    const next = situation.next(lap, chosen?.id ?? null);
    return next ? this.choose(next, { near: true }) : this.draw();
  }

  finish() {
    const { situation, walk, row: unit } = this;
    if (!situation || !walk || !unit) return;
    openFinish(situation, this.catalogue, {
      unit,
      go: ({ zone, lap }) => {
        this.lap = lap;
        this.choose(zone, { near: true });
      },
      finish: async () => {
        await this.acts.finish(walk.id).catch((fault) => this.fault(fault));
      },
    });
  }

  toggleSame() {
    this.marking.setSame(!this.marking.same);
    this.drawFoot();
  }

  /** @param {string} words */
  hint(words) {
    super.hint(words);
    this.after.line.fault(words);
  }

  /** What could not be kept is said where the eye is. @param {any} fault */
  fault(fault) {
    this.after.line.fault(fault instanceof Error ? fault.message : _("This could not be kept on this tablet; do it again."));
  }
}
