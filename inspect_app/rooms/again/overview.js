/** The pane while no ring is chosen: everything that is left, by name, one tap away; and the end of the walk. */

import { el } from "../../client/elements.js";
import { capital, kindWords, list, moment, sentence } from "../../client/in_words.js";
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
  const who = setting.inspector ? [] : [says("Only an inspector decides here; you can look, and a manager can answer questions.")];
  return [...who, ...(found.length > 0 ? found : [el("div", { class: "empty" }, el("b", {}, "Nothing is left to decide here"),
    el("p", {}, "Rings come here when the last step on them is done; zones when work has touched them."))])];
}

/** @param {Setting} setting */
function done({ standing: { waiting, unit } }) {
  const tags = waiting.length > 6 ? `${waiting.length} markers` : list(waiting.map((marker) => marker.tag));
  const rework = `${tags} ${waiting.length === 1 ? "is" : "are"} with rework; the unit comes back here afterwards.`;
  const words = waiting.length > 0 ? rework : "Everything on it is decided, and every zone the work touched was looked at again.";
  const next = waiting.length > 0 ? link("/", "To the floor", "ui-van") : link(`/sign-off/${unit.id}`, "On to the sign-off", "ui-sign");
  return el("div", { class: "stack" }, el("h2", {}, "The second look is finished"), el("p", {}, words), el("div", { class: "row" }, next, link("/again", "Other units", "ui-eye", "btn btn-large")));
}

/** @param {string} href @param {string} words @param {string} sign @param {string} [kind] */
function link(href, words, sign, kind = "btn btn-main btn-large") {
  return el("a", { class: kind, href }, pic(sign), words);
}

/** @param {string} title @param {number} n @param {...Node} lines */
function section(title, n, ...lines) {
  return el("section", {}, el("h2", { class: "again-head" }, title, " ", el("span", { class: "count" }, String(n))), ...lines);
}

/** @param {Setting} setting */
function ringsPart({ standing: { rings }, catalogue, now }) {
  if (rings.length === 0) return [];
  const lines = rings.map(({ marker, own, until }) => el("button", { type: "button", class: "line marker-line", "data-act": "ring", "data-marker": marker.id, "data-key": marker.id },
    ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
    el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)), el("span", { class: "line-sub" }, `${marker.words}${own ? "; you worked on it" : ""}`), ...(until > 0 ? [cure(until, now)] : []))));
  return [section("Rings to decide", rings.length, el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting */
function proposalsPart({ standing: { proposals }, catalogue, inspector }) {
  if (proposals.length === 0) return [];
  const lines = proposals.map((marker) => el("div", { class: "again-item" },
    el("button", { type: "button", class: "bench-pick", "data-act": "ring", "data-marker": marker.id, "data-key": `p-${marker.id}` }, ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
      el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)), el("span", { class: "line-sub" }, `${sentence(marker.words)} Said to be no flaw: ${sentence(marker.no_flaw)}`))),
    ...(inspector ? [decideNoFlaw(marker)] : [])));
  return [section("Proposed as no flaw", proposals.length, el("div", { class: "again-items" }, ...lines))];
}

/** @param {Row} marker */
export function decideNoFlaw(marker) {
  return el("div", { class: "reasons" },
    button("No flaw, agreed", { "data-act": "agree", "data-marker": marker.id, "data-key": `agree-${marker.id}`, "aria-label": `${marker.tag}: no flaw, agreed` }, pic("ui-check")),
    button("It is one", { "data-act": "decline", "data-marker": marker.id, "data-key": `decline-${marker.id}`, "aria-label": `${marker.tag}: it is a flaw, back to rework` }, pic("ui-send-back")));
}

/** @param {Setting} setting */
function questionsPart({ standing: { questions, markers }, people, now, inspector, manager }) {
  if (questions.length === 0) return [];
  const lines = questions.map((question) => {
    const marker = markers.find((one) => one.id === question.marker);
    const who = `asked ${moment(question.asked_at, now)}${people.has(question.asked_by) ? ` by ${people.get(question.asked_by)?.name}` : ""}`;
    const show = marker ? [button(`Show ${marker.tag}`, { class: "btn btn-word", "data-act": "ring", "data-marker": marker.id, "data-key": `q-${marker.id}` })] : [];
    const answer = inspector || manager ? [button("Answer", { "data-act": "answer", "data-question": question.id, "data-key": `answer-${question.id}` }, pic("ui-question"))] : [];
    return el("div", { class: "again-item" }, el("p", {}, question.text), el("p", { class: "line-sub" }, who), el("div", { class: "reasons" }, ...answer, ...show));
  });
  return [section("Questions", questions.length, el("div", { class: "again-items" }, ...lines))];
}

/** Zones off the van: what that blocks, and the way back. @param {Setting} setting */
function gonePart({ gone, mayPutBack }) {
  if (gone.length === 0) return [];
  const lines = gone.map((zone) => el("div", { class: "again-look" },
    el("button", { type: "button", class: "again-zone", "data-act": "zone", "data-zone": zone.id, "data-lap": zone.laps[0] ?? "", "data-key": `gone-${zone.id}` },
      el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, "cannot be looked at or marked")),
    ...(mayPutBack ? [button("It is back on", { "data-act": "backon", "data-zone": zone.id, "data-key": `back-${zone.id}`, "aria-label": `${zone.label}: it is back on` })] : [])));
  return [section("Off the van", gone.length, el("p", { class: "hush small" }, `The unit cannot be signed until ${gone.length === 1 ? "it is" : "they are"} back on and looked at.`), el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting */
function spotsPart(setting) {
  const { standing: { spots, seen } } = setting;
  if (spots.length === 0) return [];
  const laps = [...new Set(spots.map((spot) => spot.lap))];
  const title = seen.length > 0 ? `Look again at, ${seen.length} done` : "Look again at";
  return [section(title, spots.length, ...laps.flatMap((lap) => lapPart(lap, spots.filter((spot) => spot.lap === lap), setting)))];
}

/** @param {string} lap @param {import("./situation.js").Spot[]} spots @param {Setting} setting */
function lapPart(lap, spots, { catalogue, now, inspector, zone: chosen, lap: here, marked }) {
  const lines = spots.map(({ zone, at, off }) => {
    const n = marked(zone.id, lap);
    const look = inspector && !off ? [button(n > 0 ? `Done here · ${n} marked` : "Nothing found", { "data-act": "look", "data-zone": zone.id, "data-lap": lap, "data-key": `look-${zone.id}-${lap}`,
      "aria-label": `${zone.label}, ${catalogue.laps[lap].label}: ${n > 0 ? `done here, ${n} marked` : "nothing found"}` })] : [];
    return el("div", { class: "again-look" },
      el("button", { type: "button", class: "again-zone", "data-act": "zone", "data-zone": zone.id, "data-lap": lap, "data-key": `zone-${zone.id}-${lap}`, ...(zone.id === chosen && lap === here ? { "aria-current": "true" } : {}) },
        el("span", { class: "line-title" }, capital(zone.label)), el("span", { class: "line-sub" }, off ? "off the van: it has to be back on first" : `worked on ${moment(at, now)}`)),
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
      el("span", { class: "line-sub" }, marker.returned_for ? `Sent back: ${sentence(marker.returned_for)}` : marker.words))));
  return [section("To rework again", back.length, el("div", { class: "lines" }, ...lines))];
}

/** @param {Setting} setting @returns {HTMLElement[]} */
export function overviewFoot({ standing, inspector }) {
  if (!inspector || (standing.finished && left(standing) === "")) return [];
  const words = left(standing);
  if (words === "" && standing.walks.length === 0) return [el("a", { class: "btn", href: `/sign-off/${standing.unit.id}` }, pic("ui-sign"), "To the sign-off")];
  const main = button("Finish the walk", { class: "btn btn-main btn-large", "data-act": "finish", "data-key": "main", ...(words ? { disabled: "" } : {}) });
  return [el("p", { class: "hush again-left" }, words ? `Left: ${words}.` : "Everything is decided."), main];
}
