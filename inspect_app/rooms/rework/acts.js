/** What a technician does to a job, as events kept on the tablet. Each resolves once it is durably stored. */

import { keep } from "../../client/outbox.js";

/** @typedef {{job: import("../../client/types.js").Row, unit: import("../../client/types.js").Row}} At */

/**
 * @param {At} at
 * @param {string} type
 * @param {Record<string, any>} body
 */
function kept({ job, unit }, type, body) {
  return keep({ type, stream: `unit:${unit.id}`, outline: unit.outline, body: { job: job.id, ...body } });
}

/** @param {At} at @param {string[]} cautions the keys of those that were read */
export const take = (at, cautions) => kept(at, "job_taken", { cautions });

/** @param {At} at @param {{minutes: number, film: number | null, clips: number | null}} done film in tenths of µm */
export const done = (at, { minutes, film, clips }) => kept(at, "work_done", { minutes, film, clips });

/** @param {At} at @param {string} reason */
export const handBack = (at, reason) => kept(at, "job_handed_back", { reason });

/** @param {At} at @param {string} department @param {string} reason */
export const reroute = (at, department, reason) => kept(at, "job_rerouted", { department, reason });

/** @param {At} at @param {string} department @param {string} method @param {string} reason */
export const insertStep = (at, department, method, reason) => kept(at, "step_inserted", { method, department, reason });

/** @param {At} at @param {string} what @param {number | null} until ms */
export const waitFor = (at, what, until) => kept(at, "waiting_for", { what, until });

/** @param {At} at */
export const hasCome = (at) => kept(at, "waiting_for", { what: "", until: null });

/** @param {At} at @param {string} marker @param {string} reason */
export const notFound = (at, marker, reason) => kept(at, "spot_not_found", { marker, reason });

/** @param {At} at @param {string} marker @param {string} reason */
export const noFlaw = (at, marker, reason) => kept(at, "no_flaw_proposed", { marker, reason });

/** @param {At} at @param {string} marker @param {Record<string, string | boolean>} seen by the name of its fact */
export const examine = ({ unit }, marker, seen) =>
  keep({ type: "spot_examined", stream: `unit:${unit.id}`, outline: unit.outline, body: { marker, ...seen } });

/** @param {At} at @param {string} method @param {string} [reason] why a barred one */
export const choose = (at, method, reason) => kept(at, "method_chosen", reason ? { method, reason } : { method });

/** @param {At} at @param {boolean} pinned */
export const pin = (at, pinned) => kept(at, "job_pinned", { pinned });

/** @param {At} at @param {string} marker @param {string} origin department */
export const judgeOrigin = ({ unit }, marker, origin) =>
  keep({ type: "origin_revised", stream: `unit:${unit.id}`, outline: unit.outline, body: { marker, origin } });
