/** The walk's rail of views, filled with what a second look has left: rings to decide, looks to take again. */

import { el } from "../../client/elements.js";
import { _ } from "../../client/gettext.js";
import { Rail } from "../../client/marking/rail.js";

/** @typedef {import("./situation.js").Standing} Standing */

/** @param {Standing} standing @param {import("../../client/outline.js").Outline} outline @returns {any} what the rail asks of a walk */
function asked({ rings, proposals, spots, seen }, outline) {
  const wanting = [...rings.map(({ marker }) => marker), ...proposals];
  const [open, looked] = [new Set(spots.map(({ zone }) => zone.id)), new Set(seen.map(({ zone }) => zone.id))];
  /** @param {import("./situation.js").Spot[]} some @param {string} view */
  const within = (some, view) => some.filter(({ zone }) => outline.viewOf(zone.id)?.id === view).length;
  return {
    look: (/** @type {{id: string}} */ { id }) => (open.has(id) ? "again" : looked.has(id) ? "looked" : ""),
    openIn: (/** @type {string} */ view) => wanting.filter((marker) => marker.view === view).length,
    coverage: (/** @type {string} */ _lap, /** @type {string} */ view) => ({ looked: within(seen, view), total: within(seen, view) + within(spots, view) }),
  };
}

/** The rail of a second look. */
export class AgainRail extends Rail {
  /**
   * @param {Standing} standing
   * @param {import("../../client/outline.js").Outline} outline
   * @param {string} here
   */
  showStanding(standing, outline, here) {
    const from = asked(standing, outline);
    this.show(from, "", here);
    for (const { view, left } of this.places) {
      if (from.coverage("", view.id).total === 0) left.replaceChildren(el("span", { class: "unseen" }, " ", _("nothing to look at again")));
    }
  }
}
