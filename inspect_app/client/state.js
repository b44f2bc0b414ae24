/**
 * What a page shows: the server's rows with this tablet's own unanswered events laid on top, as the lifecycle table
 * says they will turn out. Pure; nothing handed in is changed.
 */

import { decide, knows } from "./lifecycle.js";
import { JOBS } from "./state_jobs.js";
import { MARKERS } from "./state_markers.js";
import { TIMERS } from "./state_timers.js";
import { WALKS } from "./state_walks.js";

/** @typedef {import("./types.js").KeptEvent} KeptEvent */
/** @typedef {import("./types.js").Row} Row */
/** @typedef {import("./types.js").Rows} Rows */
/** @typedef {{person: string, name?: string, roles?: string[], departments?: string[]}} Author */

/**
 * @typedef {object} Context
 * @property {import("./lifecycle.js").Table} table
 * @property {Author | null} me
 * @property {Record<string, Author>} [authors]  by ticket; whoever is not in it counts as `me`
 * @property {number} now  server time, ms
 * @property {(body: Record<string, any>, others: Row[]) => Record<string, any>} [place]  what follows from a marker's spot
 *   and kind: zone, part, class, joint, words, and where wanted severity and verdict, for which the other markers of the
 *   unit that stand are given; what the body says itself comes first
 * @property {(key: string) => any} [method]  of the catalogue
 */

/**
 * @typedef {Rows & {doubtful: Row[]}} State  tables as lists; rows laid on top have `pending: true`. `doubtful` names
 *   the events that will probably not be applied: {id, sentence, event}
 */

/** What a tablet cannot know counts in favour of the event: it is the server that says no. */
const HOPEFUL = {
  cautions_unseen: 0,
  cure_left: 0,
  looks_missing: 0,
  rings_undecided: 0,
  gates_open: 0,
  actor_worked: false,
  zone_absent: false,
  asked_by_me: false,
  agreed_by_me: false,
  manager_agrees: true,
  online: true,
};

/** @type {Record<string, (draft: Draft, step: Step) => void>} */
const HANDLERS = { ...WALKS, ...MARKERS, ...JOBS, ...TIMERS };
const TABLES = ["units", "walks", "looks", "markers", "jobs", "work", "questions", "photos", "concessions", "gates", "sheets", "timers", "clusters"];

/** The rows under the pencil: looked up by id, copied before they are written on. */
export class Draft {
  /**
   * @param {Rows} rows
   * @param {Context} context
   */
  constructor(rows, context) {
    this.context = context;
    /** @type {Map<string, Map<string, Row>>} */
    this.tables = new Map();
    for (const table of new Set([...TABLES, ...Object.keys(rows)])) {
      this.tables.set(table, new Map((rows[table] ?? []).map((row) => [row.id, row])));
    }
    /** @type {Row[]} */
    this.doubtful = [];
  }

  /**
   * @param {string} table
   * @param {string} id
   * @returns {Row | undefined}
   */
  get(table, id) {
    return this.tables.get(table)?.get(id);
  }

  /**
   * @param {string} table
   * @returns {Row[]}
   */
  all(table) {
    return [...(this.tables.get(table)?.values() ?? [])];
  }

  /**
   * Add a row, or change some of its columns, and mark it as waiting for the server.
   * @param {string} table
   * @param {string} id
   * @param {Record<string, any>} columns
   */
  put(table, id, columns) {
    this.tables.get(table)?.set(id, { ...this.get(table, id), ...columns, id, pending: true });
  }
}

/** One event on its way through the table. */
export class Step {
  /**
   * @param {Draft} draft
   * @param {KeptEvent} event
   */
  constructor(draft, event) {
    const { authors, me, now } = draft.context;
    this.draft = draft;
    this.event = event;
    this.body = event.body;
    this.unit = event.stream.replace(/^unit:/, "");
    this.at = event.at + event.offset;
    this.now = now;
    this.author = (event.ticket && authors?.[event.ticket]) || me;
  }

  /**
   * Hold the event against the table for one thing; on anything but "applied" it is noted as doubtful.
   * @param {string} entity
   * @param {string} state
   * @param {Record<string, any>} [facts]
   * @param {string} [name] the event with its branch
   * @returns {string | null} the state after, or null
   */
  to(entity, state, facts = {}, name = this.event.type) {
    const { roles = [], departments = [] } = this.author ?? {};
    const said = decide(this.draft.context.table, entity, name, state, { ...HOPEFUL, ...this.body, ...this.event.private, roles, departments, ...facts });
    if (said.outcome !== "applied") this.doubt(said.sentence);
    return said.outcome === "applied" ? said.to : null;
  }

  /** @param {string | null} sentence */
  doubt(sentence) {
    const { id } = this.event;
    if (this.draft.doubtful.some((row) => row.id === id)) return;
    this.draft.doubtful.push({ id, sentence, event: this.event });
  }
}

/**
 * Lay events on rows.
 *
 * @param {Rows} rows from the changes feed
 * @param {KeptEvent[]} events not answered yet, or answered after these rows were read; in the tablet's order
 * @param {Context} context
 * @returns {State}
 */
export function project(rows, events, context) {
  return new Projection(rows, context).lay(events, context);
}

/** Rows with events laid on them. What is laid stays laid: one event more costs what one event costs. */
export class Projection {
  /**
   * @param {Rows} rows
   * @param {Context} context
   */
  constructor(rows, context) {
    this.draft = new Draft(rows, context);
    /** @type {string[]} ids of the events that are laid */
    this.laid = [];
  }

  /** Do these events begin with those that are laid? @param {KeptEvent[]} events */
  goesOn(events) {
    return this.laid.every((id, i) => events[i]?.id === id);
  }

  /**
   * Lay what is not laid yet.
   * @param {KeptEvent[]} events all of them, see `goesOn`
   * @param {Context} context as of now; what was laid before is not judged anew
   * @returns {State}
   */
  lay(events, context) {
    this.draft.context = context;
    for (const event of events.slice(this.laid.length)) {
      lay(this.draft, event);
      this.laid.push(event.id);
    }
    /** @type {any} */
    const state = { doubtful: [...this.draft.doubtful] };
    for (const table of this.draft.tables.keys()) state[table] = this.draft.all(table);
    return state;
  }
}

/**
 * @param {Draft} draft
 * @param {KeptEvent} event
 */
function lay(draft, event) {
  const handler = HANDLERS[event.type];
  const step = new Step(draft, event);
  const unit = draft.get("units", step.unit);
  if (!handler) return;
  const held = unit && knows(draft.context.table, "unit", event.type) && step.to("unit", unit.state ?? "open") === null;
  if (!held) handler(draft, step);
}
