/** Small pieces of a page built from script: pictograms, last six, swatches, tags, rings; and swapping them in. */

import { el } from "./elements.js";
import { ring } from "./ring.js";
import { readMeta, writeMeta } from "./store.js";

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {string} name
 * @param {Record<string, string | number>} [attributes]
 * @param {...Node} children
 * @returns {SVGElement}
 */
export function svg(name, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  element.append(...children);
  return element;
}

/**
 * Lay the pictograms into the page itself: drawn from a file of their own they are gone while the server is away.
 * @returns {Promise<void>} also when there are none to be had; then they are drawn from their file
 */
export async function layPictograms() {
  const place = /** @type {HTMLElement | null} */ (document.querySelector("[data-pictograms]"));
  const file = place?.dataset.pictograms;
  if (!place || !file) return;
  const text = await fetch(file).then((answer) => (answer.ok ? answer.text() : null)).catch(() => null);
  const drawn = (text ?? (await readMeta("pictograms"))) || "";
  const sheet = new DOMParser().parseFromString(drawn, "image/svg+xml").documentElement;
  if (sheet.localName !== "svg") return;
  if (text) await writeMeta("pictograms", text);
  sheet.setAttribute("hidden", "");
  sheet.setAttribute("aria-hidden", "true");
  document.body.append(document.adoptNode(sheet));
  place.dataset.pictograms = "";
}

/**
 * @param {string} id of a pictogram
 * @param {boolean} [large]
 */
export function pic(id, large = false) {
  const href = `${document.querySelector("[data-pictograms]")?.getAttribute("data-pictograms") ?? "/client/pictograms.svg"}#${id}`;
  return svg("svg", { class: large ? "pic pic-large" : "pic", viewBox: "0 0 24 24", "aria-hidden": "true" }, svg("use", { href }));
}

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
 * @param {string} words
 * @param {Record<string, string>} attributes e.g. class, data-act
 * @param {...Node} before what stands before the words
 */
export function button(words, attributes = {}, ...before) {
  return /** @type {HTMLButtonElement} */ (el("button", { type: "button", class: "btn", ...attributes }, ...before, words));
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

/** What each place held when it was last filled, before anyone touched it. @type {WeakMap<Element, Node[]>} */
const filled = new WeakMap();

/**
 * Put new content into a place, unless it is the same as before: then what is there stays, with its focus, its scroll
 * and what has been typed. After a change the focus goes back to the element with the same `data-key`.
 * @param {Element} place
 * @param {...Node} content
 * @returns {boolean} whether anything was put in
 */
export function swap(place, ...content) {
  const before = filled.get(place);
  if (before && before.length === content.length && before.every((node, i) => node.isEqualNode(content[i] ?? null))) return false;
  filled.set(place, content.map((node) => node.cloneNode(true)));
  const active = document.activeElement;
  const key = active && place.contains(active) ? active.getAttribute("data-key") : null;
  const open = new Set([...place.querySelectorAll("details[open][data-key]")].map((fold) => fold.getAttribute("data-key")));
  place.replaceChildren(...content);
  for (const fold of place.querySelectorAll("details[data-key]")) if (open.has(fold.getAttribute("data-key"))) fold.setAttribute("open", "");
  if (key) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus();
  return true;
}
