/** The bar over the drawing: the laps, from here to there, the whole view, the lists; and the menu at the strip's end. */

import { _, ngettext } from "../../client/gettext.js";
import { pressButton } from "../../client/pieces.js";

/** Laps where there is little room for their names. @type {Record<string, string>} */
const SHORT = { lamp: _("lamp"), fit: _("fit"), seal: _("seal") };

/** Buttons that belong to no part of the van. */
export class Tools {
  /** @param {import("./walk.js").Walk} walk */
  constructor(walk) {
    this.walk = walk;
    /** @type {Map<string, HTMLButtonElement>} */
    this.laps = new Map();
    this.list = walk.place("tool-list");
    this.doubles = walk.place("tool-doubles");
    this.line = walk.place("tool-line");
    this.list.addEventListener("click", () => this.toggleList());
    this.line.addEventListener("click", () => this.setLining(!walk.board.lining));
    const menu = /** @type {HTMLDetailsElement} */ (walk.place("walk-more"));
    menu.addEventListener("click", (event) => {
      const act = event.target instanceof HTMLElement ? event.target.dataset.more : undefined;
      if (!act) return;
      menu.open = false;
      this.more(act);
    });
  }

  /** @param {string} act */
  more(act) {
    const { walk } = this;
    if (!walk.walk) return;
    if (act === "finish") walk.finish();
    else if (act === "zones") this.openList("zones");
    else if (act === "release") void walk.acts.release(walk.walk.id).then(() => walk.after.tell(_("The marks made so far are on their way to rework."), null), (fault) => walk.fault(fault));
    else if (act === "undo-look" && walk.chosen) walk.after.undoLook(walk.chosen, walk.lap);
  }

  /** @param {import("./situation.js").Situation} situation @param {string} lap */
  show(situation, lap) {
    const place = this.walk.place("laps");
    if ([...this.laps.keys()].join() !== situation.laps.join()) {
      this.laps = new Map(situation.laps.map((key) => [key, this.lapButton(key)]));
      place.replaceChildren(...this.laps.values());
    }
    for (const [key, made] of this.laps) {
      made.setAttribute("aria-pressed", String(key === lap));
      const { looked, total } = situation.coverage(key);
      const count = /** @type {HTMLElement} */ (made.lastElementChild);
      const words = looked === total ? _("all") : `${looked}/${total}`;
      if (count.textContent !== words) count.textContent = words;
    }
    const listed = String(this.walk.listed);
    for (const id of ["tool-line", "tool-whole"]) this.walk.place(id).hidden = listed === "true";
  }

  /** @param {string} key */
  lapButton(key) {
    const { label, hint } = this.walk.catalogue.laps[key];
    const made = pressButton("", () => this.walk.setLap(key), { "data-lap": key, title: hint });
    const [long, short, count] = ["lap-long", "lap-short", "lap-count"].map((kind) => Object.assign(document.createElement("span"), { className: kind }));
    Object.assign(/** @type {HTMLElement} */ (long), { textContent: label });
    Object.assign(/** @type {HTMLElement} */ (short), { textContent: SHORT[key] ?? key });
    made.append(/** @type {Node} */ (long), /** @type {Node} */ (short), " ", /** @type {Node} */ (count));
    return made;
  }

  /** @param {boolean} on */
  setLining(on) {
    this.walk.board.lining = on;
    this.line.setAttribute("aria-pressed", String(on));
  }

  /** @param {number} doubles offered in the list of markers */
  told(doubles) {
    const words = doubles > 0 ? ngettext("%(n)s double?", "%(n)s doubles?", doubles) : "";
    if (this.doubles.textContent !== words) this.doubles.textContent = words;
    this.doubles.hidden = doubles === 0;
  }

  toggleList() {
    const { drawer } = this.walk.after;
    if (drawer.open) drawer.close();
    else this.openList("markers");
  }

  /** @param {"markers" | "zones"} page */
  openList(page) {
    this.list.setAttribute("aria-expanded", "true");
    this.walk.after.drawer.openAt(page);
  }

  closed() {
    this.list.setAttribute("aria-expanded", "false");
    this.list.focus({ preventScroll: true });
  }
}
