/**
 * What the rework page knows: each job with its unit, markers, chain and the reason it stands where it stands. Pure.
 *
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {"mine" | "ready" | "others" | "waiting" | "part" | "over" | "covered"} Place
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
 * @property {Row | null} covered  the step that lays a new film over all of it, where a refinish of the part makes it needless
 * @property {boolean} booth
 * @property {boolean} pending  something about it has not reached the server
 * @property {number} left  minutes planned for the whole unit that nobody has done
 * @property {import("./order.js").Work} work  as the order of jobs asks for it
 * @property {import("./order.js").Line} alone  late or not, put first or not, and why; of this job by itself
 *
 * @typedef {object} Curing
 * @property {Row} unit
 * @property {Row[]} markers
 * @property {string} part
 * @property {number} until
 *
 * @typedef {object} Bench
 * @property {Map<string, Entry>} entries  by job
 * @property {number} now
 * @property {Curing[]} curing
 * @property {string[]} departments  that have work here
 */

import { lasting } from "../../client/figures.js";
import { _, inTurn, midway } from "../../client/gettext.js";
import { capital, dueWords, unended, whenWords } from "../../client/in_words.js";
import { byId, groupBy } from "../../client/rows.js";
import { coversOf } from "./covered.js";
import { worklist } from "./order.js";
import { openOf } from "./ways.js";

const OPEN = ["ready", "taken", "waiting"];

/**
 * @param {import("../../client/view.js").Sight} sight
 * @param {{catalogue: any, outlines: Map<string, any>, now: number, rules?: import("./open.js").Rules | null}} known
 * @returns {Bench}
 */
export function bench({ state, me, events }, { catalogue, outlines, now, rules }) {
  const units = byId((state.units ?? []).filter((unit) => unit.state === "open"));
  const jobs = (state.jobs ?? []).filter((job) => units.has(job.unit));
  const chains = groupBy(jobs.filter((job) => job.state !== "cancelled").sort((a, b) => a.step - b.step), (job) => job.chain);
  const [members, markers] = [membersOf(state, events), byId(state.markers ?? [])];
  /** @param {Row} marker */
  const open = (marker) => (rules && catalogue.kinds[marker.kind] ? openOf(marker, { catalogue, rules, state, outline: outlines.get(units.get(marker.unit)?.outline) }).open : []);
  const known = { catalogue, outlines, now, events, me, units, chains, left: leftOf(jobs), waits: waitsOf(jobs, state.markers ?? [], catalogue, now), members, markers, covers: coversOf(jobs, members, markers, rules?.renewed, open), people: byId(state.people ?? []) };
  const entries = new Map(jobs.map((job) => [job.id, entryOf(job, known)]));
  const departments = [...new Set(jobs.filter((job) => OPEN.includes(job.state)).map((job) => job.department))];
  return { entries, now, curing: curing(state, units, outlines, now), departments: departments.sort((a, b) => order(catalogue, a) - order(catalogue, b)) };
}

/** @param {Row[]} jobs  @returns {Map<string, number>} minutes of each unit that nobody has done */
function leftOf(jobs) {
  const left = new Map();
  for (const job of jobs) if (OPEN.includes(job.state)) left.set(job.unit, (left.get(job.unit) ?? 0) + job.minutes_planned);
  return left;
}

/**
 * The longest wait that each unit still has before it: of the work to come, and of what cures now.
 * @param {Row[]} jobs
 * @param {Row[]} markers
 * @param {any} catalogue
 * @param {number} now
 * @returns {Map<string, number>} minutes
 */
function waitsOf(jobs, markers, catalogue, now) {
  const waits = new Map();
  const longest = (/** @type {string} */ unit, /** @type {number} */ minutes) => waits.set(unit, Math.max(waits.get(unit) ?? 0, minutes));
  for (const job of jobs) if (OPEN.includes(job.state)) longest(job.unit, catalogue.methods[job.method]?.wait_minutes ?? 0);
  for (const marker of markers) if (marker.state === "reworked" && marker.cure_until > now) longest(marker.unit, (marker.cure_until - now) / 60_000);
  return waits;
}

/**
 * @param {Row} job
 * @param {any} known
 * @returns {Entry}
 */
function entryOf(job, { catalogue, outlines, now, events, me, units, chains, left, waits, members, markers, covers, people }) {
  const unit = units.get(job.unit);
  const method = catalogue.methods[job.method] ?? { label: job.method, steps: [], cautions: [], materials: [] };
  const mine = (members.get(job.id) ?? job.markers ?? []).map((/** @type {string} */ id) => markers.get(id)).filter(Boolean);
  const place = placeOf(job, me);
  const chain = chains.get(job.chain) ?? [];
  const booth = Boolean(method.booth && job.department === "paint");
  /** @type {import("./order.js").Work} */
  const work = {
    id: job.id, unit: `${unit.last_six} ${unit.id}`, part: job.part, due: unit.due ?? null, hoursLeft: ((left.get(job.unit) ?? 0) + (waits.get(job.unit) ?? 0)) / 60,
    load: booth ? [unit.colour, bakeOf(outlines.get(unit.outline), job.part), "booth"] : null,
    pinned: job.pinned_at ?? null, pinnedBy: job.pinned_by ? (people.get(job.pinned_by)?.name ?? null) : null,
  };
  return {
    job, unit, chain, place, method, booth, work, covered: covers.get(job.id) ?? null,
    alone: /** @type {import("./order.js").Line} */ (worklist([work], now)[0]),
    markers: mine.sort(byTag),
    part: partOf(outlines.get(unit.outline), job.part),
    kinds: kindsOf(catalogue, mine),
    pending: Boolean(job.pending) || events.some((/** @type {any} */ event) => event.body.job === job.id),
    left: left.get(job.unit) ?? 0,
    why: why(job, place, { covered: covers.has(job.id), unit, chain, catalogue, people, now, left: left.get(job.unit) ?? 0, waits: waits.get(job.unit) ?? 0 }),
  };
}

/** How a part is baked: a plastic one with the loose trim, not so hot. @param {any} outline @param {string} part @returns {"van" | "trim"} */
function bakeOf(outline, part) {
  const zones = (outline?.views ?? []).flatMap((/** @type {any} */ view) => view.zones).filter((/** @type {any} */ zone) => zone.part === part);
  return zones.length > 0 && zones.every((/** @type {any} */ zone) => zone.material === "plastic") ? "trim" : "van";
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
 * @param {{covered: boolean, unit: Row, chain: Row[], catalogue: any, people: Map<string, Row>, now: number, left: number, waits: number}} known
 */
function why(job, place, { covered, unit, chain, catalogue, people, now, left, waits }) {
  const told = { due: dueWords(unit.due, now), time: lasting(left), waits: lasting(waits) };
  const due = waits >= 1 ? _("%(due)s, %(time)s of work and %(waits)s of waits left", told) : _("%(due)s, %(time)s of work left", told);
  if (covered) return _("covered by the refinish of its part; %(due)s", { due: dueWords(unit.due, now) });
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
  const lists = { mine: [], ready: [], others: [], waiting: [], part: [], over: [], covered: [] };
  for (const entry of found.entries.values()) {
    if (!departments.includes(entry.job.department) && entry.place !== "mine") continue;
    if (fits !== null && entry.place === "ready" && !entry.covered && entry.job.minutes_planned > fits) continue;
    lists[entry.covered ? "covered" : entry.place].push(entry);
  }
  for (const key of /** @type {Place[]} */ (Object.keys(lists))) lists[key] = inOrder(lists[key], found.now, key === "ready");
  return lists;
}

/**
 * Put first by a manager, then by critical ratio; jobs on one part of one unit together, jobs for the booth by load.
 * @param {Entry[]} entries
 * @param {number} now
 * @param {boolean} loads  only what can be done now is gathered into loads
 */
function inOrder(entries, now, loads) {
  const known = new Map(entries.map((entry) => [entry.job.id, entry]));
  const lines = worklist(entries.map(({ work }) => (loads ? work : { ...work, load: null })), now);
  return lines.flatMap(({ jobs }) => after(jobs.map(({ id }) => /** @type {Entry} */ (known.get(id)))));
}

/** On one part body before paint before polish, as the catalogue says what waits for what. @param {Entry[]} entries */
function after(entries) {
  /** @type {Entry[]} */
  const done = [];
  const rest = [...entries];
  while (rest.length > 0) {
    const free = rest.findIndex((one) => !rest.some((other) => other !== one && samePart(one, other) && (one.method.waits_for ?? []).includes(other.job.method)));
    done.push(...rest.splice(Math.max(0, free), 1));
  }
  return done;
}

/** @param {Entry} one @param {Entry} other */
function samePart(one, other) {
  return one.job.unit === other.job.unit && one.job.part === other.job.part;
}
