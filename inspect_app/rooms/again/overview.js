/** The pane while no ring is chosen: everything that is left, by name, one tap away; and the end of the walk. */

import { el } from "../../client/elements.js";
import { _, allOf, ngettext, together } from "../../client/gettext.js";
import { capital, kindWords, moment, sentence } from "../../client/in_words.js";
import { pic } from "../../client/pictograms.js";
import { button, ringSmall, says, tag } from "../../client/pieces.js";
import { cure } from "../../client/curing.js";
import { left } from "./situation.js";

/**
 * @typedef {import("./situation.js").Standing} Standing
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {{standing: Standing, catalogue: any, people: Map<string, Row>, now: number, inspector: boolean, manager: boolean,
 *   gone: import("../../client/outline.js").Zone[], mayPutBack: boolean, zone: string | null, lap: string, marked: (zone: string, lap: string) => number}} Setting
 */

/** @param {Setting} setting @returns {HTMLElement[]} */
export function overview(setting) {
  const { standing } = setting;
  if (standing.finished && left(standing) === "") return [done(setting)];
  const found = [...ringsPart(setting), ...proposalsPart(setting), ...questionsPart(setting), ...gonePart(setting), ...spotsPart(setting), ...backPart(setting)];
  const who = setting.inspector ? [] : [says(_("Only an inspector decides here; you can look, and a manager can answer questions."))];
  return [...who, ...(found.length > 0 ? found : [el("div", { class: "empty" }, el("b", {}, _("Nothing is left to decide here")),
    el("p", {}, _("Rings come here when the last step on them is done; zones when work has touched them.")))])];
}

/** @param {Setting} setting */
function done({ standing: { waiting, unit } }) {
  const tags = waiting.length > 6 ? ngettext("%(n)s marker", "%(n)s markers", waiting.length) : allOf(waiting.map((marker) => marker.tag));
  const rework = ngettext("%(tags)s is with rework; the unit comes back here afterwards.", "%(tags)s are with rework; the unit comes back here afterwards.", waiting.length, { tags });
  const words = waiting.length > 0 ? rework : _("Everything on it is decided, and every zone the work touched was looked at again.");
  const next = waiting.length > 0 ? link("/", _("To the floor"), "ui-van") : link(`/sign-off/${unit.id}`, _("On to the sign-off"), "ui-sign");
  return el("div", { class: "stack" }, el("h2", {}, _("The second look is finished")), el("p", {}, words), el("div", { class: "row" }, next, link("/again", _("Other units"), "ui-eye", "btn btn-large")));
}

/** @param {string} href @param {string} words @param {string} sign @param {string} [kind] */
function link(href, words, sign, kind = "btn btn-main btn-large") {
  return el("a", { class: kind, href }, pic(sign), words);
}

/** @param {string} title @param {number | string} n @param {...Node} lines */
function section(title, n, ...lines) {
  return el("section", {}, el("h2", { class: "again-head" }, title, " ", el("span", { class: "count keep" }, String(n))), ...lines);
}

/** @param {Setting} setting */
function ringsPart({ standing: { rings }, catalogue, now }) {
  if (rings.length === 0) return [];
  const lines = rings.map(({ marker, own, until }) => el("button", { type: "button", class: "line marker-line", "data-act": "ring", "data-marker": marker.id, "data-key": marker.id },
    ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
    el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)), el("span", { class: "line-sub" }, own ? _("%(spot)s; you worked on it", { spot: marker.words }) : marker.words), ...(until > 0 ? [cure(until, now)] : []))));
  return [section(_("Rings to decide"), rings.length, el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting */
function proposalsPart({ standing: { proposals }, catalogue, inspector }) {
  if (proposals.length === 0) return [];
  const lines = proposals.map((marker) => el("div", { class: "again-item" },
    el("button", { type: "button", class: "bench-pick", "data-act": "ring", "data-marker": marker.id, "data-key": `p-${marker.id}` }, ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
      el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)), el("span", { class: "line-sub" }, together(sentence(marker.words), _("Said to be no flaw: %(reason)s", { reason: sentence(marker.no_flaw) }))))),
    ...(inspector ? [decideNoFlaw(marker)] : [])));
  return [section(_("Proposed as no flaw"), proposals.length, el("div", { class: "again-items" }, ...lines))];
}

/** @param {Row} marker */
export function decideNoFlaw(marker) {
  return el("div", { class: "reasons" },
    button(_("No flaw, agreed"), { "data-act": "agree", "data-marker": marker.id, "data-key": `agree-${marker.id}`, "aria-label": _("%(tag)s: no flaw, agreed", { tag: marker.tag }) }, pic("ui-check")),
    button(_("It is one"), { "data-act": "decline", "data-marker": marker.id, "data-key": `decline-${marker.id}`, "aria-label": _("%(tag)s: it is a flaw, back to rework", { tag: marker.tag }) }, pic("ui-send-back")));
}

/** @param {Setting} setting */
function questionsPart({ standing: { questions, markers }, people, now, inspector, manager }) {
  if (questions.length === 0) return [];
  const lines = questions.map((question) => {
    const marker = markers.find((one) => one.id === question.marker);
    const who = people.has(question.asked_by) ? _("asked %(when)s by %(name)s", { when: moment(question.asked_at, now), name: people.get(question.asked_by)?.name })
      : _("asked %(when)s", { when: moment(question.asked_at, now) });
    const show = marker ? [button(_("Show %(tag)s", { tag: marker.tag }), { class: "btn btn-word", "data-act": "ring", "data-marker": marker.id, "data-key": `q-${marker.id}` })] : [];
    const answer = inspector || manager ? [button(_("Answer"), { "data-act": "answer", "data-question": question.id, "data-key": `answer-${question.id}` }, pic("ui-question"))] : [];
    return el("div", { class: "again-item" }, el("p", {}, question.text), el("p", { class: "line-sub" }, who), el("div", { class: "reasons" }, ...answer, ...show));
  });
  return [section(_("Questions"), questions.length, el("div", { class: "again-items" }, ...lines))];
}

/** Zones off the van: what that blocks, and the way back. @param {Setting} setting */
function gonePart({ gone, mayPutBack }) {
  if (gone.length === 0) return [];
  const lines = gone.map((zone) => el("div", { class: "again-look" },
    el("button", { type: "button", class: "again-zone", "data-act": "zone", "data-zone": zone.id, "data-lap": zone.laps[0] ?? "", "data-key": `gone-${zone.id}` },
      el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, _("cannot be looked at or marked"))),
    ...(mayPutBack ? [button(_("It is back on"), { "data-act": "backon", "data-zone": zone.id, "data-key": `back-${zone.id}`, "aria-label": _("%(zone)s: it is back on", { zone: zone.label }) })] : [])));
  return [section(_("Off the van"), gone.length, el("p", { class: "hush small" }, ngettext("The unit cannot be signed until it is back on and looked at.", "The unit cannot be signed until they are back on and looked at.", gone.length)), el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting */
function spotsPart(setting) {
  const { standing: { spots, seen } } = setting;
  if (spots.length === 0) return [];
  const laps = [...new Set(spots.map((spot) => spot.lap))];
  const count = seen.length > 0 ? _("%(n)s, %(done)s done", { n: spots.length, done: seen.length }) : spots.length;
  return [section(_("Zones to look at again"), count, ...laps.flatMap((lap) => lapPart(lap, spots.filter((spot) => spot.lap === lap), setting)))];
}

/** @param {string} lap @param {import("./situation.js").Spot[]} spots @param {Setting} setting */
function lapPart(lap, spots, { catalogue, now, inspector, zone: chosen, lap: here, marked }) {
  const lines = spots.map(({ zone, at, off }) => {
    const n = marked(zone.id, lap);
    const said = { zone: zone.label, lap: catalogue.laps[lap].label };
    const look = inspector && !off ? [button(n > 0 ? _("Done here · %(n)s marked", { n }) : _("Nothing found"), { "data-act": "look", "data-zone": zone.id, "data-lap": lap, "data-key": `look-${zone.id}-${lap}`,
      "aria-label": n > 0 ? _("%(zone)s, %(lap)s: done here, %(n)s marked", { ...said, n }) : _("%(zone)s, %(lap)s: nothing found", said) })] : [];
    return el("div", { class: "again-look" },
      el("button", { type: "button", class: "again-zone", "data-act": "zone", "data-zone": zone.id, "data-lap": lap, "data-key": `zone-${zone.id}-${lap}`, ...(zone.id === chosen && lap === here ? { "aria-current": "true" } : {}) },
        el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, off ? _("off the van: it has to be back on first") : _("worked on %(when)s", { when: moment(at, now) }))),
      ...look);
  });
  return [el("h3", { class: "again-lap" }, capital(catalogue.laps[lap].label)), el("div", { class: "lines" }, ...lines)];
}

/** @param {Setting} setting */
function backPart({ standing: { back }, catalogue }) {
  if (back.length === 0) return [];
  const lines = back.map((marker) => el("button", { type: "button", class: "line marker-line", "data-act": "ring", "data-marker": marker.id, "data-key": `b-${marker.id}` },
    ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
    el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)),
      el("span", { class: "line-sub" }, marker.returned_for ? _("Sent back: %(reason)s", { reason: sentence(marker.returned_for) }) : marker.words))));
  return [section(_("To rework again"), back.length, el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting @returns {HTMLElement[]} */
export function overviewFoot({ standing, inspector }) {
  if (!inspector || (standing.finished && left(standing) === "")) return [];
  const words = left(standing);
  if (words === "" && standing.walks.length === 0) return [el("a", { class: "btn", href: `/sign-off/${standing.unit.id}` }, pic("ui-sign"), _("To the sign-off"))];
  const main = button(_("Finish the walk"), { class: "btn btn-main btn-large", "data-act": "finish", "data-key": "main", ...(words ? { disabled: "" } : {}) });
  return [el("p", { class: "hush again-left" }, words ? _("Still to do: %(what)s.", { what: words }) : _("Everything is decided.")), main];
}
