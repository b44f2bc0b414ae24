/** Possible doubles above the list of markers: two people's marks on one spot, to be joined or told apart by a person. */

import { doublesOf, pairOf } from "../../client/doubles.js";
import { el } from "../../client/elements.js";
import { _ } from "../../client/gettext.js";
import { pressButton } from "../../client/pieces.js";
import { readMeta, writeMeta } from "../../client/store.js";

/** @typedef {import("../../client/doubles.js").Double} Double */
/** @typedef {import("../../client/types.js").Row} Row */

const TOLD_APART = "told_apart"; // pairs that were called two flaws on this tablet
const MOST = 500;

/** The pairs of one walk. */
export class Doubles {
  /** @param {{catalogue: any, acts: import("../../client/marking/acts.js").Acts, draw: () => void, fault: (fault: any) => void}} walk */
  constructor(walk) {
    this.walk = walk;
    /** @type {Set<string>} */
    this.different = new Set();
    void readMeta(TOLD_APART).then((/** @type {string[] | undefined} */ pairs) => {
      for (const pair of pairs ?? []) this.different.add(pair);
      walk.draw();
    }, () => undefined);
  }

  /** @param {Row[]} markers of the unit, as far as this person may see them @returns {Double[]} */
  among(markers) {
    return doublesOf(markers, this.walk.catalogue.kinds, this.different);
  }

  /** @param {Double[]} found @returns {HTMLElement[]} */
  offers(found) {
    if (found.length === 0) return [];
    return [el("section", { class: "doubles", "aria-label": _("Possible doubles") }, ...found.map((pair) => this.offer(pair)))];
  }

  /** @param {Double} pair */
  offer(pair) {
    const [early, late] = [pair.into.tag, pair.double.tag];
    return el("div", { class: "double", "data-double": pair.double.id },
      el("p", {}, _("%(early)s and %(late)s may be the same: %(apart)s mm apart.", { early, late, apart: pair.apart })),
      el("div", { class: "zone-deeds" },
        pressButton(_("Join %(late)s to %(early)s", { early, late }), () => this.join(pair), { "data-key": `join-${pair.double.id}` }),
        pressButton(_("Two flaws"), () => this.tellApart(pair), { "data-key": `apart-${pair.double.id}` })));
  }

  /** @param {Double} pair */
  join({ double, into }) {
    void this.walk.acts.join(double.id, into.id).catch((fault) => this.walk.fault(fault));
  }

  /** @param {Double} pair */
  tellApart(pair) {
    this.different.add(pairOf(pair));
    void writeMeta(TOLD_APART, [...this.different].slice(-MOST)).catch(() => undefined); // it would only be offered again
    this.walk.draw();
  }
}
