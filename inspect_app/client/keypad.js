/**
 * The keypad for a unit's last six: in the dialog behind every `[data-find-unit]`, and in place on the floor.
 *
 * What fits is shown as it is typed; a person chooses, always, since two units may share their last six.
 */

import { dialogBody, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { LEAST, LONGEST, cleaned, find } from "./find_unit.js";
import { addLine, hitLine, said, spaced } from "./found_units.js";
import { _ } from "./gettext.js";

const DIGITS = [..."123456789"];
const LETTERS = [..."ABCDEFGHJKLMNPRSTUVWXYZ"]; // no I, O or Q in a chassis number
const PAUSE = 120;
let made = 0;

/** One keypad with what it finds. */
class Keypad {
  constructor() {
    this.id = `find-${(made += 1)}`;
    this.input = /** @type {HTMLInputElement} */ (el("input", { class: "find-typed", id: this.id, name: "last6", autocomplete: "off",
      autocapitalize: "characters", spellcheck: "false", inputmode: "none", maxlength: String(LONGEST), "aria-describedby": `${this.id}-said` }));
    this.slots = el("div", { class: "read-out", "aria-hidden": "true" });
    this.keys = el("div", { class: "keypad" });
    this.said = el("p", { class: "small hush", id: `${this.id}-said`, role: "status" });
    this.lines = el("div", { class: "lines" });
    this.asked = 0;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    this.input.addEventListener("input", () => this.set(this.input.value));
    this.input.addEventListener("keydown", (event) => event.key === "Enter" && this.enter(event));
    this.lay(false);
    this.set("");
  }

  /** @returns {HTMLElement[]} pad, then what it found */
  parts() {
    const label = el("label", { class: "unseen", for: this.id }, _("Last six, or any part of the chassis number"));
    const pad = el("div", { class: "find-pad" }, label, this.input, this.slots, this.keys);
    pad.addEventListener("keydown", (event) => this.typed(event));
    return [pad, el("div", { class: "found stack" }, this.said, this.lines)];
  }

  /**
   * A keyboard goes on typing after a key was pressed on the screen.
   * @param {KeyboardEvent} event
   */
  typed(event) {
    if (event.target === this.input || event.ctrlKey || event.metaKey || event.altKey) return;
    if (/^[0-9a-z]$/i.test(event.key)) this.set(this.input.value + event.key);
    else if (event.key === "Backspace") this.set(this.input.value.slice(0, -1));
  }

  /** @param {boolean} letters */
  lay(letters) {
    const keys = letters ? LETTERS : DIGITS;
    const turn = this.key(letters ? "123" : _("ABC"), () => this.lay(!letters), letters ? _("Show the digits") : _("Show the letters"));
    const erase = this.key(_("Erase"), () => this.set(this.input.value.slice(0, -1)));
    const rest = letters ? [turn, erase] : [turn, this.letter("0"), erase];
    this.keys.classList.toggle("find-letters", letters);
    const had = this.keys.contains(document.activeElement);
    this.keys.replaceChildren(...keys.map((key) => this.letter(key)), ...rest);
    if (had) turn.focus();
  }

  /** @param {string} character */
  letter(character) {
    const key = this.key(character, () => this.set(this.input.value + character));
    key.classList.remove("key-word");
    return key;
  }

  /**
   * @param {string} word
   * @param {() => void} press
   * @param {string} [label]
   */
  key(word, press, label) {
    const key = el("button", { type: "button", class: "key key-word", ...(label ? { "aria-label": label } : {}) }, word);
    key.addEventListener("click", press);
    return key;
  }

  /** @param {string} text */
  set(text) {
    const typed = cleaned(text);
    this.input.value = typed;
    const six = typed.length <= 6;
    const slots = six ? [..."012345"].map((at) => el("span", {}, typed[Number(at)] ?? "")) : [el("b", { class: "find-long" }, typed)];
    this.slots.replaceChildren(...slots);
    clearTimeout(this.timer);
    this.asked += 1;
    if (typed.length < LEAST) {
      this.said.textContent = _("Type the last six of the chassis number, or any part of it.");
      this.lines.replaceChildren();
      return;
    }
    this.timer = setTimeout(() => void this.search(typed, this.asked), PAUSE);
  }

  /**
   * @param {string} typed
   * @param {number} asked an answer that comes after the next question is old
   */
  async search(typed, asked) {
    try {
      const found = await find(typed);
      if (asked !== this.asked) return;
      this.said.textContent = said(found);
      this.lines.replaceChildren(...found.units.map((unit) => hitLine(unit, found.shared.includes(unit.last_six))), ...(found.add ? [addLine(found.add)] : []));
    } catch (fault) {
      if (asked !== this.asked) return;
      this.said.textContent = fault instanceof Error ? fault.message : _("%(typed)s could not be looked up; try again.", { typed: spaced(typed) });
      this.lines.replaceChildren();
    }
  }

  /**
   * Enter goes to the first of what was found and opens nothing.
   * @param {Event} event
   */
  enter(event) {
    event.preventDefault();
    this.lines.querySelector("a")?.focus();
  }
}

/** Lay the keypad over the page. */
export function openKeypad() {
  const pad = new Keypad();
  const body = dialogBody(...pad.parts());
  body.classList.add("find", "find-over");
  const dialog = openDialog(_("Find a unit"), [body], { wide: true });
  pad.input.focus();
  return dialog;
}

/**
 * @param {ParentNode} [root]
 */
export function mountKeypad(root = document) {
  for (const place of root.querySelectorAll("[data-keypad]")) {
    const head = place.querySelector("h2");
    place.replaceChildren(...(head ? [head] : []), el("div", { class: "find" }, ...new Keypad().parts()));
    place.addEventListener("submit", (event) => event.preventDefault());
  }
  for (const button of root.querySelectorAll("[data-find-unit]")) button.addEventListener("click", openKeypad);
}

mountKeypad();
