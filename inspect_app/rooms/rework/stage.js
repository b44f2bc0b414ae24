/** The drawing of one job: its part brought near, its markers ringed, everything else standing back. */

import { Board } from "../../client/board.js";
import { nearAll } from "../../client/near.js";
import { button } from "../../client/pieces.js";
import { swap } from "../../client/refill.js";

/** @typedef {import("../../client/types.js").Row} Row */

/** The board in the job pane. */
export class Stage {
  /**
   * @param {HTMLElement} place `[data-part="board"]`
   * @param {(marker: string) => void} picked
   */
  constructor(place, picked) {
    this.place = place;
    this.picked = picked;
    /** @type {Board | null} */
    this.board = null;
    this.key = "";
    /** @type {string | null} */
    this.ringed = null;
    this.view = "left";
    this.hash = "";
    /** @type {Set<string>} */
    this.mine = new Set();
    place.querySelector("[data-views]")?.addEventListener("click", (event) => {
      const view = /** @type {HTMLElement} */ (event.target).closest("[data-view-id]");
      if (view) this.turn(view.getAttribute("data-view-id") ?? "");
    });
  }

  /**
   * @param {string} key of what is shown: while it stays, the view and the zoom are the person's
   * @param {import("../../client/outline.js").OutlineJson | undefined} json
   * @param {Row[]} markers of the job
   * @param {Row[]} others of the same unit
   * @param {string | null} chosen
   */
  show(key, json, markers, others, chosen) {
    const drawn = markers.filter((marker) => marker.x !== null && json?.views.some((view) => view.id === marker.view && !view.listed));
    this.place.hidden = drawn.length === 0 || !json;
    if (!json || drawn.length === 0) return;
    this.markers = drawn;
    this.json = json;
    this.mine = new Set(drawn.map((marker) => marker.id));
    const views = [...new Set(drawn.map((marker) => marker.view))];
    const fresh = this.key !== key;
    if (fresh) [this.view = "left"] = views;
    const board = this.boardOf(json, this.view);
    this.ringed = chosen;
    board.showMarks(/** @type {any} */ ([...others.filter((marker) => !this.mine.has(marker.id) && marker.x !== null), ...drawn]));
    if (fresh) this.near();
    this.key = key;
    this.named(views, json);
  }

  /**
   * @param {import("../../client/outline.js").OutlineJson} json
   * @param {string} view
   */
  boardOf(json, view) {
    if (!this.board || this.hash !== json.hash) {
      this.board?.stop();
      const drawing = /** @type {SVGSVGElement} */ (this.place.querySelector("[data-drawing]"));
      this.board = new Board(drawing, json, view, { tap: (_, marks) => marks[0] && this.picked(marks[0].id), faint: (mark) => !this.mine.has(mark.id), chosen: (mark) => mark.id === this.ringed });
      this.hash = json.hash;
    } else if (this.board.viewId !== view) this.board.setView(view);
    return this.board;
  }

  /** @param {string} view */
  turn(view) {
    if (!this.json || !this.board || this.view === view) return;
    this.view = view;
    this.board.setView(view);
    this.near();
    this.named([...new Set((this.markers ?? []).map((marker) => marker.view))], this.json);
  }

  near() {
    const { board, view } = this;
    const zones = (this.markers ?? []).filter((marker) => marker.view === view).map((marker) => marker.zone);
    // A frame later: a drawing that has just become visible is first laid out whole, which would stop the glide.
    requestAnimationFrame(() => requestAnimationFrame(() => board && nearAll(board, zones)));
  }

  /** @param {string[]} views @param {import("../../client/outline.js").OutlineJson} json */
  named(views, json) {
    const label = (/** @type {string} */ id) => json.views.find((view) => view.id === id)?.label ?? id;
    const place = /** @type {HTMLElement} */ (this.place.querySelector("[data-views]"));
    place.hidden = views.length < 2;
    swap(place, ...views.map((id) => button(label(id), { "data-view-id": id, "data-key": `view-${id}`, "aria-pressed": String(id === this.view) })));
    const block = this.place.querySelector("[data-block]");
    const bold = document.createElement("b");
    bold.textContent = label(this.view);
    block?.replaceChildren(bold);
  }
}
