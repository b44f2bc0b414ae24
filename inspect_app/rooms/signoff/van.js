/** The van with the history of its rings: every state is drawn, a tap on a ring tells about it. Nothing is marked here. */

import { ask } from "../../client/api.js";
import { el } from "../../client/elements.js";
import { _, ngettext } from "../../client/gettext.js";
import { drawOutline } from "../../client/outline.js";
import { ring } from "../../client/ring.js";
import { spoken } from "../../client/spoken.js";
import { wholeBox } from "../../client/viewport.js";
import { sides } from "./tags.js";

/**
 * @typedef {{id: string, tag: string, view: string, x: number | null, y: number | null, x2: number | null, y2: number | null, state: any,
 *   severity: string, kind: string, words: string, size: string, limit: string, says: string, escape: boolean, undecided: boolean, asked: boolean}} Mark
 */

const RING_PX = 12;

/** @returns {Mark[]} */
export function marksOnPage() {
  return JSON.parse(document.getElementById("rings")?.textContent ?? "[]");
}

/** One drawing, one view at a time. */
export class Van {
  /**
   * @param {SVGSVGElement} svg
   * @param {HTMLElement} list shown instead of the drawing for views that are only lists
   * @param {(mark: Mark) => void} chosen
   */
  constructor(svg, list, chosen) {
    this.svg = svg;
    this.list = list;
    this.chosen = chosen;
    /** @type {import("../../client/outline.js").OutlineJson | null} */
    this.outline = null;
    this.view = "";
    /** @type {string | null} */
    this.lit = null;
    new ResizeObserver(() => this.draw()).observe(svg);
    svg.addEventListener("click", (event) => this.tapped(event));
  }

  /** @param {string} hash */
  async load(hash) {
    this.outline = spoken((await ask(`/outlines/${hash}.json`)).data);
    this.draw();
  }

  /** @param {string} view */
  show(view) {
    this.view = view;
    this.draw();
  }

  draw() {
    const view = this.outline?.views.find((one) => one.id === this.view);
    if (!this.outline || !view) return;
    const marks = marksOnPage().filter((mark) => mark.view === view.id);
    this.list.hidden = !view.listed;
    this.svg.classList.toggle("unseen", view.listed);
    if (view.listed) return this.drawList(marks);
    return this.drawView(view, marks);
  }

  /**
   * @param {import("../../client/outline.js").View} view
   * @param {Mark[]} marks
   */
  drawView(view, marks) {
    const { width, height } = this.svg.getBoundingClientRect();
    if (width < 2 || height < 2) return;
    const { x, y, w, h } = wholeBox(view, { width, height });
    const unit = w / width;
    const drawing = drawOutline(this.svg, /** @type {any} */ (this.outline), view.id);
    this.svg.setAttribute("viewBox", `${x} ${y} ${w} ${h}`);
    const open = marks.filter((mark) => mark.undecided).length;
    this.svg.setAttribute("aria-label", _("%(view)s: %(rings)s, %(open)s not decided", { view: view.label, rings: ngettext("%(n)s ring", "%(n)s rings", marks.length), open }));
    const placed = marks.filter((mark) => mark.x !== null && mark.y !== null), r = RING_PX * unit;
    const shown = sides(placed, { r, width: view.width, lit: this.lit });
    for (const mark of placed) {
      const side = shown.get(mark.id);
      const drawn = ring({ state: mark.state, severity: mark.severity, tag: side ? mark.tag : "", x: Number(mark.x) / 10, y: Number(mark.y) / 10, r, seed: mark.id, side });
      drawn.dataset.marker = mark.id;
      drawn.classList.toggle("chosen", mark.id === this.lit);
      drawing.marks.append(drawn);
    }
  }

  /** @param {Mark[]} marks */
  drawList(marks) {
    const lines = marks.map((mark) => {
      const line = el("button", { type: "button", class: "line" }, el("span", {}, el("b", { class: "tag", "data-state": mark.state }, mark.tag),
        ` ${mark.kind} · ${mark.says}`, el("span", { class: "line-sub" }, mark.words)));
      line.addEventListener("click", () => this.choose(mark));
      return line;
    });
    this.list.replaceChildren(...lines);
  }

  /** @param {MouseEvent} event the ring nearest to the tap, within a finger's width */
  tapped(event) {
    const near = [...this.svg.querySelectorAll("[data-marker]")].map((drawn) => {
      const { left, top, width, height } = /** @type {Element} */ (drawn.querySelector(".ring-hit")).getBoundingClientRect();
      return { id: /** @type {HTMLElement} */ (drawn).dataset.marker, far: Math.hypot(left + width / 2 - event.clientX, top + height / 2 - event.clientY) };
    }).filter(({ far }) => far < 32).sort((a, b) => a.far - b.far)[0];
    const mark = near && marksOnPage().find((one) => one.id === near.id);
    if (mark) this.choose(mark);
  }

  /** @param {Mark} mark */
  choose(mark) {
    this.lit = mark.id;
    this.draw();
    this.chosen(mark);
  }
}
