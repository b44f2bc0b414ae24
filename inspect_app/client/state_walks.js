/** How walks, looks, absent zones and photos look before the server has answered. */

/** @typedef {import("./state.js").Draft} Draft */
/** @typedef {import("./state.js").Step} Step */
/** @typedef {import("./types.js").Row} Row */

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function walkStarted(draft, step) {
  const { walk, purpose } = step.body;
  if (draft.get("walks", walk) || step.to("walk", "none") === null) return;
  draft.put("walks", walk, { unit: step.unit, purpose, state: "walking", person: step.author?.person, tablet: step.event.tablet, started_at: step.at, finished_at: null });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function walkFinished(draft, step) {
  const walk = draft.get("walks", step.body.walk);
  if (walk && step.to("walk", stateOf(walk)) !== null) draft.put("walks", walk.id, { state: "finished", finished_at: step.at });
}

/** @param {Row} walk */
function stateOf(walk) {
  return walk.state ?? (walk.finished_at ? "finished" : "walking");
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function zoneLooked(draft, step) {
  const { walk: id, zone, lap, found } = step.body;
  const walk = draft.get("walks", id);
  const absent = Boolean(draft.get("units", step.unit)?.absent?.[zone]);
  if (!walk || step.to("walk", stateOf(walk), { zone_absent: absent }) === null) return;
  if (looksAt(draft, step).some((look) => holds(look))) return;
  const { purpose } = walk;
  draft.put("looks", step.event.id, { unit: step.unit, zone, lap, walk: id, purpose, person: step.author?.person, at: step.at, found, voided: 0, undone: 0 });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function lookUndone(draft, step) {
  const walk = draft.get("walks", step.body.walk);
  if (!walk || step.to("walk", stateOf(walk)) === null) return;
  for (const look of looksAt(draft, step)) if (holds(look)) draft.put("looks", look.id, { undone: step.at });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function looksAt(draft, { body: { walk, zone, lap } }) {
  return draft.all("looks").filter((look) => look.walk === walk && look.zone === zone && look.lap === lap);
}

/** @param {Row} look  @returns {boolean} whether it still counts */
export function holds(look) {
  return !look.voided && !look.undone;
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function zonesAbsent(draft, step) {
  const unit = draft.get("units", step.unit);
  if (!unit) return;
  const absent = { ...unit.absent };
  for (const zone of step.body.zones) {
    if (step.body.why === "present") delete absent[zone];
    else absent[zone] = step.body.why;
  }
  draft.put("units", unit.id, { absent });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function photoAdded(draft, step) {
  const { photo, marker = null, job = null, role } = step.body;
  if (draft.get("photos", photo)) return;
  draft.put("photos", photo, { unit: step.unit, marker, job, role, state: "awaited", sha: null, marks: [], person: step.author?.person, at: step.at });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function photoMarked(draft, step) {
  if (draft.get("photos", step.body.photo)) draft.put("photos", step.body.photo, { marks: step.body.marks });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function photoRemoved(draft, step) {
  if (draft.get("photos", step.body.photo)) draft.put("photos", step.body.photo, { state: "removed" });
}

export const WALKS = {
  walk_started: walkStarted,
  walk_finished: walkFinished,
  zone_looked: zoneLooked,
  look_undone: lookUndone,
  zones_absent: zonesAbsent,
  photo_added: photoAdded,
  photo_marked: photoMarked,
  photo_removed: photoRemoved,
};
