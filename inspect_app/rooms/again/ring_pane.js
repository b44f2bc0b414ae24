/** The pane about one marker: before and after, what was done by whom, and the decision. */

import { el } from "../../client/elements.js";
import { capital, kindWords, microns, moment, sentence, span } from "../../client/in_words.js";
import { pic } from "../../client/pictograms.js";
import { button, says, tag } from "../../client/pieces.js";
import { cure } from "../../client/curing.js";
import { heldLine } from "../../client/held.js";
import { awaited, photosOf, shot } from "../../client/shots.js";
import { decideNoFlaw } from "./overview.js";

/**
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {{marker: Row, catalogue: any, state: import("../../client/state.js").State, people: Map<string, Row>, now: number, inspector: boolean,
 *   ring: import("./situation.js").Ring | null, proposed: boolean, notFixer: string, held: import("../../client/types.js").KeptAnswer[]}} Setting
 */

/** @param {Setting} setting @returns {HTMLElement[]} */
export function ringPane(setting) {
  const { marker, catalogue, held, ring, now, notFixer } = setting;
  const severity = catalogue.severities[marker.severity];
  const back = button("All that is left", { class: "btn btn-word again-back", "data-act": "overview", "data-key": "overview" }, pic("ui-back"));
  const head = el("h2", {}, tag(marker.tag, marker.state), ` ${kindWords(catalogue, marker)}`);
  const about = [`${capital(marker.words)}.`, ...(severity ? [`${marker.severity}: ${severity.label}.`] : []), ...(marker.raking ? ["Seen only in raking light."] : []), ...(marker.note ? [`“${marker.note}”`] : [])].join(" ");
  const said = held.map(heldLine);
  if (marker.pending) said.push(says("Kept on this tablet, not sent yet. It goes out by itself."));
  if (setting.proposed) said.push(says(`Said to be no flaw: ${sentence(marker.no_flaw)}`, "", ...(setting.inspector ? [decideNoFlaw(marker)] : [])));
  if (ring?.own) said.push(says(notFixer, "wrong"));
  if (ring && ring.until > 0) said.push(says("It is still curing: it can be sent back, and cleared when the clock has run out.", "", cure(ring.until, now)));
  if (marker.returned_for) said.push(says(`Sent back before: ${sentence(marker.returned_for)}`));
  return [back, head, el("p", {}, about), ...said, pair(setting), history(setting)];
}

/** Before and after, side by side. @param {Setting} setting */
function pair({ marker, state, now }) {
  const jobs = new Set((state.job_markers ?? []).filter((link) => link.marker === marker.id).map((link) => link.job));
  const [before, after] = ["found", "after"].map((role) => photosOf(state.photos ?? [], marker.id, jobs, role));
  const first = before?.[0];
  const last = after?.[after.length - 1];
  const more = [...(before ?? []).slice(1), ...(after ?? []).slice(0, -1)];
  const caption = (/** @type {string} */ word, /** @type {Row} */ photo) => `${word}, ${moment(photo.at, now)}`;
  const figures = [first ? shot(first, caption("Before", first)) : awaited("No photo before"), last ? shot(last, caption("After", last)) : awaited("No photo after")];
  const rest = more.length > 0 ? [el("div", { class: "shots again-shots" }, ...more.map((photo) => shot(photo, caption(photo.role === "after" ? "After" : "Before", photo))))] : [];
  return el("div", { class: "stack" }, el("div", { class: "pair" }, ...figures), ...rest);
}

/** What was done by whom. @param {Setting} setting */
function history({ marker, state, catalogue, people, now }) {
  const rows = (state.work ?? []).filter((work) => work.marker === marker.id).sort((a, b) => a.at - b.at);
  const facts = rows.flatMap((work) => {
    const method = work.method === "put_right_here" ? "Put right on the spot" : capital(catalogue.methods[work.method]?.label ?? "Work");
    const step = [method, span(work.minutes ?? 0), ...(work.film ? [`${microns(work.film)} taken off`] : []), ...(work.clips ? [`${work.clips} clips`] : [])].join(", ");
    const who = `${people.get(work.person)?.name ?? "you"}, ${(catalogue.departments[work.department]?.label ?? "").toLowerCase()}`.replace(/, $/, "");
    return [el("dt", {}, moment(work.at, now)), el("dd", {}, step, el("span", { class: "line-sub" }, `${who}${work.attempt > 1 ? `, attempt ${work.attempt}` : ""}`))];
  });
  const by = people.get(marker.made_by)?.name ?? "";
  const made = [el("dt", {}, "Found"), el("dd", {}, `${moment(marker.made_at ?? now, now)}${by ? `, ${by}` : ""}`)];
  const limit = marker.limit_text ? [el("dt", {}, "Limit"), el("dd", {}, marker.limit_text)] : [];
  return el("dl", { class: "facts" }, ...limit, ...made, ...facts);
}

/** @param {Setting} setting @returns {HTMLElement[]} */
export function ringFoot({ marker, ring, inspector }) {
  if (!ring || !inspector) return [];
  /** @param {boolean} no @returns {Record<string, string>} */
  const unless = (no) => (no ? { disabled: "" } : {});
  return [
    button("Cleared", { class: "btn btn-main btn-large", "data-act": "clear", "data-marker": marker.id, "data-key": "main", ...unless(ring.own || ring.until > 0) }, pic("ui-check")),
    button("Send back", { class: "btn btn-large btn-wrong", "data-act": "sendback", "data-marker": marker.id, "data-key": "sendback", ...unless(ring.own) }, pic("ui-send-back")),
    button("Concession", { class: "btn btn-word", "data-act": "concede", "data-marker": marker.id, "data-key": "concede" }),
  ];
}
