/**
 * Flattened rings of points in mm and the few questions asked of them; the same rules as trade/outline_ring.py, so that
 * the tablet and the server name the same zone and the same distance.
 *
 * @typedef {[number, number]} Point
 * @typedef {Point[]} Ring  closed, without its repeated last point
 */

/**
 * Where the level line at `y` crosses the ring, sorted.
 * @param {Ring} ring
 * @param {number} y
 */
export function across(ring, y) {
  return crossings(ring, y, 0, 1);
}

/**
 * Where the plumb line at `x` crosses the ring, sorted.
 * @param {Ring} ring
 * @param {number} x
 */
export function down(ring, x) {
  return crossings(ring, x, 1, 0);
}

/**
 * @param {Ring} ring
 * @param {number} at
 * @param {0 | 1} along the coordinate that is asked for
 * @param {0 | 1} over the coordinate that is held at `at`
 */
function crossings(ring, at, along, over) {
  const found = [];
  for (const [a, b] of edges(ring)) {
    // Half-open: an edge owns its lower end only, so no corner is counted twice.
    if (a[over] <= at === b[over] <= at) continue;
    const [low, high] = a[over] < b[over] ? [a, b] : [b, a];
    found.push(low[along] + ((at - low[over]) * (high[along] - low[along])) / (high[over] - low[over]));
  }
  return found.sort((p, q) => p - q);
}

/**
 * @param {Ring} ring
 * @returns {[Point, Point][]}
 */
function edges(ring) {
  return ring.map((point, i) => [point, /** @type {Point} */ (ring[(i + 1) % ring.length])]);
}

/**
 * Whether the ring holds the point; of two rings that share an edge exactly one holds a point on it.
 * @param {Ring} ring
 * @param {number} x mm
 * @param {number} y mm
 */
export function holds(ring, x, y) {
  return across(ring, y).filter((crossing) => crossing <= x).length % 2 === 1;
}

/**
 * Distance to the ring's edge in mm, from inside or outside.
 * @param {Ring} ring
 * @param {number} x
 * @param {number} y
 */
export function distanceToRing(ring, x, y) {
  return Math.min(...edges(ring).map(([a, b]) => distanceToEdge(a, b, x, y)));
}

/**
 * Distance to an open line in mm.
 * @param {Point[]} line
 * @param {number} x
 * @param {number} y
 */
export function distanceToLine(line, x, y) {
  return Math.min(...line.slice(1).map((point, i) => distanceToEdge(/** @type {Point} */ (line[i]), point, x, y)));
}

/**
 * @param {Point} a
 * @param {Point} b
 * @param {number} x
 * @param {number} y
 */
function distanceToEdge(a, b, x, y) {
  const [px, py] = footOn(a, b, x, y);
  return Math.hypot(x - px, y - py);
}

/**
 * The point of a straight edge nearest to x, y.
 * @param {Point} a
 * @param {Point} b
 * @param {number} x
 * @param {number} y
 * @returns {Point}
 */
function footOn([ax, ay], [bx, by], x, y) {
  const [dx, dy] = [bx - ax, by - ay];
  const reach = dx * dx + dy * dy;
  const t = reach === 0 ? 0 : Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / reach));
  return [ax + t * dx, ay + t * dy];
}

/**
 * The point of an open line nearest to x, y.
 * @param {Point[]} line
 * @param {number} x
 * @param {number} y
 * @returns {Point}
 */
export function nearestOnLine(line, x, y) {
  const feet = line.slice(1).map((point, i) => footOn(/** @type {Point} */ (line[i]), point, x, y));
  return feet.reduce((best, foot) => (Math.hypot(x - foot[0], y - foot[1]) < Math.hypot(x - best[0], y - best[1]) ? foot : best));
}

/**
 * The box around points, in mm.
 * @param {Point[]} points
 * @returns {{left: number, right: number, top: number, bottom: number}}
 */
export function boxOf(points) {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}
