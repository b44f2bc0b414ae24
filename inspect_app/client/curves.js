/**
 * Path data of an outline turned into polylines, by the very same sums as trade/outline_path.py: the points agree to the
 * last digit, so that tablet and server name the same zone and the same distance (tests/client/test_curves.py).
 *
 * Read are M L H V C Z, absolute or relative; other curves arrive as cubics (trade/outline_short.py).
 *
 * @typedef {import("./rings.js").Point} Point
 */

const FLAT = 2; // mm between a curve and its polyline, as in trade/outline_model.py
const GRID = 100; // to the mm
/** @type {Record<string, number>} how many numbers a command takes at a time */
const COUNTS = { M: 2, L: 2, H: 1, V: 1, C: 6, Z: 0 };

/**
 * One polyline in mm for each subpath, no further than 2 mm from the curve; closed ones repeat their start.
 * @param {string} d
 * @returns {Point[][]}
 */
export function polylines(d) {
  /** @type {Point[][]} */
  const lines = [];
  // Whole hundredths of a mm, so that relative steps add up to exactly the places they were made from.
  let [x, y, startX, startY] = [0, 0, 0, 0];
  for (const { letter, numbers } of steps(d)) {
    const kind = letter.toUpperCase();
    const [dx, dy] = letter === kind ? [0, 0] : [x, y];
    const points = numbers.map((n, i) => Math.round(n * GRID) + (kind === "V" || i % 2 ? dy : dx));
    const start = place(x, y);
    if (kind === "Z") [x, y] = [startX, startY];
    else if (kind === "H") [x] = /** @type {[number]} */ (points);
    else if (kind === "V") [y] = /** @type {[number]} */ (points);
    else [x, y] = /** @type {Point} */ (points.slice(-2));
    if (kind === "M") [startX, startY] = [x, y];
    if (kind === "M") lines.push([place(x, y)]);
    else if (kind === "C") lines.at(-1)?.push(...along(start, points.map((n) => n / GRID)));
    else lines.at(-1)?.push(place(x, y));
  }
  return lines.map((line) => line.filter((point, i) => i === 0 || !same(point, /** @type {Point} */ (line[i - 1]))));
}

/**
 * @param {string} d
 * @returns {{letter: string, numbers: number[]}[]} repeats written out; further pairs after a move are lines
 */
function steps(d) {
  /** @type {{letter: string, numbers: number[]}[]} */
  const found = [];
  for (const [, letter = "", rest = ""] of d.matchAll(/([a-z])([^a-z]*)/gi)) {
    const numbers = (rest.match(/-?(?:\d+\.?\d*|\.\d+)/g) ?? []).map(Number);
    const count = COUNTS[letter.toUpperCase()] ?? 0;
    found.push({ letter, numbers: numbers.slice(0, count) });
    for (let i = count; i < numbers.length; i += count) {
      found.push({ letter: letter === "M" ? "L" : letter === "m" ? "l" : letter, numbers: numbers.slice(i, i + count) });
    }
  }
  return found;
}

/**
 * The points of a cubic after its start.
 * @param {Point} start mm
 * @param {number[]} curve two handles and the end, mm
 * @returns {Point[]}
 */
function along([ax, ay], curve) {
  const [bx, by, cx, cy, dx, dy] = /** @type {[number, number, number, number, number, number]} */ (curve);
  // The chord error of a piece of length h in t is at most h² / 8 times the greatest second derivative.
  const bend = 6 * Math.max(length(ax - 2 * bx + cx, ay - 2 * by + cy), length(bx - 2 * cx + dx, by - 2 * cy + dy));
  const pieces = Math.max(1, Math.ceil(Math.sqrt(bend / (8 * FLAT)) - 1e-9));
  /** @type {Point[]} */
  const points = [];
  for (let i = 1; i < pieces; i += 1) {
    const t = i / pieces;
    const u = 1 - t;
    const [a, b, c, d] = /** @type {const} */ ([u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t]);
    points.push(place(Math.floor((a * ax + b * bx + c * cx + d * dx) * GRID + 0.5), Math.floor((a * ay + b * by + c * cy + d * dy) * GRID + 0.5)));
  }
  return [...points, [dx, dy]];
}

/**
 * @param {number} x
 * @param {number} y
 */
function length(x, y) {
  return Math.sqrt(x * x + y * y); // Math.hypot may differ from the server's in its last digit
}

/**
 * @param {number} x hundredths of a mm
 * @param {number} y
 * @returns {Point} mm
 */
function place(x, y) {
  return [x / GRID, y / GRID];
}

/**
 * @param {Point} a
 * @param {Point} b
 */
function same(a, b) {
  return a[0] === b[0] && a[1] === b[1];
}
