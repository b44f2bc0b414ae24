/** Rows of the tables, arranged. Pure. */

/** @typedef {import("./types.js").Row} Row */

/** @param {Row[]} rows */
export function byId(rows) {
  return new Map(rows.map((row) => [row.id, row]));
}

/**
 * @template T
 * @param {T[]} rows
 * @param {(row: T) => string} key
 * @returns {Map<string, T[]>}
 */
export function groupBy(rows, key) {
  /** @type {Map<string, T[]>} */
  const found = new Map();
  for (const row of rows) {
    const rest = found.get(key(row));
    if (rest) rest.push(row);
    else found.set(key(row), [row]);
  }
  return found;
}
