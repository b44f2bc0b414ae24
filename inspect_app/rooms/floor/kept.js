/**
 * The floor from what the tablet keeps, while the server is away: open units, what they need, what is this person's.
 * Shorter than the server's floor (rooms/floor/groups.py); its heads are the same.
 */

import { el } from "../../client/elements.js";
import { lasting } from "../../client/figures.js";
import { _, allOf, midway, ngettext } from "../../client/gettext.js";
import { dueWords } from "../../client/in_words.js";
import { nextStep, STAGES } from "../../client/next_step.js";
import { six, swatch } from "../../client/pieces.js";
import { groupBy } from "../../client/rows.js";

/** @typedef {import("../../client/types.js").Row} Row */
/** @typedef {{unit: Row, href: string, wants: string, stage: string}} Line */
/** @typedef {{key: string, title: string, lines: Line[]}} Group */
/**
 * @typedef {object} Plant
 * @property {Row[]} units
 * @property {Row[]} jobs
 * @property {Row[]} markers
 * @property {Map<string, Row[]>} walks under way, by unit
 * @property {Set<string>} touched  units that something unsent is about
 * @property {{person: string, roles: string[], departments: string[]} | null} me
 * @property {any} catalogue
 */

/**
 * Sort the plant for whoever is signed in. Pure.
 * @param {Plant} plant
 * @returns {Group[]} those that are this person's, then the others
 */
export function groupsOf(plant) {
  const roles = plant.me?.roles ?? [];
  const units = plant.units.filter((unit) => unit.state === "open").map((unit) => ({ ...unit, stage: stageOf(unit, plant) })).sort(dueFirst);
  /** @type {Group[]} */
  const groups = [];
  if (roles.includes("inspector")) groups.push(...looked(units, plant));
  if (roles.includes("technician")) groups.push(...worked(units, plant));
  const shown = new Set(groups.flatMap((group) => group.lines.map((one) => one.unit.id)));
  groups.push({ key: "others", title: _("With others"), lines: units.filter((unit) => !shown.has(unit.id)).map((unit) => line(unit, roles)) });
  return groups.filter((group) => group.lines.length > 0);
}

/** @param {Row} a @param {Row} b */
function dueFirst(a, b) {
  return (a.due ?? Infinity) - (b.due ?? Infinity) || String(a.last_six).localeCompare(b.last_six);
}

/** Where a unit is, counting what was done on this tablet and not sent. @param {Row} unit @param {Plant} plant @returns {string} */
function stageOf(unit, { walks, touched, markers }) {
  if ((walks.get(unit.id) ?? []).length > 0) return "walking";
  if (!touched.has(unit.id)) return unit.stage;
  const own = markers.filter((marker) => marker.unit === unit.id);
  if (own.some((marker) => ["open", "in_rework"].includes(marker.state) && marker.severity !== "S5")) return "in_rework";
  if (own.some((marker) => marker.state === "reworked")) return "to_look_again";
  return unit.stage === "walking" ? "to_sign" : unit.stage;
}

/** @param {Row} unit @param {string[]} roles @param {string} [wants] @param {string} [href] @param {string} [stage] @returns {Line} */
function line(unit, roles, wants = "", href = nextStep(unit, roles).href, stage = STAGES[unit.stage] ?? "") {
  return { unit, wants, href, stage };
}

/** @param {Row[]} units @param {Plant} plant @returns {Group[]} */
function looked(units, { me, walks, markers }) {
  const roles = me?.roles ?? [];
  const mine = units.filter((unit) => (walks.get(unit.id) ?? []).some((walk) => walk.person === me?.person));
  /** @param {Row} unit */
  const rings = (unit) => markers.filter((marker) => marker.unit === unit.id && marker.state === "reworked").length;
  const again = units.filter((unit) => !mine.includes(unit) && (rings(unit) > 0 || unit.stage === "to_look_again"));
  return [
    { key: "walking", title: _("Your walks under way"), lines: mine.map((unit) => line(unit, roles, _("Go on"), `/${walks.get(unit.id)?.[0]?.purpose === "again" ? "again" : "walk"}/${unit.id}`)) },
    { key: "again", title: _("To look again"), lines: again.map((unit) => line(unit, roles, rings(unit) > 0 ? ngettext("%(n)s ring", "%(n)s rings", rings(unit)) : "", `/again/${unit.id}`)) },
    { key: "walk", title: _("To walk"), lines: units.filter((unit) => unit.stage === "to_walk").map((unit) => line(unit, roles)) },
    { key: "sign", title: _("Ready to sign"), lines: units.filter((unit) => unit.stage === "to_sign").map((unit) => line(unit, roles, "", undefined, _("signing needs the server"))) },
  ];
}

/** @param {Row[]} units @param {Plant} plant @returns {Group[]} */
function worked(units, { me, jobs, catalogue }) {
  const own = new Map(units.map((unit) => [unit.id, unit]));
  const ours = jobs.filter((job) => me?.departments.includes(job.department) && own.has(job.unit));
  /** @param {string} key @param {string} title @param {Row[]} found @param {boolean} [taken] @returns {Group} */
  const group = (key, title, found, taken = false) => ({
    key, title,
    lines: [...groupBy(found, (job) => job.unit)].map(([unit, rows]) => jobLine(/** @type {Row} */ (own.get(unit)), rows, taken, catalogue)).sort((a, b) => dueFirst(a.unit, b.unit)),
  });
  return [
    group("taken", _("Your jobs"), jobs.filter((job) => job.state === "taken" && job.taken_by === me?.person && own.has(job.unit)), true),
    group("ready", _("Jobs to take"), ours.filter((job) => job.state === "ready" && !job.waiting_what)),
    group("held", _("Jobs that wait"), ours.filter((job) => job.state === "waiting" || (job.state === "ready" && job.waiting_what))),
  ];
}

/** @param {Row} unit @param {Row[]} jobs @param {boolean} taken @param {any} catalogue @returns {Line} */
function jobLine(unit, jobs, taken, catalogue) {
  const names = [...new Set(jobs.map((job) => midway(catalogue?.departments[job.department]?.short ?? job.department)))];
  const minutes = jobs.reduce((sum, job) => sum + job.minutes_planned, 0);
  const whose = { departments: allOf(names) };
  const wants = taken ? ngettext("Go on: %(n)s job for %(departments)s", "Go on: %(n)s jobs for %(departments)s", jobs.length, whose)
    : ngettext("%(n)s job for %(departments)s", "%(n)s jobs for %(departments)s", jobs.length, whose);
  return { unit, href: `/rework/${jobs[0]?.id}`, wants, stage: _("%(time)s planned", { time: lasting(minutes) }) };
}

/**
 * @param {Group[]} groups
 * @param {number} now
 * @returns {HTMLElement[]}
 */
export function drawn(groups, now) {
  return groups.map(({ key, title, lines }) => el("section", { class: "group", "aria-labelledby": `g-${key}` },
    el("div", { class: "group-head" }, el("h2", { id: `g-${key}` }, title), el("span", { class: "count" }, ngettext("%(n)s unit", "%(n)s units", lines.length))),
    el("div", { class: "lines" }, ...lines.map((one) => unitLine(one, now)))));
}

/** The same line as in _unit_line.html. @param {Line} line @param {number} now */
function unitLine({ unit, href, wants, stage }, now) {
  const sub = (/** @type {(string | Node)[]} */ ...words) => el("span", { class: "line-sub" }, ...words);
  const place = unit.place || _("place not known");
  const where = unit.keys ? _("%(place)s, keys %(keys)s", { place, keys: unit.keys }) : place;
  return el("a", { class: "line unit-line", href },
    el("span", {}, six(unit.last_six)),
    el("span", {}, el("span", { class: "line-title" }, `${unit.make} ${unit.model}`), sub(swatch(unit.colour_hex), unit.colour)),
    el("span", {}, ...(wants ? [el("span", { class: "line-title" }, wants)] : []), sub(stage)),
    el("span", { class: "line-end" }, el("span", { class: "keep" }, dueWords(unit.due, now)), sub(where)));
}
