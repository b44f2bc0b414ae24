/**
 * Rings of wax. A ring is drawn as a hand draws it: not quite round, its end running a little past its start.
 * Everything follows from a seed, so the same marker has the same ring on every screen and in the PDF.
 *
 * @typedef {"open"|"in_rework"|"reworked"|"cleared"|"accepted"|"conceded"|"no_flaw"|"withdrawn"} MarkerState
 * @typedef {{state: MarkerState, severity?: string, tag?: string, x: number, y: number, r: number,
 *   seed?: string|number, side?: "right"|"left"}} RingSpec
 */

import { svg } from "./elements.js";

const TURN = 2 * Math.PI;
const OVERLAP = 0.32; // radians the stroke runs past its start

/**
 * How the stroke of a state is broken: [number of strokes, share of the turn that is drawn].
 * @type {Partial<Record<MarkerState, [number, number]>>}
 */
const STROKES = { reworked: [4, 0.66], no_flaw: [14, 0.12], withdrawn: [14, 0.12] };

/**
 * A small generator of repeatable numbers from 0 to 1 (a Lehmer generator, multiplier 48271, modulus 2^31 - 1).
 * @param {string|number} seed
 * @returns {() => number}
 */
function numbers(seed) {
  let n = 7;
  for (const letter of String(seed)) n = (n * 31 + letter.charCodeAt(0)) % 2147483647;
  n ||= 1;
  const next = () => (n = (n * 48271) % 2147483647) / 2147483647;
  next();
  return next;
}

/** @param {number} value @returns {string} two decimals at most, no needless zeros */
const short = (value) => String(Math.round(value * 100) / 100);

/**
 * The hand: where the pencil is at an angle.
 * @param {string|number} seed
 * @param {number} r radius in drawing units
 * @returns {{start: number, at: (angle: number) => [number, number]}}
 */
function hand(seed, r) {
  const next = numbers(seed);
  const [start, lean, wave, bump] = [next() * 1.2 - 2.4, next() * TURN, next() * TURN, next() * TURN];
  const drift = 0.05 + next() * 0.07;
  /** @param {number} angle @returns {[number, number]} */
  const at = (angle) => {
    const turned = (angle - start) / TURN;
    const far = r * (0.97 + 0.045 * Math.cos(2 * angle + lean) + 0.02 * Math.cos(3 * angle + wave) + drift * (turned - 0.5) +
      0.012 * Math.cos(5 * angle + bump));
    return [far * Math.cos(angle), far * Math.sin(angle)];
  };
  return { start, at };
}

/**
 * One stroke of the hand as cubic curves.
 * @param {(angle: number) => [number, number]} at
 * @param {number} from radians
 * @param {number} to radians
 * @returns {string} path data
 */
function stroke(at, from, to) {
  const count = Math.max(1, Math.ceil((to - from) / (Math.PI / 4)));
  const step = (to - from) / count;
  const tiny = 1e-3;
  /** @param {number} angle @returns {[number, number]} */
  const slope = (angle) => {
    const [a, b] = [at(angle - tiny), at(angle + tiny)];
    return [((b[0] - a[0]) / (2 * tiny)) * (step / 3), ((b[1] - a[1]) / (2 * tiny)) * (step / 3)];
  };
  let path = `M${at(from).map(short).join(" ")}`;
  for (let i = 0; i < count; i++) {
    const [a, b] = [from + i * step, from + (i + 1) * step];
    const [p, q, u, v] = [at(a), at(b), slope(a), slope(b)];
    path += `C${[p[0] + u[0], p[1] + u[1], q[0] - v[0], q[1] - v[1], q[0], q[1]].map(short).join(" ")}`;
  }
  return path;
}

/** Path data by what it follows from: at a tap all rings in sight are drawn anew, most at the size they had. @type {Map<string, string>} */
const known = new Map();
const MOST_KNOWN = 2000;

/**
 * @param {string} key
 * @param {() => string} draw
 */
function once(key, draw) {
  const before = known.get(key);
  if (before !== undefined) return before;
  if (known.size >= MOST_KNOWN) known.clear();
  const drawn = draw();
  known.set(key, drawn);
  return drawn;
}

/**
 * The path of a wax ring around 0,0.
 * @param {string|number} seed the same seed gives the same ring
 * @param {number} r radius in drawing units
 * @param {MarkerState} [state] decides whether the stroke is whole, broken or dotted
 * @returns {string} path data
 */
export function ringPath(seed, r, state = "open") {
  return once(`${seed} ${r} ${STROKES[state] ? state : ""}`, () => drawnRing(seed, r, state));
}

/** @param {string|number} seed @param {number} r @param {MarkerState} state @returns {string} */
function drawnRing(seed, r, state) {
  const { start, at } = hand(seed, r);
  const broken = STROKES[state];
  if (!broken) return stroke(at, start, start + TURN + OVERLAP);
  const [count, share] = broken;
  return Array.from({ length: count }, (_, i) => start + (i * TURN) / count)
    .map((from) => stroke(at, from, from + (TURN / count) * share))
    .join("");
}

/**
 * The part of the ring where the hand pressed harder.
 * @param {string|number} seed
 * @param {number} r
 * @returns {string} path data
 */
export function pressPath(seed, r) {
  return once(`${seed} ${r} press`, () => {
    const { start, at } = hand(seed, r);
    return stroke(at, start + 0.9, start + 3.1);
  });
}

/**
 * What is added to the ring by its state.
 * @param {MarkerState} state
 * @param {number} r
 * @returns {SVGElement[]}
 */
function additions(state, r) {
  const box = 1.32 * r;
  if (state === "in_rework") return [svg("path", { class: "ring-bar", d: `M${short(-0.8 * r)} ${short(1.5 * r)}H${short(0.8 * r)}` })];
  if (state === "cleared") return [svg("path", { class: "ring-strike", d: `M${short(-1.15 * r)} ${short(0.95 * r)}L${short(1.15 * r)} ${short(-0.95 * r)}` })];
  if (state === "conceded") return [svg("path", { class: "ring-box", d: `M${short(-box)} ${short(-box)}H${short(box)}V${short(box)}H${short(-box)}Z` })];
  return [];
}

/**
 * A ring with its tag, as one group at its place.
 * @param {RingSpec} spec x, y, r in the units of the drawing; for a steady size on screen give r = 15 × units per pixel
 * @returns {SVGGElement} `g.ring[data-state][data-severity]`, styled by drawing.css
 */
export function ring({ state, severity = "S3", tag = "", x, y, r, seed = tag || `${x},${y}`, side = "right" }) {
  const group = /** @type {SVGGElement} */ (
    svg("g", { class: "ring", "data-state": state, "data-severity": severity, transform: `translate(${short(x)} ${short(y)})` }));
  const path = ringPath(seed, r, state);
  group.append(svg("circle", { class: "ring-hit", r: short(1.7 * r) }), svg("path", { class: "ring-halo", d: ringPath(seed, r) }));
  if (state === "open" || state === "in_rework") group.append(svg("path", { class: "ring-press", d: pressPath(seed, r) }));
  group.append(svg("path", { class: "ring-wax", d: path }), ...additions(state, r));
  if (tag) group.append(tagText(tag, r, side));
  return group;
}

/**
 * @param {string} tag
 * @param {number} r
 * @param {"right"|"left"} side
 * @returns {SVGElement}
 */
function tagText(tag, r, side) {
  const away = side === "left" ? -1 : 1;
  const text = svg("text", { class: "ring-tag", x: short(away * 1.25 * r), y: short(-0.72 * r), "font-size": short(1.15 * r),
    "text-anchor": side === "left" ? "end" : "start" });
  text.textContent = tag;
  return text;
}

/**
 * The hatches of zones not looked at (`#hatch`) and to be looked at again (`#hatch-again`), for a drawing's `<defs>`;
 * `scaleHatch` gives them their size.
 * @returns {SVGElement}
 */
export function hatchDefs() {
  return svg("defs", {}, hatch("hatch", "M0 0V9"), hatch("hatch-again", "M0 0V9M0 4.5H9"));
}

/**
 * Keep the hatch at one size on the screen when the drawing is zoomed.
 * @param {Element} drawing
 * @param {number} unit drawing units per pixel
 */
export function scaleHatch(drawing, unit) {
  const lies = `rotate(45) scale(${short(unit)})`;
  for (const pattern of drawing.querySelectorAll("pattern")) {
    if (pattern.getAttribute("patternTransform") !== lies) pattern.setAttribute("patternTransform", lies); // has all that is hatched painted anew
  }
}

/** @param {string} id @param {string} d @returns {SVGElement} */
function hatch(id, d) {
  return svg("pattern", { id, width: 9, height: 9, patternUnits: "userSpaceOnUse" }, svg("path", { class: "hatch-line", d }));
}
