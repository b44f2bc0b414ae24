/**
 * The second look: puts the parts together, holds what is chosen, and draws them again whenever something changed here
 * or on another tablet. New flaws are marked with the walk's own modules.
 */

import { Board } from "../../client/board.js";
import { serverNow } from "../../client/clock.js";
import { answers } from "../../client/outbox.js";
import { Outline } from "../../client/outline.js";
import { reportLeaving } from "../../client/presence.js";
import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";
import { watch } from "../../client/view.js";
import { runClocks, setClock } from "../../client/curing.js";
import { layPictograms } from "../../client/pictograms.js";
import { nearAll } from "../../client/near.js";
import { Tags } from "../../client/tags.js";
import { placer } from "../../client/marking/judge.js";
import { load, Unreadable } from "../../client/marking/load.js";
import { Marking } from "../../client/marking/marking.js";
import { walkingOrder } from "../../client/marking/rail.js";
import { fillStrip } from "../../client/marking/title.js";
import { againActs } from "./acts.js";
import { Deciding } from "./deciding.js";
import { Fresh } from "./fresh.js";
import { AgainRail } from "./rail.js";
import { showPane, showVan } from "./showing.js";
import { standing } from "./situation.js";

/** @typedef {import("../../client/types.js").Row} Row */
/** @typedef {import("../../client/outline.js").Zone} Zone */

/** One unit on one drawing board. It answers what Marking asks of a walk. */
export class Again {
  /**
   * @param {string} unit
   * @param {import("../../client/marking/load.js").Loaded} loaded
   */
  constructor(unit, { catalogue, outline, table }) {
    this.unit = unit;
    this.catalogue = catalogue;
    this.table = table;
    this.outline = new Outline(outline);
    this.views = walkingOrder(outline.views);
    this.viewId = "";
    /** @type {string | null} */
    this.zone = null;
    this.lap = "lamp";
    /** @type {string | null} the marker in the pane */
    this.marker_ = null;
    /** @type {import("../../client/view.js").Sight | null} */
    this.sight = null;
    /** @type {import("./situation.js").Standing | null} */
    this.standing = null;
    /** @type {import("../../client/types.js").KeptAnswer[]} */
    this.held = [];
    this.now = Date.now();
    this.tags = new Tags();
    this.tools = { setLining: () => {} };
    this.acts = this.actsHere();
    const first = this.views[0]?.id ?? "left";
    this.board = new Board(/** @type {any} */ (this.place("van")), outline, first, {
      tap: (spot, marks) => this.marking.tap(spot, marks),
      place: (spot, done) => this.marking.place(spot, done),
      zoomed: () => this.marking.zoomed(),
      faint: (mark) => !this.isLit(mark.id),
      chosen: (mark) => mark.id === this.marker_,
    });
    this.after = new Fresh(this);
    this.marking = new Marking(/** @type {any} */ (this));
    this.deciding = new Deciding(this);
    this.rail = new AgainRail(this.place("rail"), this.views, (view) => this.setView(view));
    this.place("tool-whole").addEventListener("click", () => this.board.zoomTo(null));
    addEventListener("keydown", (event) => {
      if (!(event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) && this.marking.dock.pressed(event.key)) event.preventDefault();
    });
  }

  /** A new mark belongs to this walk, which begins with it where none is under way. */
  actsHere() {
    const acts = againActs(this.unit, () => this.standing?.walks[0]?.id ?? null);
    /** @param {Record<string, any>} body */
    const mark = (body) => acts.markNew({ ...body, caused_by: this.after.cause() });
    return { ...acts, mark };
  }

  /** @param {string} id @returns {HTMLElement} */
  place(id) {
    return /** @type {HTMLElement} */ (document.getElementById(id));
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

  get listed() {
    return this.outline.views.get(this.viewId)?.listed ?? false;
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
    this.draw();
  }

  draw() {
    const { sight, outline, catalogue, now } = this;
    const found = sight && standing(sight, this.unit, { outline, catalogue, now });
    if (!sight || !found) return;
    this.standing = found;
    fillStrip(found.unit);
    document.title = `Look again ${found.unit.last_six} · Lampwalk`;
    if (this.viewId === "") this.arrive();
    for (const [id, hidden] of /** @type {[string, boolean][]} */ ([["begin", true], ["bar", this.listed]])) this.place(id).hidden = hidden;
    showVan(this, found);
    this.after.show(found);
    showPane(this, found);
  }

  /** Begin where the first thing is left to do, the whole view in sight. */
  arrive() {
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

  nextTag() {
    return this.sight?.nextTag(this.unit) ?? "";
  }

  /** @param {string} view */
  turnTo(view) {
    if (view === this.viewId) return;
    this.viewId = view;
    this.marking.drop(false);
    this.place("board").dataset.listed = String(this.listed);
    this.place("zone-list").hidden = !this.listed;
    if (!this.listed) this.board.setView(view);
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
    this.after.fault(fault instanceof Error ? fault.message : "This could not be kept on this tablet; do it again.");
  }
}

async function open() {
  const unit = location.pathname.split("/")[2] ?? "";
  mountStatus();
  mountSignIn();
  void start();
  reportLeaving(unit);
  try {
    const [loaded] = await Promise.all([load(unit), layPictograms()]);
    const again = new Again(unit, loaded);
    const view = watch(unit, { table: loaded.table, place: placer(again.outline, again.catalogue) }, (sight) => void again.show(sight));
    runClocks(() => void view.refresh());
  } catch (fault) {
    if (!(fault instanceof Unreadable)) throw fault;
    const loading = document.getElementById("loading");
    if (loading) loading.textContent = fault.message;
  }
}

void open();
