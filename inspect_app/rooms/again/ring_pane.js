/** The pane about one marker: before and after, what was done by whom, and the decision. */

import { el } from "../../client/elements.js";
import { lasting, microns } from "../../client/figures.js";
import { _, inTurn, midway, ngettext } from "../../client/gettext.js";
import { capital, kindWords, moment, sentence } from "../../client/in_words.js";
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
  const back = button(_("All that is left"), { class: "btn btn-word again-back", "data-act": "overview", "data-key": "overview" }, pic("ui-back"));
  const head = el("h2", {}, tag(marker.tag, marker.state), ` ${kindWords(catalogue, marker)}`);
  const about = [`${capital(marker.words)}.`, ...(severity ? [_("%(severity)s: %(label)s.", { severity: marker.severity, label: severity.label })] : []), ...(marker.raking ? [_("Seen only in raking light.")] : []), ...(marker.note ? [`“${marker.note}”`] : [])].join(" ");
  const said = held.map(heldLine);
  if (marker.pending) said.push(says(_("Kept on this tablet, not sent yet. It goes out by itself.")));
  if (setting.proposed) said.push(says(_("Said to be no flaw: %(reason)s", { reason: sentence(marker.no_flaw) }), "", ...(setting.inspector ? [decideNoFlaw(marker)] : [])));
  if (ring?.own) said.push(says(notFixer, "wrong"));
  if (ring && ring.until > 0) {
    const wet = _("It is still curing: it can be sent back, and cleared when the clock has run out.");
    said.push(says([lastHand(setting), wet].filter(Boolean).join(" "), "", cure(ring.until, now)));
  }
  if (marker.returned_for) said.push(says(_("Sent back before: %(reason)s", { reason: sentence(marker.returned_for) })));
  return [back, head, el("p", {}, about), ...said, pair(setting), history(setting)];
}

/** Who put it right last, and when; a sentence, or nothing. @param {Setting} setting */
function lastHand({ marker, state, people, now }) {
  const work = (state.work ?? []).filter((row) => row.marker === marker.id).sort((a, b) => b.at - a.at)[0];
  const name = work && people.get(work.person)?.name;
  return name ? _("%(name)s put it right, %(when)s.", { name, when: moment(work.at, now) }) : "";
}

/** Before and after, side by side. @param {Setting} setting */
function pair({ marker, state, now }) {
  const jobs = new Set((state.job_markers ?? []).filter((link) => link.marker === marker.id).map((link) => link.job));
  const [before, after] = ["found", "after"].map((role) => photosOf(state.photos ?? [], marker.id, jobs, role));
  const first = before?.[0];
  const last = after?.[after.length - 1];
  const more = [...(before ?? []).slice(1), ...(after ?? []).slice(0, -1)];
  const caption = (/** @type {string} */ word, /** @type {Row} */ photo) => inTurn([word, moment(photo.at, now)]);
  const figures = [first ? shot(first, caption(_("Before"), first)) : awaited(_("No photo before")), last ? shot(last, caption(_("After"), last)) : awaited(_("No photo after"))];
  const rest = more.length > 0 ? [el("div", { class: "shots again-shots" }, ...more.map((photo) => shot(photo, caption(photo.role === "after" ? _("After") : _("Before"), photo))))] : [];
  return el("div", { class: "stack" }, el("div", { class: "pair" }, ...figures), ...rest);
}

/** What was done by whom. @param {Setting} setting */
function history({ marker, state, catalogue, people, now }) {
  const rows = (state.work ?? []).filter((work) => work.marker === marker.id).sort((a, b) => a.at - b.at);
  const facts = rows.flatMap((work) => {
    const method = work.method === "put_right_here" ? _("Put right on the spot") : capital(catalogue.methods[work.method]?.label ?? _("Work"));
    const film = work.film ? _("%(film)s taken off", { film: microns(work.film) }) : "";
    const step = inTurn([method, lasting(work.minutes ?? 0), film, work.clips ? ngettext("%(n)s clip", "%(n)s clips", work.clips) : ""].filter(Boolean));
    const attempt = work.attempt > 1 ? _("attempt %(n)s", { n: work.attempt }) : "";
    const who = inTurn([people.get(work.person)?.name ?? _("you"), midway(catalogue.departments[work.department]?.label ?? ""), attempt].filter(Boolean));
    return [el("dt", {}, moment(work.at, now)), el("dd", {}, step, el("span", { class: "line-sub" }, who))];
  });
  const by = people.get(marker.made_by)?.name ?? "";
  const made = [el("dt", {}, _("Found")), el("dd", {}, inTurn([moment(marker.made_at ?? now, now), by].filter(Boolean)))];
  const limit = marker.limit_text ? [el("dt", {}, _("Limit")), el("dd", {}, marker.limit_text)] : [];
  return el("dl", { class: "facts" }, ...limit, ...made, ...facts);
}

/** @param {Setting} setting @returns {HTMLElement[]} */
export function ringFoot({ marker, ring, inspector }) {
  if (!ring || !inspector) return [];
  /** @param {boolean} no @returns {Record<string, string>} */
  const unless = (no) => (no ? { disabled: "" } : {});
  return [
    button(_("Cleared"), { class: "btn btn-main btn-large", "data-act": "clear", "data-marker": marker.id, "data-key": "main", ...unless(ring.own || ring.until > 0) }, pic("ui-check")),
    button(_("Send back"), { class: "btn btn-large btn-wrong", "data-act": "sendback", "data-marker": marker.id, "data-key": "sendback", ...unless(ring.own) }, pic("ui-send-back")),
    button(_("Concession"), { class: "btn btn-word", "data-act": "concede", "data-marker": marker.id, "data-key": "concede" }),
  ];
}
