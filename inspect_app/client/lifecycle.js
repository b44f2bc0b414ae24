/**
 * Interprets the lifecycle table (trade/lifecycle.toml, served as JSON) just as trade/lifecycle.py does; the vectors in
 * tests/vectors/lifecycle.json run through both. The server decides; this only tells early what it will say.
 *
 * @typedef {object} Guard
 * @property {string} fact
 * @property {string} op
 * @property {any} value  "@name" stands for another fact
 * @property {string} sentence
 *
 * @typedef {object} TableRow
 * @property {string} entity
 * @property {string} event
 * @property {string[]} from  ["*"] any state
 * @property {string} to  "=" stays
 * @property {string[]} roles  [] anyone
 * @property {string[]} guards
 * @property {string} late  "flag" or "refuse"
 * @property {string} late_sentence
 *
 * @typedef {{guards: Record<string, Guard>, rows: TableRow[]}} Table
 *
 * @typedef {object} Decision
 * @property {"applied" | "flagged" | "refused"} outcome
 * @property {string | null} to  the state after; null when nothing changes
 * @property {string | null} sentence
 * @property {string | null} guard  what failed: a guard's name, "unknown", "roles" or "state"
 */

import { _, N_, oneOf } from "./gettext.js";

/** @type {Record<string, (fact: any, value: any) => boolean>} */
const OPERATORS = {
  is: (fact, value) => fact === value,
  is_not: (fact, value) => fact !== value,
  in: (fact, value) => (value ?? []).includes(fact),
  not_in: (fact, value) => !(value ?? []).includes(fact),
  given: (fact) => fact !== null && String(fact).trim() !== "",
  at_least: (fact, value) => fact !== null && fact >= value,
  at_most: (fact, value) => fact !== null && fact <= value,
  has: (fact, value) => (fact ?? []).includes(value),
};

/**
 * Hold one event against the table: roles, then state, then guards in their order.
 * @param {Table} table
 * @param {string} entity "marker", "job", …
 * @param {string} event with its branch where the table has one, e.g. "work_done.last"
 * @param {string} state "none" when the thing is not there yet
 * @param {Record<string, any>} facts a missing fact counts as null
 * @returns {Decision}
 */
export function decide(table, entity, event, state, facts) {
  const rows = table.rows.filter((row) => row.entity === entity && row.event === event);
  if (rows.length === 0) return refused("unknown", _("'%(event)s' is not something a %(entity)s knows.", { event, entity }));
  /** @type {string[]} */
  const held = facts.roles ?? [];
  const allowed = rows.filter((row) => row.roles.length === 0 || row.roles.some((role) => held.includes(role)));
  const [first] = allowed;
  if (!first) return refused("roles", _("This needs the role %(roles)s.", { roles: rolesOf(rows) }));
  const fitting = allowed.find((row) => row.from.includes("*") || row.from.includes(state));
  if (!fitting) {
    return { outcome: first.late === "flag" ? "flagged" : "refused", to: null, sentence: first.late_sentence, guard: "state" };
  }
  return guarded(table, fitting, state, facts);
}

/**
 * Tell whether the table has a row for this event of this entity.
 * @param {Table} table
 * @param {string} entity
 * @param {string} event
 */
export function knows(table, entity, event) {
  return table.rows.some((row) => row.entity === entity && row.event === event);
}

/**
 * @param {Table} table
 * @param {TableRow} row
 * @param {string} state
 * @param {Record<string, any>} facts
 * @returns {Decision}
 */
function guarded(table, row, state, facts) {
  for (const name of row.guards) {
    const guard = table.guards[name];
    if (!guard) return refused(name, _("The lifecycle table names a guard '%(name)s' that it lacks.", { name }));
    if (!holds(guard, facts)) return refused(name, guard.sentence);
  }
  return { outcome: "applied", to: row.to === "=" ? state : row.to, sentence: null, guard: null };
}

/**
 * @param {Guard} guard
 * @param {Record<string, any>} facts
 */
function holds({ fact, op, value }, facts) {
  const wanted = typeof value === "string" && value.startsWith("@") ? facts[value.slice(1)] : value;
  return OPERATORS[op]?.(facts[fact] ?? null, wanted ?? null) ?? false;
}

/** @type {Record<string, string>} */
const ROLES = { inspector: N_("inspector"), manager: N_("manager"), technician: N_("technician") };

/** @param {TableRow[]} rows */
function rolesOf(rows) {
  return oneOf([...new Set(rows.flatMap((row) => row.roles))].sort().map((role) => _(ROLES[role] ?? role)));
}

/**
 * @param {string} guard
 * @param {string} sentence
 * @returns {Decision}
 */
function refused(guard, sentence) {
  return { outcome: "refused", to: null, sentence, guard };
}
