/** How long to wait before the next try. Full jitter: fifty tablets must not come back in step. */

/**
 * @param {number} failures in a row, 1 or more
 * @param {{base: number, cap: number}} limits ms
 * @param {() => number} [random] in [0, 1)
 * @returns {number} ms
 */
export function pause(failures, { base, cap }, random = Math.random) {
  const ceiling = Math.min(cap, base * 2 ** Math.min(failures - 1, 30));
  return Math.round(base / 8 + random() * ceiling);
}

/**
 * An interval with a little jitter, for polling.
 * @param {number} every ms
 * @param {() => number} [random]
 * @returns {number} ms
 */
export function about(every, random = Math.random) {
  return Math.round(every * (0.9 + 0.4 * random()));
}
