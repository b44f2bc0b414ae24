/**
 * A photo, large, and drawing an arrow or a ring on it: a drag from here to there, or by keyboard a cross that the arrows
 * move and Enter sets down, twice. Each is kept at once; Undo takes the last one back.
 */

import { el, svg } from "./elements.js";
import { dialogBody, openDialog } from "./dialogs.js";
import { _ } from "./gettext.js";
import { keep } from "./outbox.js";
import { captionWith, marksOver, markWords } from "./photo_marks.js";
import { pressButton, say } from "./pieces.js";

/** @typedef {import("./photo_marks.js").PhotoMark} PhotoMark */

const MOST = 12;
const LEAST = 15; // thousandths: less was a slip
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {import("./types.js").Row} photo
 * @param {string} address
 * @param {string} caption
 */
export function openPhoto(photo, address, caption) {
  const drawing = new Drawing(photo, address, caption);
  openDialog(caption, [dialogBody(drawing.tools, drawing.frame, drawing.said)], { wide: true }).classList.add("shot-large");
}

class Drawing {
  /** @param {import("./types.js").Row} photo @param {string} address @param {string} caption */
  constructor(photo, address, caption) {
    this.photo = photo;
    this.caption = caption;
    /** @type {PhotoMark[]} */
    this.marks = [...(photo.marks ?? [])];
    /** @type {PhotoMark["form"] | null} */
    this.form = null;
    /** @type {{x: number, y: number} | null} */
    this.from = null;
    this.cross = { x: 500, y: 500 };
    this.image = /** @type {HTMLImageElement} */ (el("img", { src: address, alt: captionWith(caption, this.marks) }));
    this.over = marksOver(this.image, true);
    this.said = el("p", { class: "hint", role: "status" });
    this.pad = el("div", { class: "shot-pad", tabindex: "0", role: "application", "aria-label": _("The photo. Arrow keys move the cross, Enter sets it down."), hidden: "" });
    this.frame = el("div", { class: "shot-frame" }, this.image, this.over.layer, this.pad);
    this.buttons = ["arrow", "ring"].map((form) => pressButton(form === "ring" ? _("Ring") : _("Arrow"), () => this.choose(/** @type {any} */ (form)), { "data-form": form, "aria-pressed": "false" }));
    this.undo = pressButton(_("Undo"), () => void this.set(this.marks.slice(0, -1)), { class: "btn btn-word", "data-undo-mark": "" });
    this.tools = el("div", { class: "row", role: "group", "aria-label": _("Draw on the photo") }, ...this.buttons, this.undo);
    this.pad.addEventListener("pointerdown", (event) => this.down(event));
    this.pad.addEventListener("pointermove", (event) => this.from && event.buttons !== 0 && this.show(this.markTo(this.at(event))));
    this.pad.addEventListener("pointerup", (event) => this.end(this.at(event)));
    this.pad.addEventListener("pointercancel", () => this.end(null));
    // Else the browser takes the drag for the throw of a list, and the next tap for the hand that stops it.
    this.pad.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    this.pad.addEventListener("keydown", (event) => this.keyed(event));
    this.show(null);
  }

  /** @param {PhotoMark["form"]} form */
  choose(form) {
    this.form = this.form === form ? null : form;
    this.from = null;
    for (const button of this.buttons) button.setAttribute("aria-pressed", String(button.dataset.form === this.form));
    this.pad.hidden = this.form === null;
    this.pad.focus();
    this.said.textContent = this.form === "ring" ? _("Drag from one corner of the ring to the other.") : this.form ? _("Drag to the flaw: the arrow points where you let go.") : "";
  }

  /** Where on the picture, as it lies fitted into its frame. @param {PointerEvent} event */
  at(event) {
    const box = this.image.getBoundingClientRect();
    const scale = Math.min(box.width / this.image.naturalWidth, box.height / this.image.naturalHeight);
    const [wide, high] = [this.image.naturalWidth * scale, this.image.naturalHeight * scale];
    return { x: share((event.clientX - box.x - (box.width - wide) / 2) / wide), y: share((event.clientY - box.y - (box.height - high) / 2) / high) };
  }

  /** @param {PointerEvent} event */
  down(event) {
    if (!event.isPrimary) return;
    this.pad.setPointerCapture(event.pointerId);
    this.from = this.at(event);
  }

  /** @param {{x: number, y: number}} to @returns {PhotoMark | null} */
  markTo(to) {
    if (!this.from || !this.form || Math.hypot(to.x - this.from.x, to.y - this.from.y) < LEAST) return null;
    return { form: this.form, x: this.from.x, y: this.from.y, x2: to.x, y2: to.y };
  }

  /** @param {{x: number, y: number} | null} to */
  end(to) {
    const mark = to && this.markTo(to);
    this.from = null;
    if (mark) void this.set([...this.marks, mark].slice(-MOST));
    else this.show(null);
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    const arrow = ARROWS[event.key];
    const step = event.shiftKey ? 5 : 40;
    if (arrow) this.cross = { x: share((this.cross.x + arrow[0] * step) / 1000), y: share((this.cross.y + arrow[1] * step) / 1000) };
    else if (event.key === "Enter" && this.from) return this.end(this.cross);
    else if (event.key === "Enter") this.from = { ...this.cross };
    else return undefined;
    event.preventDefault();
    this.show(this.markTo(this.cross), true);
    return undefined;
  }

  /** @param {PhotoMark | null} coming @param {boolean} [cross] */
  show(coming, cross = false) {
    this.over.draw([...this.marks, ...(coming ? [coming] : [])]);
    const [wide, high] = [this.image.naturalWidth, this.image.naturalHeight];
    const [x, y, r] = [(this.cross.x * wide) / 1000, (this.cross.y * high) / 1000, wide / 30];
    if (cross) this.over.layer.append(svg("path", { class: "reticle", d: `M${x - r} ${y}H${x + r}M${x} ${y - r}V${y + r}` }));
    this.undo.toggleAttribute("disabled", this.marks.length === 0);
  }

  /** @param {PhotoMark[]} marks */
  async set(marks) {
    const before = this.marks;
    this.marks = marks;
    this.show(null);
    try {
      await keep({ type: "photo_marked", stream: `unit:${this.photo.unit}`, body: { photo: this.photo.id, marks } });
      this.photo.marks = marks;
      this.image.alt = captionWith(this.caption, marks);
      say(marks.length === 0 ? _("Kept, nothing is drawn on it.") : _("Kept, %(marks)s drawn on it.", { marks: markWords(marks) }));
    } catch (fault) {
      this.marks = before;
      this.show(null);
      this.said.textContent = fault instanceof Error ? fault.message : _("This could not be kept on this tablet; do it again.");
    }
  }
}

/** @param {number} part */
function share(part) {
  return Math.max(0, Math.min(1000, Math.round(part * 1000)));
}
