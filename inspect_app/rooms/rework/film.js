/**
 * What is left of the clear at a spot: the same sums as trade/budget.py, held against it by a test, so that a tablet
 * out of reach bars what the server would bar. Film in tenths of µm, places in tenths of mm.
 *
 * @typedef {{view: string, x: number, y: number, spread: number}} Place
 * @typedef {{film: number, place: Place | null, renews: boolean}} Removal
 * @typedef {{method: string, film?: number | null, clear?: number | null, after?: number | null}} Reading
 * @typedef {{paint: string, surface_classes: string[], most: number, stay: number, clear: number}} Budget
 * @typedef {{reach: number, no_cut_film: number, budgets: Budget[]}} Budgets
 * @typedef {{outcome: "open" | "unsure" | "spent", taken: number, perhaps: number, attempts: number, most: number, clear: number, stay: number, text: string, bars: string | null}} Left
 */

import { tenth } from "../../client/figures.js";
import { N_, _ } from "../../client/gettext.js";

/** @type {Record<string, string>} */
export const GAUGES = {
  magnetic: N_("magnetic gauge"), eddy: N_("eddy-current gauge"), ultrasonic: N_("ultrasonic gauge"), witness: N_("witness tab"), none: N_("not read"),
};

/**
 * What one department's step of a method did to the film; null when nothing.
 * @param {any} method of the catalogue
 * @param {string} department
 * @param {number | null | undefined} film as read
 * @param {Place | null} place
 * @returns {Removal | null}
 */
export function removalOf(method, department, film, place) {
  const painted = method.chain.some((/** @type {any} */ step) => step.department === "paint");
  if (method.renews_film && (department === "paint" || !painted)) return { film: 0, place: null, renews: true };
  const taken = film ?? method.film ?? 0;
  return taken ? { film: taken, place, renews: false } : null;
}

/**
 * @param {Budgets} rules
 * @param {string} paint
 * @param {string} surfaceClass
 */
export function budgetFor(rules, paint, surfaceClass) {
  return rules.budgets.find((one) => one.paint === paint && one.surface_classes.includes(surfaceClass)) ?? null;
}

/**
 * @param {Budgets} rules
 * @param {Place} here
 * @param {Removal[]} removals  of the part, the oldest first
 * @param {{surfaceClass: string, paint: string, takes?: number, reading?: Reading | null}} about
 * @returns {Left | null} null where no budget holds
 */
export function clearLeft(rules, here, removals, { surfaceClass, paint, takes = 0, reading = null }) {
  const budget = budgetFor(rules, paint, surfaceClass);
  if (!budget) return null;
  const { taken, perhaps, attempts } = sums(here, removals, rules.reach);
  const clear = clearNow(here, removals, reading, budget, rules.reach);
  const more = Math.max(takes, 1); // the least there is: a budget used up to the last tenth is spent
  const bars = barsOf(budget, rules, surfaceClass, { taken, clear, attempts, takes }, reading);
  const doubtful = perhaps > taken && perhaps + more > budget.most;
  const outcome = bars ? "spent" : doubtful ? "unsure" : "open";
  return { outcome, taken, perhaps, attempts, most: budget.most, clear, stay: budget.stay, bars, text: bars ?? openWords(outcome, taken, perhaps, budget, clear, reading) };
}

/** How many more attempts that take off so much each the budget allows. @param {Left} left @param {number} takes */
export function moreOf(left, takes) {
  return left.bars ? 0 : Math.max(0, Math.floor(Math.min(left.most - left.taken, left.clear - left.stay) / takes));
}

/**
 * What the next polish of a spot takes off, 0 where no method takes anything; trade/budget.py says it in full.
 * @param {any[]} coming  methods of the steps that nobody has done, in their order, then the marker's own
 * @param {any[]} kinds  methods that come into question for its kind
 * @returns {number}
 */
export function nextFilm(coming, kinds) {
  const polish = (/** @type {any} */ one) => one?.film && !one.renews_film;
  const [first, mildest] = [coming.find(polish), kinds.filter(polish).map(({ film }) => film)];
  return first ? first.film : mildest.length > 0 ? Math.min(...mildest) : 0;
}

/** @param {Place} here @param {Removal[]} removals @param {number} reach */
function sums(here, removals, reach) {
  let [taken, perhaps, attempts] = [0, 0, 0];
  for (const one of removals) {
    if (one.renews) {
      [taken, perhaps, attempts] = [0, 0, 0];
      continue;
    }
    const near = isNear(here, one.place, reach);
    taken += near === true ? one.film : 0;
    perhaps += near !== false ? one.film : 0;
    attempts += near === true && one.film > 0 ? 1 : 0;
  }
  return { taken, perhaps, attempts };
}

/** @param {Place} here @param {Place | null} there @param {number} reach @returns {boolean | null} null when the spreads leave it open */
function isNear(here, there, reach) {
  if (!there) return null;
  if (here.view !== there.view) return false;
  const [apart, off] = [Math.hypot(here.x - there.x, here.y - there.y), here.spread + there.spread];
  return apart - off <= reach && reach < apart + off ? null : apart <= reach;
}

/** @param {Place} here @param {Removal[]} removals @param {Reading | null} reading @param {Budget} budget @param {number} reach */
function clearNow(here, removals, reading, budget, reach) {
  const since = removals.slice(reading?.after ?? removals.length);
  if (reading?.clear === null || reading?.clear === undefined || since.some((one) => one.renews)) return budget.clear - sums(here, removals, reach).taken;
  return reading.clear - sums(here, since, reach).taken;
}

/**
 * @param {Budget} budget
 * @param {Budgets} rules
 * @param {string} surfaceClass
 * @param {{taken: number, clear: number, attempts: number, takes: number}} sums  `takes`: 0 asks whether anything may come off
 * @param {Reading | null} reading
 */
function barsOf(budget, rules, surfaceClass, { taken, clear, attempts, takes }, reading) {
  if (reading?.film !== null && reading?.film !== undefined && reading.film < rules.no_cut_film) {
    return _("the whole film is %(film)s µm (%(gauge)s); below %(least)s µm nothing is cut", { film: tenth(reading.film), gauge: _(named(reading)), least: tenth(rules.no_cut_film) });
  }
  if (takes === 0 && taken >= budget.most) {
    return _("%(taken)s of %(most)s µm are off this spot: the budget on class %(class)s is used up", { taken: tenth(taken), most: tenth(budget.most), class: surfaceClass });
  }
  if (takes === 0 && clear <= budget.stay) return _("%(clear)s µm of clear are left (%(gauge)s); %(stay)s µm must stay", { clear: tenth(clear), gauge: gauge(reading), stay: tenth(budget.stay) });
  if (taken + takes > budget.most) {
    return _("%(taken)s µm would be off this spot after %(attempts)s attempts; the budget on class %(class)s is %(most)s µm",
      { taken: tenth(taken + takes), attempts: attempts + 1, class: surfaceClass, most: tenth(budget.most) });
  }
  if (clear - takes < budget.stay) return _("%(clear)s µm of clear would stay (%(gauge)s); %(stay)s µm must", { clear: tenth(clear - takes), gauge: gauge(reading), stay: tenth(budget.stay) });
  return null;
}

/** @param {Reading} reading */
export function named({ method }) {
  return GAUGES[method] ?? method;
}

/** @param {Reading | null} reading */
function gauge(reading) {
  return reading?.clear === null || reading?.clear === undefined ? _("assumed, not read") : _(named(reading));
}

/** @param {string} outcome @param {number} taken @param {number} perhaps @param {Budget} budget @param {number} clear @param {Reading | null} reading */
function openWords(outcome, taken, perhaps, budget, clear, reading) {
  const told = { taken: tenth(taken), perhaps: tenth(perhaps), most: tenth(budget.most), clear: tenth(clear), gauge: gauge(reading) };
  if (outcome === "unsure") return _("%(taken)s µm are off this spot, perhaps %(perhaps)s of %(most)s µm: place the earlier work finely", told);
  return _("%(taken)s of %(most)s µm are off this spot; %(clear)s µm of clear are left (%(gauge)s)", told);
}
