/** A clock for what is curing, or for another wait: how long still, and when it is over. It keeps running by itself. */

import { el, svg } from "./elements.js";
import { lasting } from "./figures.js";
import { _ } from "./gettext.js";
import { moment } from "./in_words.js";

const HOUR = 3_600_000;
let ahead = 0; // ms the server's clock is before this device's

/** @param {number} offset server time less device time */
export function setClock(offset) {
  ahead = offset;
}

/** Server time, as well as it is known. */
export function now() {
  return Date.now() + ahead;
}

/**
 * @param {number} until server time
 * @param {number} at server time now
 * @returns {HTMLElement} `.cure[data-until]`
 */
export function cure(until, at) {
  return waiting(until, at, _("cured"), _("not before %(when)s", { when: moment(until, at) }));
}

/**
 * @param {number} until server time
 * @param {number} at server time now
 * @param {string} over what it says when the time is over
 * @param {string} note the line under it
 * @returns {HTMLElement} `.cure[data-until]`
 */
export function waiting(until, at, over, note) {
  const dial = svg("svg", { class: "cure-dial", viewBox: "-12 -12 24 24", "aria-hidden": "true" },
    svg("circle", { r: 10 }), svg("path", { class: "cure-left", d: slice(until - at) }), svg("path", { d: "M0 -10V-7" }));
  return el("span", { class: "cure", "data-until": String(until), "data-words": over, ...(until <= at ? { "data-over": "1" } : {}) }, dial,
    el("span", {}, el("b", { class: "cure-words" }, left(until - at, over)), el("span", { class: "line-sub" }, note)));
}

/** @param {number} ms @param {string} [over] @returns {string} "42 min", "3 h 20 min", "cured" */
export function left(ms, over = _("cured")) {
  return ms <= 0 ? over : lasting(Math.ceil(ms / 60_000));
}

/** The part of the dial still to go; a full dial is an hour or more. @param {number} ms */
function slice(ms) {
  const share = Math.max(0, Math.min(0.9999, ms / HOUR));
  const angle = 2 * Math.PI * share;
  const [x, y] = [Math.round(800 * Math.sin(angle)) / 100, Math.round(-800 * Math.cos(angle)) / 100];
  return `M0 0V-8A8 8 0 ${share > 0.5 ? 1 : 0} 1 ${x} ${y}Z`;
}

/**
 * Keep every clock of the page true.
 * @param {() => void} over called when one has run out
 * @returns {() => void} stops
 */
export function runClocks(over) {
  const tick = () => {
    const at = now();
    for (const place of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".cure[data-until]"))) {
      const rest = Number(place.dataset.until) - at;
      const words = place.querySelector(".cure-words");
      const said = left(rest, place.dataset.words);
      if (words && words.textContent !== said) words.textContent = said;
      place.querySelector(".cure-left")?.setAttribute("d", slice(rest));
      if (rest <= 0 && !place.dataset.over) {
        place.dataset.over = "1";
        over();
      }
    }
  };
  const timer = setInterval(tick, 1000);
  return () => clearInterval(timer);
}
