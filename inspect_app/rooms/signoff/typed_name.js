/**
 * A typed name as strokes, for whoever cannot draw or has no pointer: the outlines of its letters, in any script the tablet
 * has a font for. The contours of the painted text are followed edge by edge.
 */

/** @typedef {import("./pad.js").Stroke} Stroke */
/** @typedef {import("./pad.js").Point} Point */

const [WIDE, HIGH] = [540, 180]; // px of the hidden picture, in the shape of the pad
const INK = 110; // how dark a pixel has to be, 0 to 255
const MOST = 380; // strokes; the server takes 400

/**
 * @param {string} name
 * @returns {Stroke[]} empty for an empty name
 */
export function strokesOf(name) {
  const text = name.trim();
  if (text === "") return [];
  const dark = painted(text);
  return dark ? follow(dark).map(thinned).filter((line) => line.length > 2).slice(0, MOST) : [];
}

/** @param {string} text @returns {((x: number, y: number) => boolean) | null} whether there is ink on a pixel */
function painted(text) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [WIDE, HIGH];
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (!pen) return null;
  pen.font = "italic 64px Georgia, 'Times New Roman', serif";
  const fit = Math.min(1, (WIDE - 40) / Math.max(1, pen.measureText(text).width));
  pen.font = `italic ${Math.max(14, Math.floor(64 * fit))}px Georgia, 'Times New Roman', serif`;
  pen.textBaseline = "alphabetic";
  pen.fillText(text, 20, HIGH * 0.68);
  const { data } = pen.getImageData(0, 0, WIDE, HIGH);
  return (x, y) => x >= 0 && y >= 0 && x < WIDE && y < HIGH && (data[(y * WIDE + x) * 4 + 3] ?? 0) > INK;
}

/**
 * Follow every boundary between ink and paper, ink on the right hand, until it closes.
 * @param {(x: number, y: number) => boolean} dark
 * @returns {Point[][]} corners in px
 */
function follow(dark) {
  /** Boundary edges by where they start: from corner to corner. @type {Map<string, Point[]>} */
  const edges = new Map();
  /** @param {number} x @param {number} y @param {number} u @param {number} v */
  const edge = (x, y, u, v) => {
    const key = `${x},${y}`;
    edges.set(key, [...(edges.get(key) ?? []), [u, v]]);
  };
  for (let y = 0; y < HIGH; y += 1) {
    for (let x = 0; x < WIDE; x += 1) {
      if (!dark(x, y)) continue;
      if (!dark(x, y - 1)) edge(x, y, x + 1, y);
      if (!dark(x + 1, y)) edge(x + 1, y, x + 1, y + 1);
      if (!dark(x, y + 1)) edge(x + 1, y + 1, x, y + 1);
      if (!dark(x - 1, y)) edge(x, y + 1, x, y);
    }
  }
  return loops(edges);
}

/** @param {Map<string, Point[]>} edges @returns {Point[][]} */
function loops(edges) {
  const found = [];
  for (const start of edges.keys()) {
    let at = start;
    const loop = [];
    for (let next = edges.get(at)?.pop(); next; next = edges.get(at)?.pop()) {
      loop.push(next);
      at = next.join(",");
    }
    if (loop.length > 0) found.push(/** @type {Point[]} */ ([loop.at(-1), ...loop]));
  }
  return found;
}

/**
 * Corners to thousandths, leaving out those that hardly leave the line.
 * @param {Point[]} loop
 * @returns {Stroke}
 */
function thinned(loop) {
  /** @type {Point[]} */
  const kept = [];
  for (const [i, [x, y]] of loop.entries()) {
    const [px, py] = kept.at(-1) ?? [-9, -9];
    if (i === loop.length - 1 || Math.hypot(x - px, y - py) >= 2.2) kept.push([x, y]);
  }
  return kept.map(([x, y]) => [Math.round((x / WIDE) * 1000), Math.round((y / HIGH) * 1000)]);
}
