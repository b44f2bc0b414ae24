/**
 * Catalogue, lifecycle table and outlines: asked for once and kept in the tablet's store, for the day the server is away.
 */

import { ask } from "./api.js";
import { settings } from "./settings.js";
import { spoken } from "./spoken.js";
import { readMeta, writeMeta } from "./store.js";

export const LIFECYCLE = "/lifecycle.json";
export const JUDGEMENT = "/judgement.json";
export const CATALOGUE = "/catalogues/current.json";
const AT_ONCE = 400; // ms: this page came from the tablet itself, since the server did not answer

/**
 * How long whatever is kept waits for the server to say something newer.
 * @returns {number} ms
 */
export function patience() {
  return document.documentElement.hasAttribute("data-shell") ? AT_ONCE : settings.patience;
}

/**
 * A version that may be replaced by a newer one: the server's word, or the kept one when it does not answer in time.
 * @param {string} path
 * @returns {Promise<any>}
 * @throws {import("./api.js").ApiError} when there is neither
 */
export async function current(path) {
  const kept = await readMeta(`version ${path}`);
  try {
    const { status, data, etag } = await ask(path, kept ? { timeout: patience(), etag: kept.etag } : {});
    if (status === 304) return spoken(kept.data);
    await writeMeta(`version ${path}`, { data, etag }).catch(() => undefined); // a full store must not keep the page shut
    return spoken(data);
  } catch (fault) {
    if (kept) return spoken(kept.data);
    throw fault;
  }
}

/**
 * A version as it is kept, without asking.
 * @param {string} path
 * @returns {Promise<any>} null when it is not
 */
export async function keptVersion(path) {
  return spoken((await readMeta(`version ${path}`))?.data ?? null);
}

/** @type {Map<string, Promise<import("./outline.js").OutlineJson>>} */
const outlines = new Map();

/**
 * An outline by its hash; it never changes, so the kept one is as good as the server's.
 * @param {string} hash
 * @returns {Promise<import("./outline.js").OutlineJson>}
 */
export function outlineOf(hash) {
  const path = `/outlines/${hash}.json`;
  const reading = outlines.get(hash) ?? keptVersion(path).then((kept) => kept ?? current(path));
  outlines.set(hash, reading);
  reading.catch(() => outlines.delete(hash));
  return reading;
}
