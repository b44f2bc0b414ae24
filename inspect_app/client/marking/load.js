/** What the walk needs before it can draw: the lifecycle table, the catalogue, the unit's rows and its outline. */

import { ApiError } from "../api.js";
import { cachedRows, pull } from "../feed.js";
import { _ } from "../gettext.js";
import { refresh, whoAmI } from "../identity.js";
import { madeWith } from "../outbox.js";
import { CATALOGUE, LIFECYCLE, current, outlineOf, patience } from "../versions.js";

/**
 * @typedef {object} Loaded
 * @property {import("../lifecycle.js").Table} table
 * @property {any} catalogue
 * @property {import("../outline.js").OutlineJson} outline
 */

/** Something without which there is nothing to draw; the sentence says what to do. */
export class Unreadable extends Error {
  /** @param {string} message @param {boolean} [signin] signing in would help */
  constructor(message, signin = false) {
    super(message);
    this.signin = signin;
  }
}

/**
 * @template T
 * @param {Promise<T>} reading
 * @returns {Promise<T>}
 */
async function orSay(reading) {
  try {
    return await reading;
  } catch (fault) {
    if (!(fault instanceof ApiError)) throw fault;
    if (fault.status === 401) throw new Unreadable(_("Nobody is signed in on this tablet. Sign in to open the unit; nothing kept is lost."), true);
    throw new Unreadable(_("The server is out of reach and this tablet does not keep the unit yet. Try again in its reach; nothing kept is lost."));
  }
}

/**
 * @param {string} unit
 * @returns {Promise<Loaded>}
 * @throws {Unreadable}
 */
export async function load(unit) {
  const [table, catalogue] = await Promise.all([orSay(current(LIFECYCLE)), orSay(current(CATALOGUE)), fresh(unit), known()]);
  const row = await rowOf(unit);
  if (!row) throw new Unreadable(_("This tablet does not have the unit yet, and the server does not answer. Try again in its reach."));
  const outline = await orSay(outlineOf(row.outline));
  madeWith({ catalogue: catalogue.hash, outline: row.outline });
  return { table, catalogue, outline };
}

/** @param {string} unit */
async function rowOf(unit) {
  return (await cachedRows(unit)).units?.find((one) => one.id === unit);
}

/**
 * Fresh rows first, so that a walk another tablet has begun is joined and not doubled. Kept ones do when the server is
 * silent: what it says later comes with the feed.
 * @param {string} unit
 */
async function fresh(unit) {
  const pulling = pull(unit).catch(() => undefined);
  if (!(await rowOf(unit))) return pulling;
  const enough = new Promise((resolve) => {
    setTimeout(resolve, patience());
  });
  return Promise.race([pulling, enough]);
}

/** Without knowing who is at the tablet nothing can be signed with a ticket. */
async function known() {
  if (!(await whoAmI())) await refresh().catch(() => undefined);
}
