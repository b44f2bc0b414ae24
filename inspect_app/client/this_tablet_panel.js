/** The sheet "This tablet", behind every `[data-this-tablet]`; each choice holds at once and on this tablet alone. */

import { dialogBody, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { ready, tell } from "./felt.js";
import { _ } from "./gettext.js";
import { canBuzz, setLargeType, takeUpType, thisTablet, typeIsLarge, wish } from "./this_tablet.js";

/** @type {[import("./this_tablet.js").Side, string][]} */
const SIDES = [["away", _("Away from the finger")], ["left", _("On the left")], ["right", _("On the right")]];
const GONE = _("This browser keeps nothing for the page, so it holds until the page is left.");

/** Open it. */
export function openThisTablet() {
  const now = thisTablet();
  const fault = el("p", { class: "hint", role: "status" });
  /** @param {Partial<import("./this_tablet.js").Wishes>} change */
  const choose = (change) => {
    fault.textContent = wish(change) ? "" : GONE;
  };
  const sides = SIDES.map(([side, words]) => tick("radio", words, now.kinds === side, () => choose({ kinds: side }), { name: "kinds", value: side }));
  const buzz = tick("checkbox", _("Buzz"), now.buzz, (on) => tried(() => choose({ buzz: on })), { name: "buzz", ...(canBuzz() ? {} : { disabled: "", "aria-describedby": "no-buzz" }) });
  const sound = tick("checkbox", _("A short, quiet tone"), now.sound, (on) => tried(() => choose({ sound: on })), { name: "sound" });
  openDialog(_("This tablet"), [dialogBody(
    group(_("The kinds stand"), _("For whoever holds the tablet in one hand. They never cover the spot."), ...sides),
    group(_("Type"), "", tick("checkbox", _("Large type"), typeIsLarge(), setLargeType, { name: "type" })),
    group(_("When a marker is kept"), "", buzz, ...(canBuzz() ? [] : [el("p", { class: "hint", id: "no-buzz" }, _("This tablet or its browser cannot buzz."))]), sound),
    el("p", { class: "hint" }, "wakeLock" in navigator ? _("The screen stays awake during a walk.") : _("This browser cannot keep the screen awake; set a long time in the tablet's own settings.")), fault)]);
}

/** Do it, then let it be felt. @param {() => void} act */
function tried(act) {
  act();
  ready();
  tell();
}

/** @param {string} legend @param {string} hint @param {...(Node | string)} parts */
function group(legend, hint, ...parts) {
  return el("fieldset", { class: "field" }, el("legend", {}, legend), ...(hint ? [el("p", { class: "hint" }, hint)] : []), el("div", {}, ...parts));
}

/**
 * @param {string} type
 * @param {string} words
 * @param {boolean} on
 * @param {(on: boolean) => void} change
 * @param {Record<string, string>} attributes
 */
function tick(type, words, on, change, attributes) {
  const input = /** @type {HTMLInputElement} */ (el("input", { type, ...attributes }));
  input.checked = on;
  input.addEventListener("change", () => change(input.checked));
  return el("label", { class: "tick" }, input, el("span", {}, words));
}

document.addEventListener("click", (event) => {
  const at = event.target instanceof Element ? event.target.closest("[data-this-tablet]") : null;
  if (!at) return;
  at.closest("details")?.removeAttribute("open");
  openThisTablet();
});
takeUpType();
