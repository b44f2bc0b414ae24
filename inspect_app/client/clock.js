/**
 * How far the server's clock is ahead of this device's, estimated from the `now` in its answers and kept.
 *
 * The answer was made some time between asking and hearing, so the middle of the two is the best guess and half the
 * round trip its uncertainty (the same reasoning as in RFC 5905).
 */

import { readMeta, writeMeta } from "./store.js";

/**
 * @typedef {object} Estimate
 * @property {number} offset  server less device, whole ms
 * @property {number} trip  round trip of the sample, ms
 * @property {number} takenAt  device time
 */

const STALE_AFTER = 10 * 60 * 1000;

/**
 * Choose between the kept estimate and a new sample. Pure.
 *
 * A shorter round trip is better; an old estimate gives way; and one that the new sample contradicts is thrown out,
 * because someone has set the device's clock.
 *
 * @param {Estimate | null | undefined} kept
 * @param {{saidNow: number, askedAt: number, heardAt: number}} sample
 * @returns {Estimate}
 */
export function better(kept, { saidNow, askedAt, heardAt }) {
  const trip = Math.max(0, heardAt - askedAt);
  const fresh = { offset: Math.round(saidNow - (askedAt + heardAt) / 2), trip, takenAt: heardAt };
  if (!kept || Math.abs(heardAt - kept.takenAt) > STALE_AFTER || trip <= kept.trip) return fresh;
  const contradicted = Math.abs(fresh.offset - kept.offset) > (trip + kept.trip) / 2 + 50;
  return contradicted ? fresh : kept;
}

/**
 * Learn from one answer.
 * @param {number} saidNow the answer's `now`
 * @param {number} askedAt device time when the request left
 * @param {number} heardAt device time when the answer came
 * @returns {Promise<void>}
 */
export async function observe(saidNow, askedAt, heardAt) {
  if (!Number.isFinite(saidNow) || heardAt < askedAt) return;
  const kept = await readMeta("clock");
  const next = better(kept, { saidNow, askedAt, heardAt });
  if (next !== kept) await writeMeta("clock", next);
}

/**
 * Server time as well as we know it, in ms.
 * @returns {Promise<number>}
 */
export async function serverNow() {
  return Date.now() + ((await readMeta("clock"))?.offset ?? 0);
}
