/** How safety timers look before the server has answered. */

/** @typedef {import("./state.js").Draft} Draft */
/** @typedef {import("./state.js").Step} Step */

const MINUTE = 60_000;

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function started(draft, step) {
  const { timer, caution, place, minutes, job = null } = step.body;
  if (draft.get("timers", timer) || step.to("timer", "none") === null) return;
  const unit = draft.get("units", step.unit);
  draft.put("timers", timer, { unit: step.unit, last_six: unit?.last_six ?? "", caution, place, minutes, job, state: "running",
    started_by: step.author?.person, started_at: step.at, until: step.at + minutes * MINUTE, ended_by: null, ended_at: null, reason: null });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function ended(draft, step) {
  const timer = draft.get("timers", step.body.timer);
  if (!timer || timer.state === "ended") return;
  const name = step.body.reason ? "timer_ended.early" : "timer_ended";
  const state = step.to("timer", timer.state, { timer_left: Math.max(0, timer.until - step.at) }, name);
  if (state) draft.put("timers", timer.id, { state, ended_by: step.author?.person, ended_at: step.at, reason: step.body.reason ?? null });
}

export const TIMERS = { timer_started: started, timer_ended: ended };
