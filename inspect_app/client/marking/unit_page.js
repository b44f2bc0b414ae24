/** What a walk and a second look have in common: one unit on one drawing board, its views, and the zone that is chosen. */

import { Board } from "../board.js";
import { decide } from "../lifecycle.js";
import { Outline } from "../outline.js";
import { say } from "../pieces.js";
import { Tags } from "../tags.js";
import { Marking } from "./marking.js";
import { walkingOrder } from "./rail.js";

/**
 * @typedef {import("../types.js").Row} Row
 * @typedef {import("../outline.js").Zone} Zone
 * @typedef {import("../view.js").Sight} Sight
 * @typedef {import("../board.js").Spot} Spot
 */

/** One unit on one drawing board; a room says what is done there. */
export class UnitPage {
  /**
   * @param {string} unit
   * @param {import("./load.js").Loaded} loaded
   */
  constructor(unit, { catalogue, outline, table }) {
    this.unit = unit;
    this.catalogue = catalogue;
    this.table = table;
    this.outline = new Outline(outline);
    this.views = walkingOrder(outline.views);
    this.viewId = this.views[0]?.id ?? "left";
    this.lap = "";
    /** @type {string | null} id of the chosen zone */
    this.zone = null;
    /** @type {Sight | null} */
    this.sight = null;
    this.tags = new Tags();
    this.board = new Board(/** @type {any} */ (this.place("van")), outline, this.viewId, {
      tap: (spot, marks) => this.marking.tap(spot, marks),
      place: (spot, done) => this.marking.place(spot, done),
      zoomed: () => this.marking.zoomed(),
      ...this.boardOptions(),
    });
    this.marking = new Marking(/** @type {any} */ (this));
    this.place("tool-whole").addEventListener("click", () => this.board.zoomTo(null));
    addEventListener("keydown", (event) => this.keyed(event));
  }

  /** What this room's board does besides. @returns {Partial<import("../board.js").Options>} */
  boardOptions() {
    return {};
  }

  /** A digit chooses a kind of the open dock, unless it is being typed somewhere. @param {KeyboardEvent} event */
  keyed(event) {
    const typed = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement || document.querySelector("dialog[open]") !== null;
    if (!typed && this.marking.dock.pressed(event.key)) event.preventDefault();
  }

  /** @param {string} id @returns {HTMLElement} */
  place(id) {
    return /** @type {HTMLElement} */ (document.getElementById(id));
  }

  /** @returns {Row | null} */
  get row() {
    return this.sight?.state.units?.find((row) => row.id === this.unit) ?? null;
  }

  get listed() {
    return this.outline.views.get(this.viewId)?.listed ?? false;
  }

  /** @returns {Zone | null} */
  get chosen() {
    return this.zone === null ? null : this.outline.zone(this.zone);
  }

  /** Why the chosen zone is not on the van; null when it is. @returns {"off" | "not_fitted" | null} */
  get gone() {
    return this.row?.absent?.[this.zone ?? ""] ?? null;
  }

  /** May whoever is signed in say that a zone is on the van again? */
  get mayPutBack() {
    const { row } = this;
    const roles = this.sight?.me?.roles ?? [];
    return row !== null && decide(this.table, "unit", "zones_absent", row.state, { roles }).outcome === "applied";
  }

  nextTag() {
    return this.sight?.nextTag(this.unit) ?? "";
  }

  /** Put another view on the board. @param {string} view */
  turnTo(view) {
    if (view === this.viewId) return;
    this.viewId = view;
    this.marking.drop(false);
    this.place("board").dataset.listed = String(this.listed);
    this.place("zone-list").hidden = !this.listed;
    if (!this.listed) this.board.setView(view);
  }

  /** @param {string} words */
  hint(words) {
    say(words);
  }
}
