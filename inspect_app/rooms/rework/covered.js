/**
 * Jobs that a refinish of their part makes needless: what is polished first would be painted over. As
 * journal/covered.py finds them, held against it by a test. Pure.
 *
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {{by: string[], spares: Record<string, string[]>}} Renewed  methods that lay a new film over a part, and by kind those that it makes needless
 */

import { el } from "../../client/elements.js";
import { _, allOf, together } from "../../client/gettext.js";
import { says } from "../../client/pieces.js";

const OPEN = ["ready", "taken", "waiting"];

/**
 * The step that lays the new film, by the job it covers; what a person has put first or chosen is never covered.
 * @param {Row[]} jobs
 * @param {Map<string, string[]>} members  markers by job
 * @param {Map<string, Row>} markers
 * @param {Renewed | null | undefined} renewed
 * @param {(marker: Row) => string[]} open  the methods that the rules leave for a marker, as it is known now
 * @returns {Map<string, Row>}
 */
export function coversOf(jobs, members, markers, renewed, open) {
  const found = new Map();
  const painted = jobs.filter((job) => job.department === "paint" && OPEN.includes(job.state) && renewed?.by.includes(job.method));
  for (const job of renewed && painted.length > 0 ? jobs : []) {
    if (job.state !== "ready" || job.step !== 1 || job.waiting_what || job.pinned_at || job.method_by) continue;
    const cover = painted.find((one) => one.unit === job.unit && one.part === job.part && one.chain !== job.chain && one.method !== job.method);
    const mine = (members.get(job.id) ?? job.markers ?? []).map((/** @type {string} */ id) => markers.get(id));
    const spared = (/** @type {Row | undefined} */ marker) => marker && !marker.method_by && renewed?.spares[marker.kind]?.includes(job.method) && open(marker).some((key) => renewed.by.includes(key));
    if (cover && mine.length > 0 && mine.every(spared)) found.set(job.id, cover);
  }
  return found;
}

/**
 * Why the job is not the next thing to do, with the way to the plan for who may plan.
 * @param {import("./model.js").Entry} entry
 * @param {import("./job.js").Setting} setting
 * @returns {HTMLElement[]}
 */
export function coveredSays({ covered, unit, part }, { me, state }) {
  if (!covered) return [];
  const links = new Set((state.job_markers ?? []).filter((link) => link.job === covered.id && !link.left_out).map((link) => link.marker));
  const tags = (state.markers ?? []).filter(({ id }) => links.has(id)).map(({ tag }) => tag);
  const why = tags.length > 0 ? _("%(part)s gets a new film for %(tags)s, which covers this.", { part, tags: allOf(tags) }) : _("%(part)s gets a new film, which covers this.", { part });
  const words = together(why, _("Leave it until the paint is on, then look at it again."));
  const plans = me?.roles.some((role) => role === "technician" || role === "manager") && covered.state !== "taken";
  return [says(words, "", ...(plans ? [el("a", { class: "btn", href: `/units/${unit.id}/plan`, "data-key": "to-plan" }, _("Plan it with the refinish"))] : []))];
}
