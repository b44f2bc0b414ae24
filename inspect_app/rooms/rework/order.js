/**
 * What to do first: the order of a department's ready jobs, each line with why it stands there. The same sums as
 * trade/dispatch.py, held against it by a test, so that a tablet out of reach has the same list. Pure.
 *
 * @typedef {object} Work  times in ms, work in hours
 * @property {string} id
 * @property {string} unit
 * @property {string} part
 * @property {number | null} due
 * @property {number} hoursLeft  all work left on the unit, waits included
 * @property {[string, string, string] | null} load  colour, bake, booth
 * @property {number | null} pinned  the smaller the sooner
 * @property {string | null} pinnedBy
 *
 * @typedef {{jobs: Work[], load: [string, string, string] | null, ratio: number, late: boolean, why: string}} Line
 */

import { decimal, lasting } from "../../client/figures.js";
import { _ } from "../../client/gettext.js";
import { groupBy } from "../../client/rows.js";

const HOUR = 3_600_000;

/** Time to due divided by the work left; below 1 is late. @param {Work} work @param {number} now */
export function criticalRatio({ due, hoursLeft }, now) {
  if (due === null || hoursLeft === 0) return Infinity;
  return (due - now) / HOUR / hoursLeft;
}

/**
 * @param {Work[]} jobs  ready ones
 * @param {number} now
 * @returns {Line[]}
 */
export function worklist(jobs, now) {
  const urgency = new Map(jobs.map((job) => [job.id, { ratio: criticalRatio(job, now), left: job.due === null ? Infinity : (job.due - now) / HOUR }]));
  const ranked = (/** @type {Work[]} */ some) => rank(some, urgency);
  const lines = [...gathered(jobs).values()].map((group) => lineOf(group, urgency, now));
  return lines.map((line) => ({ line, key: ranked(line.jobs) })).sort((a, b) => compare(a.key, b.key)).map(({ line }) => line);
}

/** By load or, without the booth, by unit and part; what else is done to a part in a load goes with it. @param {Work[]} jobs */
function gathered(jobs) {
  /** @type {Map<string, string>} */
  const loads = new Map();
  for (const job of jobs) {
    const [place, load] = [`${job.unit} ${job.part}`, job.load && JSON.stringify(job.load)];
    if (load && (!loads.has(place) || load < /** @type {string} */ (loads.get(place)))) loads.set(place, load);
  }
  return groupBy(jobs, (job) => (job.load && JSON.stringify(job.load)) || loads.get(`${job.unit} ${job.part}`) || `${job.unit} ${job.part}`);
}

/** @param {Work[]} jobs @param {Map<string, {ratio: number, left: number}>} urgency @param {number} now @returns {Line} */
function lineOf(jobs, urgency, now) {
  const parts = [...groupBy(jobs, (job) => `${job.unit} ${job.part}`).values()];
  const inOrder = (/** @type {Work[][]} */ groups) => groups.map((group) => ({ group, key: rank(group, urgency) })).sort((a, b) => compare(a.key, b.key)).flatMap(({ group }) => group);
  const ordered = inOrder(parts.map((group) => inOrder(group.map((job) => [job]))));
  const urgent = ordered.reduce((least, job) => (compare([ratioOf(job, urgency), leftOf(job, urgency), job.id], [ratioOf(least, urgency), leftOf(least, urgency), least.id]) < 0 ? job : least));
  const ratio = ratioOf(urgent, urgency);
  return {
    jobs: ordered, load: ordered.find((job) => job.load)?.load ?? null, ratio, late: ratio < 1,
    get why() { // said only where it is shown: a long list has many lines
      return whyOf(ordered, urgent, ratio, now);
    },
  };
}

/** @param {Work} job @param {Map<string, {ratio: number, left: number}>} urgency */
const ratioOf = (job, urgency) => urgency.get(job.id)?.ratio ?? Infinity;

/** @param {Work} job @param {Map<string, {ratio: number, left: number}>} urgency */
const leftOf = (job, urgency) => urgency.get(job.id)?.left ?? Infinity;

/** @param {Work[]} jobs @param {Map<string, {ratio: number, left: number}>} urgency @returns {(number | string)[]} */
function rank(jobs, urgency) {
  const pin = Math.min(Infinity, ...jobs.map((job) => job.pinned ?? Infinity));
  const keys = jobs.map((job) => [ratioOf(job, urgency), leftOf(job, urgency), job.unit, job.part, job.id]);
  return [pin, ...keys.reduce((least, key) => (compare(key, least) < 0 ? key : least))];
}

/** @param {(number | string)[]} a @param {(number | string)[]} b */
function compare(a, b) {
  for (let i = 0; i < a.length; i += 1) {
    const [one, other] = [/** @type {number | string} */ (a[i]), /** @type {number | string} */ (b[i])];
    if (one !== other) return one < other ? -1 : 1;
  }
  return 0;
}

/** @param {Work[]} jobs @param {Work} urgent @param {number} ratio @param {number} now */
function whyOf(jobs, urgent, ratio, now) {
  const why = inWords(urgent, ratio, now);
  const [first] = jobs.filter((job) => job.pinned !== null).sort((a, b) => compare([a.pinned ?? 0, a.id], [b.pinned ?? 0, b.id]));
  if (!first) return why;
  return first.pinnedBy === null ? _("put first by a manager; %(why)s", { why }) : _("put first by %(name)s; %(why)s", { name: first.pinnedBy, why });
}

/** The ratio with the figures it comes from, as "late: 10 h left for 16 h of work and waits (0.62)". @param {Work} work @param {number} ratio @param {number} now */
export function inWords({ due, hoursLeft }, ratio, now) {
  if (due === null) return _("no due date");
  if (ratio === Infinity) return _("no work left");
  const left = (due - now) / HOUR;
  // Rounded down, so that what is late is never shown as 1.00.
  const told = { left: spanOf(left > -10 ? Math.abs(left) : Math.floor(0.5 - left)), work: lasting(Math.floor(hoursLeft * 60 + 0.5)), ratio: decimal(Math.floor(ratio * 100 + 1e-9) / 100, 2, 2) };
  if (left < 0) return _("late: due %(left)s ago, %(work)s of work and waits left", told); // below 0 a ratio tells a person nothing
  if (ratio < 1) return _("late: %(left)s left for %(work)s of work and waits (%(ratio)s)", told);
  return _("in time: %(left)s left for %(work)s of work and waits (%(ratio)s)", told);
}

/** Rounded down, so that what is late by a hair stays below. @param {number} hours */
function spanOf(hours) {
  return lasting(Math.floor(hours * 60 + 1e-9));
}
