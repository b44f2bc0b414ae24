/**
 * Catalogue, lifecycle table and outlines: asked for once and kept on the tablet, for the day the server is away.
 */

import { ask } from "../../client/api.js";
import { readMeta, writeMeta } from "../../client/store.js";

const PATIENCE = 4000; // ms, when a kept one is at hand

/**
 * A version that may be replaced by a newer one: the server's word, or the kept one when it does not answer.
 * @param {string} path
 * @returns {Promise<any>}
 * @throws {import("../../client/api.js").ApiError} when there is neither
 */
export async function current(path) {
  const kept = await readMeta(`version ${path}`);
  try {
    const { data } = await ask(path, kept ? { timeout: PATIENCE } : {});
    if (JSON.stringify(data) !== JSON.stringify(kept)) await writeMeta(`version ${path}`, data);
    return data;
  } catch (fault) {
    if (kept) return kept;
    throw fault;
  }
}

/** @type {Map<string, Promise<import("../../client/outline.js").OutlineJson>>} */
const outlines = new Map();

/**
 * An outline by its hash; it never changes, so the kept one is as good as the server's.
 * @param {string} hash
 * @returns {Promise<import("../../client/outline.js").OutlineJson>}
 */
export function outlineOf(hash) {
  const path = `/outlines/${hash}.json`;
  const reading = outlines.get(hash) ?? readMeta(`version ${path}`).then((kept) => kept ?? current(path));
  outlines.set(hash, reading);
  reading.catch(() => outlines.delete(hash));
  return reading;
}
