/** The left pane: which jobs there are, in which order, and why each stands where it stands. */

import { el } from "../../client/elements.js";
import { lasting } from "../../client/figures.js";
import { _, allOf, inTurn, ngettext } from "../../client/gettext.js";
import { capital } from "../../client/in_words.js";
import { pic } from "../../client/pictograms.js";
import { button, six, swatch } from "../../client/pieces.js";
import { cure } from "../../client/curing.js";

/** @typedef {import("./model.js").Entry} Entry */
/** @typedef {{departments: string[], fits: number | null, chosen: string | null, department: string, own: string[], catalogue: any}} Choice */

const SPANS = [null, 10, 30, 60];

/**
 * @param {Record<import("./model.js").Place, Entry[]>} lists
 * @param {Choice} choice
 * @param {string[]} offered departments one may look at
 * @returns {HTMLElement[]}
 */
export function listHead(lists, choice, offered) {
  const jobs = [...lists.mine, ...lists.ready];
  const minutes = jobs.reduce((sum, { job }) => sum + job.minutes_planned, 0);
  const names = choice.departments.map((key) => choice.catalogue.departments[key]?.short ?? key);
  const title = choice.department === "" && names.length > 3 ? _("All departments") : allOf(names) || _("Rework");
  const none = lists.covered.length > 0 ? ngettext("%(n)s job covered", "%(n)s jobs covered", lists.covered.length) : _("nothing to do");
  const head = [el("h1", {}, title, " ", el("span", { class: "count keep" }, jobs.length === 0 ? none : inTurn([ngettext("%(n)s job", "%(n)s jobs", jobs.length), lasting(minutes)])))];
  const has = el("div", { class: "choices", role: "group", "aria-label": _("Time I have") }, ...SPANS.map((minute) => fits(minute, choice)));
  const tools = el("div", { class: "bench-tools" }, has, ...(offered.length > 1 ? [departmentsOf(offered, choice)] : []));
  return [...head, tools];
}

/** @param {number | null} minutes @param {Choice} choice */
function fits(minutes, { fits: now }) {
  const words = minutes === null ? _("All") : minutes === 10 ? _("I have %(n)s min", { n: minutes }) : String(minutes);
  return button(words, { "data-act": "fits", "data-minutes": String(minutes ?? ""), "data-key": `fits-${minutes}`, "aria-pressed": String(minutes === now),
    ...(minutes === null ? { "aria-label": _("All jobs") } : { "aria-label": _("I have %(n)s minutes", { n: minutes }) }) });
}

/** @param {string[]} offered @param {Choice} choice */
function departmentsOf(offered, { department, own, catalogue }) {
  const all = el("option", { value: "" }, own.length > 1 ? _("All of mine") : _("All departments"));
  const options = offered.map((key) => el("option", { value: key }, catalogue.departments[key]?.label ?? key));
  for (const option of [all, ...options]) if (option.getAttribute("value") === department) option.setAttribute("selected", "");
  return el("select", { class: "input bench-department", "data-act": "department", "data-key": "department", "aria-label": _("Department") }, all, ...options);
}

/**
 * @param {Record<import("./model.js").Place, Entry[]>} lists
 * @param {import("./model.js").Curing[]} curing
 * @param {Choice} choice
 * @param {number} now
 * @returns {HTMLElement[]}
 */
export function listBody(lists, curing, choice, now) {
  const here = [...section(_("Taken by you"), lists.mine, choice), ...section(lists.mine.length > 0 ? _("Next") : "", lists.ready, choice)];
  if (lists.mine.length + lists.ready.length === 0) here.push(nothing(choice, lists.covered.length));
  return [
    ...here,
    ...folded("part", _("Waiting for a part or material"), lists.part, choice),
    ...folded("waiting", _("Waiting for another department"), lists.waiting, choice),
    ...folded("covered", _("Covered by a refinish"), lists.covered, choice),
    ...folded("others", _("Taken by others"), lists.others, choice),
    ...foldedCuring(curing, now),
  ];
}

/** @param {Choice} choice @param {number} covered jobs that wait for the paint of their part */
function nothing({ fits: minutes, own }, covered) {
  const [title, what] = minutes === null && covered > 0
    ? [_("Nothing is next here for now"), ngettext("%(n)s job waits for the paint of its part. It stands below, and can be taken all the same.", "%(n)s jobs wait for the paint of their part. They stand below, and can be taken all the same.", covered)]
    : minutes !== null
    ? [_("Nothing fits into %(n)s minutes", { n: minutes }), _("Choose All to see the longer jobs.")]
    : own.length === 0
      ? [_("No jobs"), _("Jobs appear here when an inspector has finished a walk or released what is marked.")]
      : [_("Nothing waits for you"), _("A job appears here when an inspector has finished a walk, or when the department before you has done its step.")];
  const on = minutes === null ? [el("p", {}, el("a", { class: "btn", href: "/" }, _("To the floor")))] : [];
  return el("div", { class: "empty pane-pad" }, el("b", {}, title), el("p", {}, what), ...on);
}

/** @param {string} title @param {Entry[]} entries @param {Choice} choice */
function section(title, entries, choice) {
  if (entries.length === 0) return [];
  const head = title ? [el("h2", { class: "bench-group" }, title)] : [];
  return [...head, el("div", { class: "lines" }, ...linesOf(entries, choice))];
}

/** @param {Entry[]} entries @param {Choice} choice */
function linesOf(entries, choice) {
  return entries.flatMap((entry, i) => {
    const before = entries[i - 1];
    return [...loadHead(before, entry, entries[i + 1]), line(entry, choice, samePart(before, entry) ? before : undefined)];
  });
}

/** What stands above the first of a booth load of several jobs. @param {Entry | undefined} before @param {Entry} entry @param {Entry | undefined} next */
function loadHead(before, { place, work }, next) {
  const [load, last, following] = [work, before?.work, next?.work].map((one) => JSON.stringify(one?.load ?? null));
  if (place !== "ready" || !work.load || load === last || load !== following) return [];
  const [colour, bake] = work.load;
  return [el("p", { class: "bench-load" }, pic("ui-gun"), bake === "trim" ? _("Booth load: %(colour)s, loose trim", { colour }) : _("Booth load: %(colour)s, on the van", { colour }))];
}

/** @param {Entry | undefined} before @param {Entry} entry */
function samePart(before, entry) {
  return before !== undefined && before.job.unit === entry.job.unit && before.job.part === entry.job.part;
}

/**
 * @param {Entry} entry
 * @param {Choice} choice
 * @param {Entry} [same] the one above, when it is of the same van and part: what it says already is not said again
 */
function line({ job, unit, part, kinds, why, booth, pending, method, place, alone }, { chosen, departments, catalogue }, same) {
  const what = kinds || method.label;
  const left = same
    ? el("span", { class: "bench-same" }, el("span", { class: "unseen" }, unit.last_six), pic("ui-same"), _("same part"))
    : el("span", {}, six(unit.last_six), el("span", { class: "line-sub" }, swatch(unit.colour_hex), unit.colour));
  const urgent = ["ready", "mine", "part"].includes(place) && (alone.late || job.pinned_at);
  const badges = [...(job.pinned_at ? [badge("ui-arrow", _("first"))] : []), ...(booth ? [badge("ui-gun", _("booth"))] : []), ...(pending ? [badge("ui-unsent", _("not sent yet"))] : []), ...(job.attempt > 1 ? [badge("ui-send-back", _("attempt %(n)s", { n: job.attempt }))] : [])];
  return el("button", { type: "button", class: same ? "line job-line job-line-same" : "line job-line", "data-act": "open", "data-job": job.id, "data-key": job.id,
    ...(job.id === chosen ? { "aria-current": "true" } : {}) },
  left,
  el("span", {}, el("span", { class: "line-title" }, part), el("span", { class: "line-sub" }, departments.length > 1 ? _("%(department)s: %(what)s", { department: catalogue.departments[job.department]?.short, what }) : what)),
  el("span", { class: "line-end" }, el("b", { class: "keep" }, lasting(job.minutes_planned))),
  el("span", { class: "line-sub line-why" }, ...badges, why === same?.why ? "" : why, ...(urgent ? [el("span", { class: "bench-late", ...(alone.late ? { "data-late": "" } : {}) }, capital(alone.why))] : [])));
}

/** @param {string} id @param {string} words */
export function badge(id, words) {
  return el("span", { class: "badge" }, pic(id), words);
}

/** @param {string} key @param {string} title @param {Entry[]} entries @param {Choice} choice */
function folded(key, title, entries, choice) {
  if (entries.length === 0) return [];
  return [fold(key, title, entries.length, el("div", { class: "lines" }, ...linesOf(entries, choice)))];
}

/** @param {string} key @param {string} title @param {number} n @param {HTMLElement} body */
function fold(key, title, n, body) {
  return el("details", { class: "fold bench-fold", "data-key": `fold-${key}` },
    el("summary", { "data-key": `sum-${key}` }, el("span", {}, title, " ", el("span", { class: "count" }, String(n)))), body);
}

/** @param {import("./model.js").Curing[]} curing @param {number} now */
function foldedCuring(curing, now) {
  if (curing.length === 0) return [];
  const lines = curing.map(({ unit, markers, part, until }) =>
    el("div", { class: "line job-line" },
      el("span", {}, six(unit.last_six), el("span", { class: "line-sub" }, swatch(unit.colour_hex), unit.colour)),
      el("span", {}, el("span", { class: "line-title" }, part), el("span", { class: "line-sub" }, allOf(markers.map((marker) => marker.tag)))),
      el("span", { class: "line-end" }, cure(until, now))));
  return [fold("curing", _("Curing, then the second look"), curing.length, el("div", { class: "lines" }, ...lines))];
}
