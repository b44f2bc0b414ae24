/**
 * What the rework page knows: each job with its unit, markers, chain and the reason it stands where it stands. Pure.
 *
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {"mine" | "ready" | "others" | "waiting" | "part" | "over"} Place
 *
 * @typedef {object} Entry
 * @property {Row} job
 * @property {Row} unit
 * @property {Row[]} markers  still in the job
 * @property {Row[]} chain  jobs of the chain in their order
 * @property {any} method  of the catalogue
 * @property {string} part  in words
 * @property {string} kinds  "dirt nib ×2, run"
 * @property {Place} place
 * @property {string} why  one line
 * @property {boolean} booth
 * @property {boolean} pending  something about it has not reached the server
 * @property {number} left  minutes planned for the whole unit that nobody has done
 *
 * @typedef {object} Curing
 * @property {Row} unit
 * @property {Row[]} markers
 * @property {string} part
 * @property {number} until
 *
 * @typedef {object} Bench
 * @property {Map<string, Entry>} entries  by job
 * @property {Curing[]} curing
 * @property {string[]} departments  that have work here
 */

import { span } from "../../client/figures.js";
import { _, inTurn, midway } from "../../client/gettext.js";
import { capital, dueWords, unended, whenWords } from "../../client/in_words.js";
import { byId, groupBy } from "../../client/rows.js";

const OPEN = ["ready", "taken", "waiting"];

/**
 * @param {import("../../client/view.js").Sight} sight
 * @param {{catalogue: any, outlines: Map<string, any>, now: number}} known
 * @returns {Bench}
 */
export function bench({ state, me, events }, { catalogue, outlines, now }) {
  const units = byId((state.units ?? []).filter((unit) => unit.state === "open"));
  const jobs = (state.jobs ?? []).filter((job) => units.has(job.unit));
  const chains = groupBy(jobs.filter((job) => job.state !== "cancelled").sort((a, b) => a.step - b.step), (job) => job.chain);
  const known = { catalogue, outlines, now, events, me, units, chains, left: leftOf(jobs), members: membersOf(state, events), markers: byId(state.markers ?? []), people: byId(state.people ?? []) };
  const entries = new Map(jobs.map((job) => [job.id, entryOf(job, known)]));
  const departments = [...new Set(jobs.filter((job) => OPEN.includes(job.state)).map((job) => job.department))];
  return { entries, curing: curing(state, units, outlines, now), departments: departments.sort((a, b) => order(catalogue, a) - order(catalogue, b)) };
}

/** @param {Row[]} jobs  @returns {Map<string, number>} minutes of each unit that nobody has done */
function leftOf(jobs) {
  const left = new Map();
  for (const job of jobs) if (OPEN.includes(job.state)) left.set(job.unit, (left.get(job.unit) ?? 0) + job.minutes_planned);
  return left;
}

/**
 * @param {Row} job
 * @param {any} known
 * @returns {Entry}
 */
function entryOf(job, { catalogue, outlines, now, events, me, units, chains, left, members, markers, people }) {
  const unit = units.get(job.unit);
  const method = catalogue.methods[job.method] ?? { label: job.method, steps: [], cautions: [], materials: [] };
  const mine = (members.get(job.id) ?? job.markers ?? []).map((/** @type {string} */ id) => markers.get(id)).filter(Boolean);
  const place = placeOf(job, me);
  const chain = chains.get(job.chain) ?? [];
  return {
    job, unit, chain, place, method,
    markers: mine.sort(byTag),
    part: partOf(outlines.get(unit.outline), job.part),
    kinds: kindsOf(catalogue, mine),
    booth: Boolean(method.booth && job.department === "paint"),
    pending: Boolean(job.pending) || events.some((/** @type {any} */ event) => event.body.job === job.id),
    left: left.get(job.unit) ?? 0,
    why: why(job, place, { unit, chain, catalogue, people, now, left: left.get(job.unit) ?? 0 }),
  };
}

/** @param {Row} a @param {Row} b */
function byTag(a, b) {
  return String(a.tag).localeCompare(b.tag, "en", { numeric: true });
}

/** @param {any} catalogue @param {string} department */
function order(catalogue, department) {
  return catalogue.departments[department]?.order ?? 99;
}

/**
 * Markers by job, without those that left it: on the server, or by what waits here to be sent.
 * @param {import("../../client/state.js").State} state
 * @param {import("../../client/types.js").KeptEvent[]} events
 * @returns {Map<string, string[]>}
 */
function membersOf(state, events) {
  const gone = new Set(events.filter(({ type }) => type === "spot_not_found" || type === "no_flaw_proposed").map(({ body }) => body.marker));
  const links = (state.job_markers ?? []).filter((link) => !link.left_out && !gone.has(link.marker));
  return new Map([...groupBy(links, (link) => link.job)].map(([job, rows]) => [job, rows.map((row) => row.marker)]));
}

/**
 * @param {Row} job
 * @param {{person: string} | null} me
 * @returns {Place}
 */
function placeOf(job, me) {
  if (!OPEN.includes(job.state)) return "over";
  if (job.waiting_what) return "part";
  if (job.state === "waiting") return "waiting";
  if (job.state === "taken") return job.taken_by === me?.person ? "mine" : "others";
  return "ready";
}

/** @param {any} outline @param {string} part */
export function partOf(outline, part) {
  return capital(outline?.parts[part]?.label ?? part.replaceAll("_", " "));
}

/** @param {any} catalogue @param {Row[]} markers */
export function kindsOf(catalogue, markers) {
  const counts = new Map();
  for (const marker of markers) counts.set(marker.kind, (counts.get(marker.kind) ?? 0) + (marker.count || 1));
  return inTurn([...counts].map(([kind, n]) => {
    const label = catalogue.kinds[kind]?.label ?? kind;
    return n > 1 ? _("%(kind)s ×%(n)s", { kind: label, n }) : label;
  }));
}

/**
 * @param {Row} job
 * @param {Place} place
 * @param {{unit: Row, chain: Row[], catalogue: any, people: Map<string, Row>, now: number, left: number}} known
 */
function why(job, place, { unit, chain, catalogue, people, now, left }) {
  const due = _("%(due)s, %(time)s of work left", { due: dueWords(unit.due, now), time: span(left) });
  if (place === "part") {
    const what = unended(job.waiting_what);
    return job.waiting_until ? _("waits for %(what)s, promised %(when)s", { what, when: whenWords(job.waiting_until, now) }) : _("waits for %(what)s", { what });
  }
  if (place === "waiting") return _("waits for %(what)s; %(due)s", { what: stepBefore(chain, catalogue), due: dueWords(unit.due, now) });
  if (place === "others") return people.has(job.taken_by) ? _("taken by %(name)s; %(due)s", { name: people.get(job.taken_by)?.name, due }) : _("taken by someone else; %(due)s", { due });
  return job.reason ? _("back: %(reason)s; %(due)s", { reason: unended(job.reason), due }) : due;
}

/** Whose step has to be done before, midway in a sentence. @param {Row[]} chain @param {any} catalogue @returns {string} */
export function stepBefore(chain, catalogue) {
  const before = chain.find((step) => step.state === "ready" || step.state === "taken");
  return before ? midway(catalogue.departments[before.department]?.label ?? before.department) : _("the step before");
}

/**
 * Reworked markers whose cure has not run out.
 * @param {import("../../client/state.js").State} state
 * @param {Map<string, Row>} units
 * @param {Map<string, any>} outlines
 * @param {number} now
 * @returns {Curing[]}
 */
function curing(state, units, outlines, now) {
  const wet = (state.markers ?? []).filter((marker) => marker.state === "reworked" && (marker.cure_until ?? 0) > now && units.has(marker.unit));
  return [...groupBy(wet, (marker) => `${marker.unit} ${marker.part}`).values()]
    .map((rows) => {
      const [first] = /** @type {[Row]} */ (rows);
      const unit = /** @type {Row} */ (units.get(first.unit));
      return { unit, markers: rows, part: partOf(outlines.get(unit.outline), first.part), until: Math.max(...rows.map((row) => row.cure_until)) };
    })
    .sort((a, b) => a.until - b.until);
}

/**
 * The lists of the left pane.
 * @param {Bench} found
 * @param {{departments: string[], fits: number | null}} choice
 * @returns {Record<Place, Entry[]>}
 */
export function groups(found, { departments, fits }) {
  /** @type {Record<Place, Entry[]>} */
  const lists = { mine: [], ready: [], others: [], waiting: [], part: [], over: [] };
  for (const entry of found.entries.values()) {
    if (!departments.includes(entry.job.department) && entry.place !== "mine") continue;
    if (fits !== null && entry.place === "ready" && entry.job.minutes_planned > fits) continue;
    lists[entry.place].push(entry);
  }
  for (const key of /** @type {Place[]} */ (Object.keys(lists))) lists[key] = together(lists[key].sort(inOrder));
  return lists;
}

/** Due first, then what takes the shorter time. @param {Entry} a @param {Entry} b */
function inOrder(a, b) {
  return (a.unit.due ?? Infinity) - (b.unit.due ?? Infinity) || a.job.minutes_planned - b.job.minutes_planned || a.job.id.localeCompare(b.job.id);
}

/** Jobs on one part of one unit stand together, where the first of them stands. @param {Entry[]} entries */
function together(entries) {
  return [...groupBy(entries, ({ job }) => `${job.unit} ${job.part}`).values()].flat();
}
