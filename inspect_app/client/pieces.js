/** Small pieces of a page built from script: last six, swatches, tags, rings, buttons, sentences. */

import { el, svg } from "./elements.js";
import { ring } from "./ring.js";

/**
 * The last six, in threes.
 * @param {string} digits
 * @param {string} [size] "large" or nothing
 */
export function six(digits, size = "") {
  return el("span", { class: size ? `six six-${size}` : "six" }, el("b", {}, digits.slice(0, 3)), " ", el("b", {}, digits.slice(3)));
}

/** @param {string | null | undefined} hex */
export function swatch(hex) {
  return svg("svg", { class: "swatch", viewBox: "0 0 20 20", "aria-hidden": "true" },
    svg("rect", { x: 1, y: 1, width: 18, height: 18, fill: hex || "none" }));
}

/**
 * @param {string} name
 * @param {string} state of the marker
 */
export function tag(name, state) {
  return el("span", { class: "tag", "data-state": state }, name);
}

/**
 * A marker's ring beside its line.
 * @param {{id: string, state: any, severity?: string | null}} marker
 */
export function ringSmall({ id, state, severity }) {
  const [y, r] = [state === "in_rework" ? -2 : 0, state === "conceded" ? 9.5 : 11];
  return svg("svg", { class: "ring-small", viewBox: "-18 -18 36 36", "aria-hidden": "true" }, ring({ state, severity: severity ?? "S3", x: 0, y, r, seed: id }));
}

/**
 * A button whose presses are heard by the place it stands in.
 * @param {string} words
 * @param {Record<string, string>} attributes e.g. class, data-act
 * @param {...Node} before what stands before the words
 */
export function button(words, attributes = {}, ...before) {
  return /** @type {HTMLButtonElement} */ (el("button", { type: "button", class: "btn", ...attributes }, ...before, words));
}

/**
 * A button with what it does.
 * @param {string} words
 * @param {() => void} press
 * @param {Record<string, string>} [attributes]
 * @param {...Node} before
 * @returns {HTMLButtonElement}
 */
export function pressButton(words, press, attributes = {}, ...before) {
  const made = button(words, attributes, ...before);
  made.addEventListener("click", press);
  return made;
}

/**
 * A sentence the page has to say.
 * @param {string} words
 * @param {"wrong" | "" } [tone]
 * @param {...Node} more
 */
export function says(words, tone = "", ...more) {
  return el("div", tone ? { class: "says", "data-tone": tone } : { class: "says" }, el("p", {}, words), ...more);
}

/** Say something to those who listen instead of look. @param {string} words */
export function say(words) {
  const status = document.getElementById("status");
  if (status) status.textContent = words;
}
