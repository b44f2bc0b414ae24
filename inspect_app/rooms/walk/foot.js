/** The foot of the walk: the next tag, the chosen zone, same again, and the one button that carries the walk on. */

import { el } from "../../client/elements.js";
import { _, around } from "../../client/gettext.js";
import { lookWords } from "../../client/marking/zones.js";
import { capital } from "../../client/in_words.js";
import { pressButton } from "../../client/pieces.js";

/**
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("./situation.js").Situation} Situation
 * @typedef {{act: "look" | "next" | "lap" | "finish", words: string, lap?: string}} Step  what the main button does
 */

/**
 * What the main button does now. Pure.
 * @param {Situation} situation
 * @param {string} lap
 * @param {Zone | null} zone the chosen one
 * @param {Record<string, {label: string}>} laps
 * @returns {Step}
 */
export function stepOf(situation, lap, zone, laps) {
  const look = zone && situation.look(zone, lap);
  if (zone && (look === "none" || look === "again")) {
    const marked = situation.markedIn(zone.id, lap);
    return { act: "look", words: marked > 0 ? _("Done here · %(n)s marked", { n: marked }) : _("Nothing found") };
  }
  if (situation.next(lap, zone?.id ?? null)) return { act: "next", words: _("Next zone") };
  const other = situation.laps.find((one) => one !== lap && situation.next(one, null));
  if (other) return { act: "lap", lap: other, words: _("On to %(lap)s", { lap: laps[other]?.label ?? other }) };
  return { act: "finish", words: _("Finish the walk") };
}

/** The foot, built once. Texts change in place, so that no tap falls on a button that is just being replaced. */
export class Foot {
  /**
   * @param {HTMLElement} place
   * @param {{go: () => void, same: () => void}} deeds
   */
  constructor(place, deeds) {
    this.place = place;
    this.tag = el("b");
    this.zoneName = el("b");
    this.zoneSub = el("span", { class: "hush" });
    this.same = pressButton(_("Same again"), deeds.same, { "aria-pressed": "false", id: "same" });
    this.main = pressButton("", deeds.go, { class: "btn btn-main btn-large", id: "go" });
    const zone = el("p", { class: "foot-zone" }, this.zoneName, this.zoneSub);
    place.replaceChildren(el("p", { class: "next-tag" }, ...around(_("next %(tag)s"), { tag: this.tag })), zone, this.same, this.main);
  }

  /**
   * @param {{tag: string, zone: Zone | null, look: string | null, lap: string, step: Step, last: string | null, same: boolean}} shown
   *   last: label of the last kind
   */
  show({ tag, zone, look, lap, step, last, same }) {
    this.place.hidden = false;
    set(this.tag, tag);
    set(this.zoneName, zone ? capital(zone.label) : _("No zone chosen"));
    const state = look === null ? _("not part of %(lap)s", { lap }) : look === "none" ? lap : lookWords(look);
    set(this.zoneSub, zone ? _("class %(class)s, %(look)s", { class: zone.class, look: state }) : _("Tap the van, or take the next zone"));
    set(this.same, same && last ? _("Same again: %(kind)s", { kind: last }) : _("Same again"));
    this.same.setAttribute("aria-pressed", String(same));
    this.same.toggleAttribute("disabled", last === null);
    set(this.main, step.words);
  }
}

/** @param {HTMLElement} element @param {string} words */
function set(element, words) {
  if (element.textContent !== words) element.textContent = words;
}
