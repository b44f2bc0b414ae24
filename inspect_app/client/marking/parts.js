/** Small builders the walk's parts share: pictograms, buttons, and filling a place without losing the keyboard's focus. */

import { el } from "../elements.js";

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
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
 * Take the pictograms into the page: what is drawn after the server has gone away must not ask it for them.
 * @returns {Promise<void>}
 */
export async function takePictograms() {
  const answer = await fetch(pictograms()).catch(() => null);
  if (!answer?.ok) return;
  const root = new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement;
  root.setAttribute("class", "unseen");
  root.setAttribute("aria-hidden", "true");
  root.id = "pictograms";
  document.body.append(document.adoptNode(root));
}

function pictograms() {
  return document.getElementById("walk")?.dataset.pictograms ?? "";
}

/** @param {string} id e.g. "kind-nib" */
export function pic(id) {
  const file = document.getElementById("pictograms") ? "" : pictograms();
  return svg("svg", { class: "pic", viewBox: "0 0 24 24", "aria-hidden": "true" }, svg("use", { href: `${file}#${id}` }));
}

/**
 * @param {string} words
 * @param {() => void} press
 * @param {Record<string, string>} [attributes]
 * @param {...Node} before
 * @returns {HTMLButtonElement}
 */
export function button(words, press, attributes = {}, ...before) {
  const made = /** @type {HTMLButtonElement} */ (el("button", { type: "button", class: "btn", ...attributes }, ...before, words));
  made.addEventListener("click", press);
  return made;
}

/**
 * Fill a place anew only when what it shows has changed; focus and what is being written go back to the elements of
 * the same `data-key`: a change that arrives from another tablet must not take a button away from under a finger.
 * @param {HTMLElement} place
 * @param {unknown} shows plain values
 * @param {() => (Node | string)[]} build
 */
export function fill(place, shows, build) {
  const key = JSON.stringify(shows);
  if (place.dataset.shows === key) return;
  place.dataset.shows = key;
  const active = document.activeElement;
  const focused = active instanceof HTMLElement && place.contains(active) ? active.dataset.key : undefined;
  const scrolled = place.scrollTop;
  const written = [...place.querySelectorAll("input")].filter((input) => input.value !== input.defaultValue).map(({ dataset, value }) => ({ key: dataset.key, value }));
  place.replaceChildren(...build());
  place.scrollTop = scrolled;
  for (const input of place.querySelectorAll("input")) input.value = written.find(({ key: of }) => of === input.dataset.key)?.value ?? input.value;
  if (focused) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${CSS.escape(focused)}"]`))?.focus();
}

/**
 * A dialog over the work; closing removes it.
 * @param {string} title
 * @param {(Node | string)[]} body
 * @param {{wide?: boolean, foot?: Node[], close?: string}} [more]
 * @returns {HTMLDialogElement}
 */
export function dialog(title, body, { wide = false, foot = [], close = "Close" } = {}) {
  const id = `dialog-${title.toLowerCase().replace(/[^a-z]+/g, "-")}`;
  const made = /** @type {HTMLDialogElement} */ (el("dialog", { class: wide ? "dialog dialog-wide" : "dialog", "aria-labelledby": id }));
  const shut = button(close, () => made.close(), { class: "btn btn-word" });
  made.append(el("div", { class: "dialog-head" }, el("h2", { id }, title), shut), el("div", { class: "dialog-body" }, ...body));
  if (foot.length > 0) made.append(el("div", { class: "dialog-foot" }, ...foot));
  made.addEventListener("close", () => made.remove());
  document.body.append(made);
  made.showModal();
  return made;
}

/** Say something to those who listen instead of look. @param {string} words */
export function say(words) {
  const status = document.getElementById("status");
  if (status) status.textContent = words;
}

/** @param {string} words */
export function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
