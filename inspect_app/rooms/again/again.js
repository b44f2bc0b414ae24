/**
 * The second look: puts the parts together, holds what is chosen, and draws them again whenever something changed here
 * or on another tablet. New flaws are marked with the walk's own modules.
 */

import { serverNow } from "../../client/clock.js";
import { runClocks, setClock } from "../../client/curing.js";
import { _ } from "../../client/gettext.js";
import { openUnit } from "../../client/marking/open.js";
import { fillStrip } from "../../client/marking/title.js";
import { UnitPage } from "../../client/marking/unit_page.js";
import { nearAll } from "../../client/near.js";
import { answers } from "../../client/outbox.js";
import { showTimers } from "../../client/timers.js";
import { againActs } from "./acts.js";
import { Deciding } from "./deciding.js";
import { Fresh } from "./fresh.js";
import { AgainRail } from "./rail.js";
import { showPane, showVan } from "./showing.js";
import { standing } from "./situation.js";

/** @typedef {import("../../client/types.js").Row} Row */
/** @typedef {import("../../client/outline.js").Zone} Zone */

/** The second look at one unit. It answers what Marking asks of a walk. */
export class Again extends UnitPage {
  /**
   * @param {string} unit
   * @param {import("../../client/marking/load.js").Loaded} loaded
   */
  constructor(unit, loaded) {
    super(unit, loaded);
    this.lap = "lamp";
    this.arrived = false;
    /** @type {string | null} the marker in the pane */
    this.marker_ = null;
    /** @type {import("./situation.js").Standing | null} */
    this.standing = null;
    /** @type {import("../../client/types.js").KeptAnswer[]} */
    this.held = [];
    this.now = Date.now();
    this.tools = { setLining: () => {} };
    this.acts = this.actsHere();
    this.after = new Fresh(this);
    this.deciding = new Deciding(this);
    this.rail = new AgainRail(this.place("rail"), this.views, (view) => this.setView(view));
  }

  /** @returns {Partial<import("../../client/board.js").Options>} */
  boardOptions() {
    return { faint: (mark) => !this.isLit(mark.id), chosen: (mark) => mark.id === this.marker_ };
  }

  /** A new mark belongs to this walk, which begins with it where none is under way. */
  actsHere() {
    const acts = againActs(this.unit, () => this.standing?.walks[0]?.id ?? null);
    /** @param {Record<string, any>} body */
    const mark = (body) => acts.markNew({ ...body, caused_by: this.after.cause() });
    return { ...acts, mark };
  }

  get inspector() {
    return Boolean(this.sight?.me?.roles.includes("inspector"));
  }

  /** What Marking asks for; before the walk has begun there is none yet, and marking begins it. */
  get walk() {
    return this.inspector ? { id: this.standing?.walks[0]?.id ?? "" } : null;
  }

  get situation() {
    return { absent: this.standing?.unit.absent ?? {} };
  }

  /** @param {string} id */
  isLit(id) {
    const { standing: now } = this;
    return Boolean(now && (id === this.marker_ || now.rings.some(({ marker }) => marker.id === id) || now.proposals.some((marker) => marker.id === id)
      || now.questions.some((question) => question.marker === id) || now.walks.some((walk) => walk.id === this.marker(id)?.walk)));
  }

  /** @param {import("../../client/view.js").Sight} sight */
  async show(sight) {
    this.now = await serverNow();
    setClock(this.now - Date.now());
    this.held = await answers();
    this.sight = sight;
    void showTimers(sight, this.unit, this.catalogue);
    this.draw();
  }

  draw() {
    const { sight, outline, catalogue, now } = this;
    const found = sight && standing(sight, this.unit, { outline, catalogue, now });
    if (!sight || !found) return;
    this.standing = found;
    fillStrip(found.unit);
    document.title = _("Look again %(six)s · Lampwalk", { six: found.unit.last_six });
    if (!this.arrived) this.arrive();
    for (const [id, hidden] of /** @type {[string, boolean][]} */ ([["begin", true], ["bar", this.listed]])) this.place(id).hidden = hidden;
    showVan(this, found);
    this.after.show(found);
    showPane(this, found);
  }

  /** Begin where the first thing is left to do, the whole view in sight. */
  arrive() {
    this.arrived = true;
    const { rings = [], spots = [] } = this.standing ?? {};
    const [ring] = rings;
    const [spot] = spots;
    this.turnTo(ring?.marker.view ?? (spot && this.outline.viewOf(spot.zone.id)?.id) ?? this.views[0]?.id ?? "left");
  }

  /** @param {string | null} id @returns {Row | null} */
  marker(id) {
    return this.standing?.markers.find((marker) => marker.id === id) ?? null;
  }

  /** Markers made on this look in a zone. @param {string} zone @param {string} lap */
  markedIn(zone, lap) {
    const walks = this.standing?.walks.map((walk) => walk.id) ?? [];
    return (this.standing?.markers ?? []).filter((marker) => marker.zone === zone && walks.includes(marker.walk) && (marker.lap ?? lap) === lap && marker.state !== "withdrawn").length;
  }

  /** @param {string} view */
  setView(view) {
    this.turnTo(view);
    if (!this.listed) this.board.viewport.glide(this.board.viewport.whole);
    this.draw();
  }

  /**
   * @param {Zone | null} zone
   * @param {{near: boolean}} how
   * @param {string} [lap]
   */
  choose(zone, { near }, lap) {
    this.zone = zone?.id ?? null;
    if (this.gone) this.after.telling = false; // it has something to say itself
    this.lap = lap ?? this.standing?.spots.find((spot) => spot.zone.id === zone?.id)?.lap ?? zone?.laps[0] ?? "lamp";
    if (zone) this.turnTo(this.outline.viewOf(zone.id)?.id ?? this.viewId);
    if (zone && near) this.marking.nearer(zone, true);
    this.draw();
  }

  /** @param {string} id @param {import("../../client/board.js").Spot | null} [spot] where it was tapped */
  openMarker(id, spot = null) {
    this.marking.drop(false);
    const row = this.marker(id);
    if (!row) return;
    this.marker_ = id;
    this.after.speakOf(row);
    const view = this.viewId;
    this.choose(this.outline.zone(row.zone), { near: false });
    if (spot === null && row.x !== null) requestAnimationFrame(() => requestAnimationFrame(() => nearAll(this.board, [row.zone])));
    else if (view !== this.viewId) this.board.zoomTo(null);
    this.place("pane").scrollTo(0, 0);
  }

  /** Back to the list of what is left. */
  closeMarker() {
    this.marker_ = null;
    this.draw();
  }

  drawWalk() {
    this.draw();
  }

  /** @param {string} words */
  hint(words) {
    this.after.fault(words);
  }

  /** @param {any} fault */
  fault(fault) {
    this.after.fault(fault instanceof Error ? fault.message : _("This could not be kept on this tablet; do it again."));
  }
}

void openUnit((unit, loaded) => new Again(unit, loaded), (_page, view) => {
  runClocks(() => void view.refresh());
});
