/** The rail of views: little vans whose zones fill as they are looked at in this lap, with what is open on them. */

import { el, svg } from "../elements.js";
import { _ } from "../gettext.js";
import { pressButton } from "../pieces.js";

/**
 * @typedef {import("../outline.js").View} View
 * @typedef {object} Situation  how far a view is, in one lap
 * @property {(zone: import("../outline.js").Zone, lap: string) => string | null} look
 * @property {(view: string) => number} openIn
 * @property {(lap: string, view: string) => {looked: number, total: number}} coverage
 *
 * @typedef {{view: View, button: HTMLButtonElement, open: HTMLElement, left: HTMLElement, zones: Map<string, SVGElement>}} Place
 */

const SHORT = /** @type {Record<string, string>} */ ({ left: _("Left"), right: _("Right"), inside: _("Inside") });

/** The rail, built once; `show` only changes what changed. */
export class Rail {
  /**
   * @param {HTMLElement} nav
   * @param {View[]} views in walking order
   * @param {(view: string) => void} choose
   */
  constructor(nav, views, choose) {
    /** @type {Place[]} */
    this.places = views.map((view) => place(view, views.find(({ id }) => id === view.mirror), choose));
    nav.replaceChildren(...this.places.map((one) => one.button));
  }

  /**
   * @param {Situation} situation
   * @param {string} lap
   * @param {string} here the view on the board
   */
  show(situation, lap, here) {
    for (const { view, button: press, open, left, zones } of this.places) {
      if (view.id === here) press.setAttribute("aria-current", "true");
      else press.removeAttribute("aria-current");
      for (const zone of view.zones) paint(zones.get(zone.id), situation.look(zone, lap) ?? "");
      const [rings, { looked, total }] = [situation.openIn(view.id), situation.coverage(lap, view.id)];
      write(open, rings > 0 ? `${rings}` : "", rings > 0 ? _("open") : "");
      const all = looked === total;
      write(left, all ? "" : `${looked}/${total}`, total === 0 ? _("nothing in this lap") : all ? _("all %(n)s looked at", { n: total }) : _("looked at"));
      press.dataset.done = String(all && total > 0);
    }
  }
}

/** @param {SVGElement | undefined} zone @param {string} look */
function paint(zone, look) {
  if (zone && zone.dataset.look !== look) zone.dataset.look = look;
}

/**
 * @param {HTMLElement} place_
 * @param {string} seen
 * @param {string} unseen
 */
function write(place_, seen, unseen) {
  if (place_.dataset.words === seen + unseen) return;
  place_.dataset.words = seen + unseen;
  place_.replaceChildren(seen, el("span", { class: "unseen" }, unseen && ` ${unseen}`));
}

/**
 * @param {View} view
 * @param {View | undefined} twin the view whose art it shows turned round
 * @param {(view: string) => void} choose
 * @returns {Place}
 */
function place(view, twin, choose) {
  const [open, left] = [el("span", { class: "rail-open" }), el("span", { class: "rail-left" })];
  const zones = new Map(view.zones.filter((zone) => zone.d).map((zone) => [zone.id, svg("path", { class: "sil-zone", d: zone.d })]));
  const drawn = view.listed ? [] : [silhouette(view, twin, [...zones.values()])];
  const made = pressButton(SHORT[view.id] ?? view.label, () => choose(view.id), { class: "rail-view", "data-view": view.id }, ...drawn);
  made.append(left, open);
  return { view, button: made, open, left, zones };
}

/** @param {View} view @param {View | undefined} twin @param {Element[]} zones */
function silhouette(view, twin, zones) {
  const bodies = (twin ?? view).art.filter((art) => art.class === "body" || art.class === "tyre").map(({ d }) => svg("path", { class: "sil-body", d }));
  const art = svg("g", twin ? { transform: `matrix(-1 0 0 1 ${view.width} 0)` } : {}, ...bodies);
  return svg("svg", { class: "sil", viewBox: `0 0 ${view.width} ${view.height}`, "aria-hidden": "true" }, art, ...zones);
}

/**
 * Views in the order they are walked: by their first zone.
 * @param {View[]} views
 * @returns {View[]}
 */
export function walkingOrder(views) {
  /** @param {View} view */
  const first = (view) => Math.min(...view.zones.map((zone) => zone.order));
  return [...views].sort((a, b) => first(a) - first(b));
}
