/**
 * Finding units by what was typed: asked from the server, or from what this tablet remembers of the open units while
 * the server is away.
 */

import { ApiError, ask } from "./api.js";
import { cachedRows } from "./feed.js";
import { whoAmI } from "./identity.js";
import { dueWords } from "./in_words.js";
import { nextStep, STAGES } from "./next_step.js";
import { syncStatus } from "./sync.js";

/**
 * @typedef {object} Hit
 * @property {string} id
 * @property {string} last_six
 * @property {string} chassis
 * @property {string} make
 * @property {string} model
 * @property {string} colour
 * @property {string} colour_hex
 * @property {string} stage_words
 * @property {string} due_words
 * @property {string} href
 * @property {string} next
 *
 * @typedef {{typed: string, units: Hit[], shared: string[], more: boolean, add: string | null, remembered: boolean}} Found
 */

export const LEAST = 2;
export const LONGEST = 17;
const MOST = 12;

/**
 * Capitals and digits only, as chassis numbers have them.
 * @param {string} text
 */
export function cleaned(text) {
  return text.toUpperCase().replace(/[^0-9A-Z]/g, "").slice(0, LONGEST);
}

/**
 * @param {string} typed
 * @returns {Promise<Found>}
 * @throws {ApiError} when the server refuses, or is away and this tablet remembers nothing
 */
export async function find(typed) {
  try {
    const { data } = await ask(`/units/find?last6=${encodeURIComponent(typed)}`, { timeout: syncStatus().phase === "away" ? 1500 : 6000 });
    return { ...data, remembered: false };
  } catch (fault) {
    if (!(fault instanceof ApiError) || !fault.passing) throw fault;
    const { units } = await cachedRows("");
    if (!units) throw fault;
    const me = await whoAmI();
    return remembered(typed, units.filter((unit) => unit.state !== "signed"), me?.roles ?? []);
  }
}

/**
 * The same search over remembered rows. Pure.
 * @param {string} typed
 * @param {any[]} units
 * @param {string[]} [roles]
 * @returns {Found}
 */
export function remembered(typed, units, roles = []) {
  const begins = units.filter((unit) => unit.last_six.startsWith(typed));
  const holds = units.filter((unit) => !unit.last_six.startsWith(typed) && unit.chassis.includes(typed));
  const hits = [...begins, ...holds].map((unit) => ({
    ...unit, stage_words: STAGES[unit.stage] ?? "", due_words: dueWords(unit.due, Date.now()), href: nextStep(unit, roles).href, next: nextStep(unit, roles).words,
  }));
  const sixes = hits.map((unit) => unit.last_six);
  const shared = [...new Set(sixes.filter((six, at) => sixes.indexOf(six) !== at))];
  return { typed, units: hits.slice(0, MOST), shared, more: hits.length > MOST, add: null, remembered: true };
}
