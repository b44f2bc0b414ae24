/** What the walk needs before it can draw: the lifecycle table, the catalogue, the unit's rows and its outline. */

import { cachedRows, pull } from "../feed.js";
import { refresh, whoAmI } from "../identity.js";
import { madeWith } from "../outbox.js";

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
 * Versions are named by their content, so the browser's own cache may answer.
 * @param {string} path
 */
async function version(path) {
  const response = await fetch(path, { headers: { Accept: "application/json" } }).catch(() => null);
  if (response?.status === 401) throw new Unreadable("Nobody is signed in on this tablet. Sign in to open the unit; nothing kept is lost.", true);
  if (!response?.ok) throw new Unreadable("The server is out of reach and this tablet has not opened the walk before. Try again in its reach; nothing kept is lost.");
  return response.json();
}

/**
 * @param {string} unit
 * @returns {Promise<Loaded>}
 * @throws {Unreadable}
 */
export async function load(unit) {
  // Fresh rows first, so that a walk another tablet has begun is joined and not doubled; the cache when we are alone.
  const [table, catalogue] = await Promise.all([version("/lifecycle.json"), version("/catalogues/current.json"), pull(unit).catch(() => undefined), known()]);
  const row = (await cachedRows(unit)).units?.find((one) => one.id === unit);
  if (!row) throw new Unreadable("This tablet does not have the unit yet, and the server does not answer. Try again in its reach.");
  const outline = await version(`/outlines/${row.outline}.json`);
  madeWith({ catalogue: catalogue.hash, outline: row.outline });
  return { table, catalogue, outline };
}

/** Without knowing who is at the tablet nothing can be signed with a ticket. */
async function known() {
  if (!(await whoAmI())) await refresh().catch(() => undefined);
}
