/** The drawer beside the drawing: the markers of this view, its zones, or all about one marker. One at a time. */

import { el } from "../../client/elements.js";
import { _, midway } from "../../client/gettext.js";
import { capital } from "../../client/in_words.js";
import { pressButton, ringSmall } from "../../client/pieces.js";
import { fill } from "../../client/refill.js";
import { measured } from "../../client/marking/judge.js";
import { lookMark, lookWords } from "../../client/marking/zones.js";

/**
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("../../client/marking/zones.js").Entry} Entry
 * @typedef {"markers" | "zones" | "details"} Page
 *
 * @typedef {object} Deeds
 * @property {(marker: Row) => void} open
 * @property {(zone: Zone) => void} choose
 * @property {(zone: Zone) => void} markIn  mark in the middle of a zone, for those who cannot tap the spot
 * @property {(zone: Zone) => void} undoLook
 * @property {(zone: Zone, why: "not_fitted" | "off" | "present") => void} absent
 * @property {() => void} closed
 *
 * @typedef {{view: {id: string, label: string}, lap: string, markers: Row[], entries: Entry[], chosen: string | null, marker: string | null,
 *   doubles: import("../../client/doubles.js").Double[], together: Row[], offers: () => HTMLElement[]}} Shown
 */

const STATES = /** @type {Record<string, string>} */ ({ in_rework: _("in rework"), reworked: _("waits for its second look"), cleared: _("cleared"), accepted: _("accepted"), conceded: _("conceded"), no_flaw: _("no flaw"), withdrawn: _("withdrawn") });

/** The drawer of one board. */
export class Drawer {
  /**
   * @param {HTMLElement} place
   * @param {any} catalogue
   * @param {Deeds} deeds
   */
  constructor(place, catalogue, deeds) {
    this.place = place;
    this.catalogue = catalogue;
    this.deeds = deeds;
    /** @type {Page} */
    this.page = "markers";
    /** @type {Shown | null} */
    this.shown = null;
    /** builds the page about one marker @type {() => {key: unknown, build: () => HTMLElement[]} | null} */
    this.details = () => null;
    place.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.close();
    });
  }

  get open() {
    return !this.place.hidden;
  }

  /** @param {Page} page */
  openAt(page) {
    this.page = page;
    this.place.hidden = false;
    if (this.shown) this.show(this.shown);
    this.place.querySelector("button")?.focus({ preventScroll: true });
  }

  close() {
    this.place.hidden = true;
    this.deeds.closed();
  }

  /** @param {Shown} shown */
  show(shown) {
    this.shown = shown;
    if (!this.open) return;
    const about = this.page === "details" ? this.details() : null;
    if (this.page === "details" && !about) return this.close();
    const marks = shown.markers.map(({ id, tag, state, kind, size, gap, words, severity }) => [id, tag, state, kind, size, gap, words, severity]);
    const looks = shown.entries.map(({ zone, look, marks: found }) => [zone.id, look, found.length]);
    const key = about ? about.key : [this.page, shown.view.id, shown.lap, shown.chosen, shown.marker, this.page === "markers" ? [marks, shown.doubles.map(({ double, into }) => [double.id, into.id]), shown.together.map(({ id }) => id)] : looks];
    fill(this.place, key, () => (about ? about.build() : [this.head(shown), ...(this.page === "markers" ? [...shown.offers(), this.markers(shown)] : [this.zones(shown)])]));
    return undefined;
  }

  /** @param {Shown} shown */
  head({ view, markers, entries }) {
    /** @param {Page} page @param {string} words */
    const tab = (page, words) => pressButton(words, () => this.openAt(page), { "aria-pressed": String(this.page === page), "data-key": `tab-${page}` });
    const tabs = el("div", { class: "choices", role: "group", "aria-label": _("Lists of %(view)s", { view: view.label }) }, tab("markers", _("Markers %(n)s", { n: markers.length })), tab("zones", _("Zones %(n)s", { n: entries.length })));
    return el("div", { class: "drawer-head" }, tabs, pressButton(_("Close"), () => this.close(), { class: "btn btn-word", "data-key": "close" }));
  }

  /** @param {Shown} shown */
  markers({ view, markers, marker }) {
    if (markers.length === 0) return el("div", { class: "empty" }, el("b", {}, _("No markers on %(view)s", { view: midway(view.label) })), el("p", {}, _("Tap the spot, then its kind.")));
    return el("div", { class: "lines" }, ...markers.map((row) => this.markerLine(row, row.id === marker)));
  }

  /** @param {Row} row @param {boolean} here */
  markerLine(row, here) {
    const kind = this.catalogue.kinds[row.kind]?.label ?? row.kind;
    const made = pressButton("", () => this.deeds.open(row), { class: "line marker-line", "data-marker": row.id, "data-key": row.id, ...(here ? { "aria-current": "true" } : {}) }, ringSmall(/** @type {any} */ (row)));
    const size = measured(this.catalogue, row);
    const state = STATES[row.state];
    made.append(el("span", { class: "tag", "data-state": row.state }, row.tag), el("span", {}, el("span", { class: "line-title" }, size ? _("%(some)s, %(next)s", { some: kind, next: size }) : kind),
      el("span", { class: "line-sub" }, state ? _("%(spot)s; %(state)s", { spot: row.words, state }) : row.words)));
    return made;
  }

  /** @param {Shown} shown */
  zones({ entries, chosen, view }) {
    const rows = entries.map((entry) => this.zoneLine(entry, entry.zone.id === chosen));
    return el("ul", { class: "lines", "aria-label": _("Zones of %(view)s, in walking order", { view: view.label }) }, ...rows);
  }

  /** @param {Entry} entry @param {boolean} here */
  zoneLine({ zone, look, marks }, here) {
    const made = pressButton("", () => this.deeds.choose(zone), { class: "line zone-line", "data-zone": zone.id, "data-key": zone.id, ...(here ? { "aria-current": "true" } : {}) }, lookMark(look));
    const said = { class: zone.class, look: lookWords(look), n: marks.length };
    made.append(el("span", {}, el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, marks.length > 0 ? _("class %(class)s, %(look)s, %(n)s marked", said) : _("class %(class)s, %(look)s", said))));
    return el("li", {}, made, ...(here ? [this.zoneDeeds(zone, look)] : []));
  }

  /** @param {Zone} zone @param {string | null} look */
  zoneDeeds(zone, look) {
    const { deeds } = this;
    const gone = look === "absent" || look === "off";
    const offer = [
      ...(gone ? [pressButton(look === "off" ? _("It is back on") : _("It is fitted"), () => deeds.absent(zone, "present"), { "data-key": "present" })] : [pressButton(_("Mark here"), () => deeds.markIn(zone), { "data-key": "mark-in" })]),
      ...(look === "looked" ? [pressButton(_("Undo the look"), () => deeds.undoLook(zone), { "data-key": "undo-look" })] : []),
      ...(look !== "absent" ? [pressButton(_("Not fitted"), () => deeds.absent(zone, "not_fitted"), { "data-key": "not-fitted" })] : []),
      ...(look !== "off" ? [pressButton(_("Off the van"), () => deeds.absent(zone, "off"), { "data-key": "off" })] : []),
    ];
    return el("div", { class: "zone-deeds" }, ...offer);
  }
}
