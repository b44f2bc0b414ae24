/** How jobs, and the markers they are for, look before the server has answered. */

import { factsOf } from "./state_markers.js";

/** @typedef {import("./state.js").Draft} Draft */
/** @typedef {import("./state.js").Step} Step */
/** @typedef {import("./types.js").Row} Row */

/**
 * @param {Draft} draft
 * @param {Step} step
 * @param {(job: Row) => Record<string, any>} columns
 * @param {string} [name]
 * @returns {Row | null} the job as it was, when the event will be applied
 */
function moveTo(draft, step, columns, name = step.event.type) {
  const job = draft.get("jobs", step.body.job);
  if (!job) return null;
  const mine = job.taken_by === step.author?.person;
  const facts = { job_department: job.department, taken_by_me: Boolean(job.taken_by) && mine, taken_by_other: Boolean(job.taken_by) && !mine };
  const state = step.to("job", job.state, facts, name);
  if (state === null) return null;
  draft.put("jobs", job.id, { ...columns(job), state });
  return job;
}

/**
 * @param {Draft} draft
 * @param {Step} step
 * @param {Row} job
 * @param {string} name
 */
function moveMarkers(draft, step, job, name) {
  for (const id of job.markers ?? []) {
    const marker = draft.get("markers", id);
    const state = marker && step.to("marker", marker.state, factsOf(draft, step, marker), name);
    if (state) draft.put("markers", id, { state });
  }
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function taken(draft, step) {
  const job = moveTo(draft, step, () => ({ taken_by: step.author?.person, taken_at: step.at }));
  if (job) moveMarkers(draft, step, job, "job_taken");
}

/**
 * My step is done: the next one of the chain has its turn, and only the last one makes its markers reworked.
 * @param {Draft} draft
 * @param {Step} step
 */
function done(draft, step) {
  const { minutes = null, film = null, clips = null } = step.body;
  const job = moveTo(draft, step, () => ({ done_by: step.author?.person, done_at: step.at, minutes }));
  if (!job) return;
  for (const marker of job.markers ?? []) {
    const work = { unit: step.unit, job: job.id, method: job.method, department: job.department, marker, person: step.author?.person, at: step.at, minutes, film, clips };
    draft.put("work", `${step.event.id}:${marker}`, work);
  }
  if (job.step >= job.steps) return moveMarkers(draft, step, job, "work_done.last");
  const next = draft.all("jobs").find((other) => other.chain === job.chain && other.step === job.step + 1 && other.state === "waiting");
  if (next) draft.put("jobs", next.id, { state: "ready", ready_at: step.at });
}

/**
 * The spot was not found, or there is no flaw: the job waits for an inspector's word.
 * @param {Draft} draft
 * @param {Step} step
 */
function asked(draft, step) {
  if (step.body.job) moveTo(draft, step, () => ({ asked: step.event.type }));
}

/**
 * Another way: the job that is there does its first step, the others are new; or the reason why a barred one stays.
 * @param {Draft} draft
 * @param {Step} step
 */
function chosen(draft, step) {
  const { job: key, method, reason = null } = step.body;
  const job = draft.get("jobs", key);
  const why = { method_reason: reason, method_by: step.author?.person };
  if (job?.method === method) return void moveTo(draft, step, () => why, "method_chosen.same");
  const chain = draft.context.method?.(method)?.chain ?? [];
  const [first, ...later] = chain;
  if (!job || !first) return;
  const spots = (job.markers ?? []).reduce((/** @type {number} */ sum, /** @type {string} */ id) => sum + (draft.get("markers", id)?.count ?? 1), 0);
  const planned = (/** @type {any} */ one) => ({ ...why, method, department: one.department, text: one.text, minutes_planned: one.minutes_base + one.minutes_spot * Math.min(spots, 12), steps: chain.length, along: null, otherwise: null });
  if (!moveTo(draft, step, () => ({ ...FREE, ...planned(first) }))) return;
  for (const other of draft.all("jobs").filter((row) => row.chain === job.chain && row.state === "waiting")) draft.put("jobs", other.id, { state: "cancelled" });
  later.forEach((/** @type {any} */ one, /** @type {number} */ i) => draft.put("jobs", `${step.event.id}:${i}`, { ...job, ...planned(one), step: i + 2, state: "waiting" }));
}

const FREE = { taken_by: null, taken_at: null };

/** @type {Record<string, (draft: Draft, step: Step) => void>} */
export const JOBS = {
  job_taken: taken,
  job_handed_back: (draft, step) => void moveTo(draft, step, () => FREE),
  job_rerouted: (draft, step) => void moveTo(draft, step, () => ({ ...FREE, department: step.body.department })),
  step_inserted: (draft, step) => void moveTo(draft, step, () => FREE),
  waiting_for: (draft, step) => void moveTo(draft, step, () => ({ waiting_what: step.body.what, waiting_until: step.body.until ?? null })),
  method_chosen: chosen,
  job_pinned: (draft, step) => void moveTo(draft, step, () => (step.body.pinned === false ? { pinned_at: null, pinned_by: null } : { pinned_at: step.at, pinned_by: step.author?.person })),
  work_done: done,
  spot_not_found: asked,
  no_flaw_proposed: asked,
};
