/** The loupe: a round window that shows, beside the finger, what lies under it. Styled by drawing.css (.loupe). */

const SVG = "http://www.w3.org/2000/svg";
const SIZE = 168; // px, as in drawing.css
const NEARER = 3;
const ENOUGH = 250; // mm across: nearer than this only bare paint is seen
const AWAY = 118; // px from the finger to the loupe's middle

/**
 * Where the loupe stands: above the finger, or beside it where there is no room. Pure.
 * @param {{x: number, y: number}} finger px in the board
 * @param {{width: number, height: number}} board px
 * @returns {{left: number, top: number}}
 */
export function placeLoupe(finger, board) {
  const half = SIZE / 2;
  const fits = finger.y - AWAY - half >= 0;
  const beside = finger.x > board.width / 2 ? -AWAY - 20 : AWAY + 20;
  const [x, y] = fits ? [finger.x, finger.y - AWAY] : [finger.x + beside, finger.y];
  return { left: within(x - half, board.width - SIZE), top: within(y - half, board.height - SIZE) };
}

/**
 * How much of the van the loupe shows, in mm: three times nearer than the drawing, but never so near that nothing is
 * left to steer by. Pure.
 * @param {number} unit mm per px of the drawing
 */
export function spanOf(unit) {
  return Math.max((SIZE * unit) / NEARER, Math.min((SIZE * unit) / 1.5, ENOUGH));
}

/** @param {number} value @param {number} high */
function within(value, high) {
  return Math.max(0, Math.min(value, Math.max(0, high)));
}

/** A loupe over one board. */
export class Loupe {
  /** @param {HTMLElement} board positioned; the loupe is laid into it */
  constructor(board) {
    this.board = board;
    this.svg = document.createElementNS(SVG, "svg");
    this.use = document.createElementNS(SVG, "use");
    this.cross = document.createElementNS(SVG, "path");
    this.svg.classList.add("loupe", "drawing-loupe");
    this.svg.setAttribute("aria-hidden", "true");
    this.cross.classList.add("reticle");
    this.svg.append(this.use, this.cross);
    this.hide();
    board.append(this.svg);
  }

  /**
   * @param {{x: number, y: number}} spot mm
   * @param {{x: number, y: number}} finger client px
   * @param {number} unit mm per px of the drawing behind
   * @param {string} drawing id of the group to show
   */
  show(spot, finger, unit, drawing) {
    const span = spanOf(unit);
    const { left, top, width, height } = this.board.getBoundingClientRect();
    const place = placeLoupe({ x: finger.x - left, y: finger.y - top }, { width, height });
    this.use.setAttribute("href", `#${drawing}`);
    this.svg.setAttribute("viewBox", `${spot.x - span / 2} ${spot.y - span / 2} ${span} ${span}`);
    const [gap, arm] = [span * 0.05, span * 0.2];
    this.cross.setAttribute("d", crossAt(spot, gap, arm));
    this.svg.style.left = `${place.left}px`;
    this.svg.style.top = `${place.top}px`;
    this.svg.style.display = "block";
  }

  hide() {
    this.svg.style.display = "none";
  }

  remove() {
    this.svg.remove();
  }
}

/**
 * Four arms around an open middle, so that the spot itself is never covered.
 * @param {{x: number, y: number}} spot
 * @param {number} gap
 * @param {number} arm
 */
export function crossAt({ x, y }, gap, arm) {
  const level = `M${x - arm} ${y}H${x - gap}M${x + gap} ${y}H${x + arm}`;
  return `${level}M${x} ${y - arm}V${y - gap}M${x} ${y + gap}V${y + arm}`;
}
