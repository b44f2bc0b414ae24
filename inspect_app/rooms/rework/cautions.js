/** The cautions of a method: read before the job is taken, folded away but at hand afterwards. */

import { el } from "../../client/elements.js";
import { _, ngettext } from "../../client/gettext.js";
import { pic } from "../../client/pictograms.js";
import { button } from "../../client/pieces.js";

const READ_AFTER = 350; // ms in sight: a card that flew past was not seen

/** @param {any} catalogue @param {any} method @returns {any[]} */
export function cautionsOf(catalogue, method) {
  return (method.cautions ?? []).map((/** @type {string} */ key) => catalogue.cautions[key]).filter(Boolean);
}

/**
 * What can be started of a method's waits, while the work is under way or after it.
 * @param {any} catalogue
 * @param {import("./model.js").Entry} entry
 * @returns {HTMLElement[]}
 */
export function startTimers(catalogue, { method, place }) {
  const timed = cautionsOf(catalogue, method).filter(({ timer }) => timer);
  if (timed.length === 0 || !["mine", "others", "over"].includes(place)) return [];
  const buttons = timed.map(({ key, timer, pictogram }) => button(timer, { class: "btn", "data-act": "timer", "data-caution": key, "data-key": `start-${key}` }, pic(pictogram)));
  return [el("section", { class: "stack" }, el("h3", {}, _("Start a safety timer")), el("div", { class: "reasons" }, ...buttons))];
}

/** @param {any} caution */
function card({ key, label, danger, wear, wait, pictogram, timer, timer_minutes: minutes }) {
  return el("div", { class: "caution", "data-caution": key }, pic(pictogram), el("h4", {}, label),
    el("p", {}, danger), el("p", {}, el("b", {}, _("Wear:")), " ", wear), el("p", {}, el("b", {}, _("Wait:")), " ", wait),
    ...(timer ? [el("p", { class: "hush" }, pic("ui-clock"), " ", _("%(timer)s: timer of %(n)s min, from the job you have taken", { timer, n: minutes }))] : []));
}

/**
 * @param {any} catalogue
 * @param {any} method
 * @param {boolean} folded once taken, or when somebody else takes it
 * @returns {HTMLElement[]}
 */
export function cautionCards(catalogue, method, folded) {
  const found = cautionsOf(catalogue, method);
  if (found.length === 0) return [];
  const cards = el("div", { class: "cautions" }, ...found.map(card), el("p", { class: "clause" }, catalogue.clause));
  if (!folded) return [el("section", { class: "stack" }, el("h3", {}, ngettext("Read before you take it: one caution", "Read before you take it: %(n)s cautions", found.length)), cards)];
  const signs = found.map(({ pictogram, label }) => el("span", { class: "caution-sign" }, pic(pictogram), el("span", { class: "unseen" }, label)));
  return [el("details", { class: "fold caution-fold", "data-key": "cautions" },
    el("summary", { "data-key": "cautions-open" }, el("span", {}, ngettext("One caution", "%(n)s cautions", found.length)), ...signs), cards)];
}

/**
 * Note which cards have stood in sight long enough to be read.
 * @param {Element} place
 * @param {Set<string>} seen filled as they are
 * @param {() => void} changed
 * @returns {() => void} stops
 */
export function watchReading(place, seen, changed) {
  /** @type {Map<Element, ReturnType<typeof setTimeout>>} */
  const timers = new Map();
  const read = (/** @type {Element} */ shown) => {
    const key = shown.getAttribute("data-caution") ?? "";
    if (seen.has(key)) return;
    seen.add(key);
    changed();
  };
  const observer = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      clearTimeout(timers.get(target));
      if (isIntersecting) timers.set(target, setTimeout(() => read(target), READ_AFTER));
    }
  }, { threshold: 0.9, rootMargin: "0px 0px -84px 0px" }); // what lies behind the foot is not in sight
  for (const shown of place.querySelectorAll("[data-caution]")) observer.observe(shown);
  return () => {
    observer.disconnect();
    for (const timer of timers.values()) clearTimeout(timer);
  };
}

/**
 * Bring the first card nobody has read into sight.
 * @param {Element} place
 * @param {Set<string>} seen
 */
export function showUnread(place, seen) {
  const next = [...place.querySelectorAll("[data-caution]")].find((shown) => !seen.has(shown.getAttribute("data-caution") ?? ""));
  next?.scrollIntoView({ block: "center", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
}
