/**
 * What a second look still has to decide and to look at. Pure; worked out anew from the rows whenever they change, by
 * the rules of journal/coverage.py.
 *
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {{zone: Zone, lap: string, at: number, off: boolean}} Spot  a zone whose look in one lap work has undone
 * @typedef {{marker: Row, own: boolean, until: number}} Ring  `own`: whoever is signed in worked on it; `until`: its cure, 0 when over
 *
 * @typedef {object} Standing
 * @property {Row} unit
 * @property {Row[]} walks  second looks under way, the oldest first
 * @property {Ring[]} rings  reworked, in walking order
 * @property {Row[]} proposals  said to be no flaw
 * @property {Row[]} questions
 * @property {Spot[]} spots  still to look at, lap by lap in walking order
 * @property {Spot[]} seen  looked at since
 * @property {Row[]} markers
 * @property {Row[]} back  sent back, or found new on a second look, and not put right yet
 * @property {Row[]} waiting  everything on the unit that still needs rework
 * @property {boolean} finished  a second look was finished and none is under way
 * @property {string[]} workers  departments that have worked on the unit
 */

import { inTurn, ngettext } from "../../client/gettext.js";
import { holds } from "../../client/state_walks.js";

/**
 * @param {import("../../client/view.js").Sight} sight
 * @param {string} key of the unit
 * @param {{outline: import("../../client/outline.js").Outline, catalogue: any, now: number}} known
 * @returns {Standing | null} null while the unit's row has not come
 */
export function standing({ state, me, events }, key, { outline, catalogue, now }) {
  const unit = (state.units ?? []).find((row) => row.id === key);
  if (!unit) return null;
  const markers = (state.markers ?? []).filter((marker) => marker.unit === key);
  const again = (state.walks ?? []).filter((walk) => walk.purpose === "again").sort((a, b) => a.started_at - b.started_at);
  const walks = again.filter((walk) => walk.state === "walking");
  const waiting = markers.filter((marker) => ["open", "in_rework"].includes(marker.state) && marker.severity !== "S5");
  const decided = new Set(events.filter(({ type }) => type === "no_flaw_decided").map(({ body }) => body.marker));
  const answered = new Set(events.filter(({ type }) => type === "question_answered").map(({ body }) => body.question));
  const worked = new Set((state.work ?? []).filter((work) => work.person === me?.person).map((work) => work.marker));
  const { spots, seen } = spotsOf(state, unit, outline, catalogue);
  return {
    unit, walks, spots, seen, markers, waiting,
    finished: again.length > 0 && walks.length === 0,
    rings: markers.filter((marker) => marker.state === "reworked").sort(inOrder(outline))
      .map((marker) => ({ marker, own: worked.has(marker.id), until: (marker.cure_until ?? 0) > now ? marker.cure_until : 0 })),
    proposals: markers.filter((marker) => marker.no_flaw && ["open", "in_rework"].includes(marker.state) && !decided.has(marker.id)),
    questions: (state.questions ?? []).filter((question) => question.state === "open" && !answered.has(question.id)),
    back: waiting.filter((marker) => !marker.no_flaw && (marker.returns > 0 || again.some((walk) => walk.id === marker.walk))),
    workers: [...new Set((state.work ?? []).map((work) => work.department).filter((one) => one && one !== "inspection"))],
  };
}

/** @param {import("../../client/outline.js").Outline} outline @returns {(a: Row, b: Row) => number} */
function inOrder(outline) {
  /** @param {Row} marker */
  const place = (marker) => outline.zone(marker.zone)?.order ?? 999;
  return (a, b) => place(a) - place(b) || String(a.tag).localeCompare(b.tag, "en", { numeric: true });
}

/**
 * Zones and laps whose looks work has undone: those nobody has looked at since, and those somebody has.
 * @param {import("../../client/state.js").State} state
 * @param {Row} unit
 * @param {import("../../client/outline.js").Outline} outline
 * @param {any} catalogue
 * @returns {{spots: Spot[], seen: Spot[]}}
 */
export function spotsOf(state, unit, outline, catalogue) {
  const looked = new Set((state.looks ?? []).filter((look) => holds(/** @type {any} */ (look)) && look.counts !== 0 && catalogue.walks[look.purpose]?.counts_for_coverage)
    .map((look) => `${look.zone} ${look.lap}`));
  const laps = Object.keys(catalogue.laps).sort((a, b) => catalogue.laps[a].order - catalogue.laps[b].order);
  /** @type {Spot[]} */
  const spots = [];
  /** @type {Spot[]} */
  const seen = [];
  for (const { zone: id, lap, at } of state.voidings ?? []) {
    const zone = outline.zone(id);
    if (!zone || !zone.laps.includes(lap) || unit.absent?.[id] === "not_fitted") continue;
    (looked.has(`${id} ${lap}`) ? seen : spots).push({ zone, lap, at, off: unit.absent?.[id] === "off" });
  }
  const order = (/** @type {Spot} */ a, /** @type {Spot} */ b) => laps.indexOf(a.lap) - laps.indexOf(b.lap) || a.zone.order - b.zone.order;
  return { spots: spots.sort(order), seen: seen.sort(order) };
}

/** What keeps the walk from ending, in words; "" when nothing does. @param {Standing} standing */
export function left({ rings, spots, proposals, questions }) {
  return inTurn([
    ...(rings.length > 0 ? [ngettext("%(n)s ring to decide", "%(n)s rings to decide", rings.length)] : []),
    ...(proposals.length > 0 ? [ngettext("%(n)s proposal to answer", "%(n)s proposals to answer", proposals.length)] : []),
    ...(questions.length > 0 ? [ngettext("%(n)s question to answer", "%(n)s questions to answer", questions.length)] : []),
    ...(spots.length > 0 ? [ngettext("%(n)s look to take again", "%(n)s looks to take again", spots.length)] : []),
  ]);
}
