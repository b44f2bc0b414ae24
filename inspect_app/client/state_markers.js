/** How markers and concessions look before the server has answered. */

/** @typedef {import("./state.js").Draft} Draft */
/** @typedef {import("./state.js").Step} Step */
/** @typedef {import("./types.js").Row} Row */

const SPOT = ["kind", "view", "x", "y", "x2", "y2", "spread", "zone", "size", "count", "gap", "raking", "severity", "caused_by"];
const AMENDABLE = [...SPOT.filter((name) => name !== "view" && name !== "zone" && name !== "caused_by"), "method", "department"];

const STANDS_NO_LONGER = ["withdrawn", "no_flaw", "cleared"];

/**
 * What else stands on the unit: a limit of so many on a part counts it too. A second pair of eyes has its own only.
 * @param {Draft} draft
 * @param {Step} step
 * @param {string | null | undefined} walk the walk of the marker that is judged
 * @returns {Row[]}
 */
function others(draft, step, walk) {
  const own = walk && draft.get("walks", walk)?.purpose === "second";
  return draft.all("markers").filter((row) => row.id !== step.body.marker && row.unit === step.unit && !STANDS_NO_LONGER.includes(row.state) && (!own || row.walk === walk));
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function made(draft, step) {
  const { marker, tag, walk } = step.body;
  if (draft.get("markers", marker)) return;
  const state = step.to("marker", "none");
  if (state === null) return;
  const empty = Object.fromEntries(SPOT.map((name) => [name, null]));
  const said = Object.fromEntries(Object.entries(step.body).filter(([name, value]) => SPOT.includes(name) && value !== null));
  const note = step.event.private?.note ?? null;
  const own = { unit: step.unit, tag, walk, state, note, attempt: 0, returns: 0, made_by: step.author?.person, made_at: step.at };
  draft.put("markers", marker, { ...empty, count: 1, ...own, ...draft.context.place?.(step.body, others(draft, step, walk)), ...said });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function amended(draft, step) {
  const change = Object.fromEntries(Object.entries(step.body).filter(([name]) => AMENDABLE.includes(name)));
  if (step.event.private && "note" in step.event.private) change.note = step.event.private.note;
  moveTo(draft, step, (marker) => {
    const moved = "x" in change || "y" in change;
    // Another kind has other sizes; the server lets go of the old one too.
    const dropped = "kind" in change && change.kind !== marker.kind ? { size: null, gap: null, method: null } : {};
    const after = { ...marker, ...dropped, ...change };
    return { ...dropped, ...change, ...draft.context.place?.(moved ? { ...after, zone: null } : after, others(draft, step, marker.walk)) };
  });
}

/**
 * The usual way: the table says where the marker goes, and some columns go with it.
 * @param {Draft} draft
 * @param {Step} step
 * @param {(marker: Row) => Record<string, any>} [columns]
 * @param {string} [name]
 */
function moveTo(draft, step, columns = () => ({}), name = step.event.type) {
  const marker = draft.get("markers", step.body.marker);
  if (!marker) return;
  const state = step.to("marker", marker.state, factsOf(draft, step, marker), name);
  if (state !== null) draft.put("markers", marker.id, { ...columns(marker), state });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 * @param {Row} marker
 * @returns {Record<string, any>}
 */
export function factsOf(draft, step, marker) {
  const person = step.author?.person;
  return {
    severity: marker.severity ?? "S4", // not judged yet: the server may still say no
    verdict: marker.verdict ?? null,
    actor_worked: draft.all("work").some((work) => work.marker === marker.id && work.person === person),
    cure_left: Math.max(0, (marker.cure_until ?? 0) - step.now),
  };
}

/**
 * Put right on the spot by the inspector: counts as work, so someone else has to clear it.
 * @param {Draft} draft
 * @param {Step} step
 */
function putRight(draft, step) {
  moveTo(draft, step);
  const { marker } = step.body;
  if (draft.get("markers", marker)?.state !== "reworked") return;
  draft.put("work", `${step.event.id}:${marker}`, { unit: step.unit, job: null, marker, person: step.author?.person, at: step.at });
}

/**
 * @param {Draft} draft
 * @param {Step} step
 */
function concessionAsked(draft, step) {
  const { concession, marker } = step.body;
  const found = draft.get("markers", marker);
  if (draft.get("concessions", concession) || !found) return;
  if (step.to("marker", found.state, factsOf(draft, step, found)) === null) return;
  const { reason = null, customer = null } = step.event.private ?? {};
  draft.put("concessions", concession, { unit: step.unit, marker, state: "asked", asked_by: step.author?.person, approvers: [], reason, customer });
}

/** @type {Record<string, (draft: Draft, step: Step) => void>} */
export const MARKERS = {
  marker_made: made,
  marker_amended: amended,
  marker_withdrawn: moveTo,
  marker_accepted: moveTo,
  marker_joined: moveTo,
  marker_cleared: moveTo,
  marker_sent_back: (draft, step) => moveTo(draft, step, (marker) => ({ returns: (marker.returns ?? 0) + 1 })),
  put_right_here: putRight,
  no_flaw_proposed: (draft, step) => moveTo(draft, step),
  no_flaw_decided: (draft, step) => moveTo(draft, step, undefined, `no_flaw_decided.${step.body.agreed ? "agreed" : "declined"}`),
  origin_revised: (draft, step) => moveTo(draft, step, () => ({ origin: step.body.origin, origin_basis: "judged" })),
  spot_examined: (draft, step) => moveTo(draft, step, (marker) => {
    const seen = Object.fromEntries(Object.entries(step.body).filter(([name]) => name !== "marker"));
    return { examined: JSON.stringify({ ...JSON.parse(marker.examined ?? "{}"), ...seen }) };
  }),
  concession_asked: concessionAsked,
};
