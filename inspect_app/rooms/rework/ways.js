/** The ways to put a job's flaws right: which methods are open, which are barred and why, and what is left of the clear. */

import { el } from "../../client/elements.js";
import { lasting, microns } from "../../client/figures.js";
import { N_, _, allOf, inTurn, midway, ngettext, together } from "../../client/gettext.js";
import { capital, moment, sentence } from "../../client/in_words.js";
import { button } from "../../client/pieces.js";
import { moreOf, named, nextFilm, removalOf } from "./film.js";
import { offered, openMethods } from "./open.js";

/** @typedef {import("./model.js").Entry} Entry */
/** @typedef {import("./job.js").Setting} Setting */
/** @typedef {import("../../client/types.js").Row} Row */
/** @typedef {import("./open.js").Opened} Opened */

/**
 * @typedef {object} Ways
 * @property {string[]} keys  methods that come into question, mildest first
 * @property {Record<string, string[]>} barred  reasons by method, with the tags where there are several markers
 * @property {{marker: Row, opened: Opened}[]} spots
 */

const FLAT = ["roof"];
const LISTED = ["openings", "inside"];

/** How each fact is asked for and answered; the others need a gauge or follow from the drawing. @type {Record<string, {ask: string, answers: [string | boolean, string][]}>} */
const ASKED = {
  depth: { ask: N_("How deep does it go: clear, base, primer or through?"), answers: [["clear", N_("clear")], ["base", N_("base")], ["primer", N_("primer")], ["metal", N_("metal")], ["plastic", N_("plastic")]] },
  on_edge: { ask: N_("Does it lie within 15 mm of an edge or crease?"), answers: [[true, N_("yes")], [false, N_("no")]] },
  nail_catches: { ask: N_("Does a fingernail catch in it?"), answers: [[true, N_("yes")], [false, N_("no")]] },
  cured: { ask: N_("Is the film cured through?"), answers: [[true, N_("yes")], [false, N_("no")]] },
  body_repaired: { ask: N_("Was body metal repaired here?"), answers: [[true, N_("yes")], [false, N_("no")]] },
  driver_view: { ask: N_("Is it in the driver's view?"), answers: [[true, N_("yes")], [false, N_("no")]] },
  traced: { ask: N_("Has the leak been traced?"), answers: [[true, N_("yes")], [false, N_("no")]] },
};

/**
 * What is known of a marker, as the rules ask for it.
 * @param {Row} marker
 * @param {Pick<Setting, "outline">} setting
 */
export function factsOf(marker, { outline }) {
  const zones = (outline?.views ?? []).flatMap((/** @type {any} */ view) => view.zones);
  const zone = zones.find((/** @type {any} */ one) => one.id === marker.zone);
  return {
    kind: marker.kind, material: zone?.material ?? null, surface_class: marker.class, paint: ["ours", "maker"].includes(zone?.paint) ? zone.paint : null, size: marker.size,
    count: marker.count ?? 1,
    horizontal: LISTED.includes(marker.view) ? null : FLAT.includes(marker.view) || marker.part.startsWith("bonnet"), ...seenOf(marker),
  };
}

/** What somebody saw of it close by. @param {Row} marker @returns {Record<string, any>} */
function seenOf(marker) {
  return JSON.parse(marker.examined ?? "{}");
}

/** @param {Row} row @returns {import("./film.js").Place | null} */
function placeOf(row) {
  return row.x === null || row.x === undefined || row.y === null ? null : { view: row.view, x: row.x, y: row.y, spread: row.spread ?? 0 };
}

/** What was done to the film of a part and when, the oldest first. @param {Row} about a marker on it @param {Pick<Setting, "state" | "catalogue">} setting */
function workOf(about, { state, catalogue }) {
  const places = new Map((state.markers ?? []).filter((one) => one.unit === about.unit && one.part === about.part).map((one) => [one.id, one]));
  const work = (state.work ?? []).filter((one) => places.has(one.marker) && catalogue.methods[one.method]);
  work.sort((a, b) => a.at - b.at || (a.n ?? Infinity) - (b.n ?? Infinity) || String(a.id).localeCompare(String(b.id)));
  return work.flatMap((one) => {
    const done = removalOf(catalogue.methods[one.method], one.department, one.film, placeOf(/** @type {Row} */ (places.get(one.marker))));
    return done ? [{ at: one.at, done }] : [];
  });
}

/**
 * The row of the film reading that counts at a marker, the latest for it or for its part; null when a new film lies on it since.
 * @param {Row} marker
 * @param {{at: number, done: import("./film.js").Removal}[]} work
 * @param {Pick<Setting, "state">} setting
 * @returns {Row | null}
 */
function readingAt(marker, work, { state }) {
  const fits = (/** @type {Row} */ one) => one.unit === marker.unit && one.part === marker.part && (one.told.film ?? null) !== null && (one.told.where ?? "body") === "body" && (!one.for_marker || one.for_marker === marker.id);
  const held = (state.readings ?? []).filter(fits).sort((a, b) => b.at - a.at || (b.n ?? 0) - (a.n ?? 0))[0];
  return !held || work.some(({ at, done }) => done.renews && at > held.at) ? null : held;
}

/** @param {Row} marker @param {ReturnType<typeof workOf>} work @param {Pick<Setting, "state">} setting @returns {import("./film.js").Reading | null} */
function readingOf(marker, work, setting) {
  const held = readingAt(marker, work, setting);
  return held && { method: held.told.method, film: held.told.film, after: work.filter(({ at }) => at <= held.at).length };
}

/** What the rules leave for a marker, as it is known now. @param {Row} marker @param {Pick<Setting, "catalogue" | "rules" | "state" | "outline">} setting */
export function openOf(marker, setting) {
  const work = workOf(marker, setting);
  return openMethods(setting.catalogue, /** @type {import("./open.js").Rules} */ (setting.rules), factsOf(marker, setting),
    { here: placeOf(marker), removals: work.map(({ done }) => done), reading: readingOf(marker, work, setting) });
}

/**
 * @param {Entry} entry
 * @param {Setting} setting
 * @returns {Ways | null} null where the rules are not here yet
 */
export function waysOf({ markers }, setting) {
  const { catalogue, rules } = setting;
  if (!rules || markers.length === 0) return null;
  const spots = markers.filter((marker) => catalogue.kinds[marker.kind]).map((marker) => ({ marker, opened: openOf(marker, setting) }));
  /** @type {Record<string, string[]>} */
  const barred = {};
  for (const { marker, opened } of spots) {
    for (const [key, reasons] of Object.entries(opened.barred)) {
      const told = spots.length > 1 ? reasons.map((reason) => _("%(tag)s: %(what)s", { tag: marker.tag, what: reason })) : reasons;
      barred[key] = [...(barred[key] ?? []), ...told];
    }
  }
  return { keys: [...new Set(markers.flatMap((marker) => offered(catalogue, rules, marker.kind)))], barred, spots };
}

/** Why the job cannot be begun as it is; null when it can. @param {Entry} entry @param {Setting} setting @returns {string[] | null} */
export function barredNow(entry, setting) {
  const { job, place } = entry;
  if (place !== "ready" || job.step > 1 || job.method_reason) return null;
  const unsaid = { ...entry, markers: entry.markers.filter((marker) => !marker.method_reason) };
  const found = waysOf(unsaid, setting);
  if (job.method === "blend_neighbour" && !found?.barred.refinish) return null; // a refinish that goes on into the neighbour
  return found?.barred[job.method] ?? null;
}

/** May another way still be chosen? @param {Entry} entry @param {boolean} mover who may move the job at all */
export function mayChoose({ chain, job, place }, mover) {
  return mover && ["ready", "mine", "part"].includes(place) && job.step === 1 && !chain.some((one) => one.state === "done" || one.method !== job.method);
}

/**
 * @param {Entry} entry
 * @param {Setting} setting
 * @param {boolean} mover
 * @returns {HTMLElement[]}
 */
export function waysPart(entry, setting, mover) {
  const found = entry.place === "over" ? null : waysOf(entry, setting);
  if (!found) return [];
  const may = mayChoose(entry, mover);
  const keys = found.keys.includes(entry.job.method) ? found.keys : [entry.job.method, ...found.keys];
  const rows = keys.map((key) => wayLine(key, entry, setting, found.barred[key] ?? [], may));
  return [el("section", { class: "stack", "aria-label": _("Ways to put it right") }, el("h3", {}, _("Ways to put it right")), el("ul", { class: "ways" }, ...rows),
    ...filmLines(entry, setting, found), ...(mover ? questions(found, setting) : []))];
}

/** @param {string} key @param {Entry} entry @param {Setting} setting @param {string[]} reasons @param {boolean} may */
function wayLine(key, { job, markers, method: now }, { catalogue, people }, reasons, may) {
  const method = catalogue.methods[key] ?? now;
  const [here, shut] = [key === job.method, reasons.length > 0];
  const who = job.method_by ? people.get(job.method_by)?.name : null;
  const reason = job.method_reason ?? markers.find((marker) => marker.method_reason && marker.method === job.method)?.method_reason;
  const why = here && reason ? [el("span", { class: "line-sub" }, who ? _("Done all the same, %(name)s: %(reason)s", { name: who, reason: sentence(reason) }) : _("Done all the same: %(reason)s", { reason: sentence(reason) }))] : [];
  const name = capital(method.label);
  const title = shut ? [el("s", {}, name), el("span", { class: "unseen" }, " ", _("barred"))] : [name];
  const words = shut ? _("Do it all the same") : _("Do it this way");
  const press = may && !(here && (!shut || reason))
    ? [button(words, { class: shut ? "btn btn-word" : "btn", "data-act": "way", "data-method": key, "data-key": `way-${key}`, "aria-label": _("%(tag)s: %(what)s", { tag: name, what: midway(words) }) })] : [];
  return el("li", { "data-way": shut ? "barred" : "open", "data-method": key, ...(here ? { "aria-current": "true" } : {}) },
    el("span", {}, el("span", { class: "line-title" }, ...title, ...(here ? [" ", el("span", { class: "badge way-here" }, _("this job"))] : [])),
      el("span", { class: "line-sub" }, shut ? sentence(reasons.join("; ")) : stepsWords(method, markers, catalogue)), ...why), ...press);
}

/** Who does it and how long it takes. @param {any} method @param {Row[]} markers @param {any} catalogue */
function stepsWords(method, markers, catalogue) {
  const spots = Math.min(12, markers.reduce((sum, marker) => sum + (marker.count ?? 1), 0));
  const minutes = method.chain.reduce((/** @type {number} */ sum, /** @type {any} */ step) => sum + step.minutes_base + step.minutes_spot * spots, 0);
  const departments = [...new Set(method.chain.map((/** @type {any} */ step) => catalogue.departments[step.department]?.short ?? step.department))];
  return inTurn([departments.join(" → "), lasting(minutes), ...(method.booth ? [_("needs the booth")] : [])]);
}

/** What earlier work has left of the clear, where any was taken or would be. @param {Entry} entry @param {Setting} setting @param {Ways} found */
function filmLines({ method, place, chain }, setting, { spots }) {
  const told = spots.filter(({ marker, opened }) => opened.left && (opened.left.perhaps > 0 || (method.film && !method.renews_film) || readingAt(marker, workOf(marker, setting), setting)));
  return told.map(({ marker, opened }) => {
    const left = /** @type {import("./film.js").Left} */ (opened.left);
    const before = left.attempts > 0 ? ngettext("%(tag)s: film was taken off here once.", "%(tag)s: film was taken off here %(n)s times.", left.attempts, { tag: marker.tag }) : _("%(tag)s: no film was taken off here.", { tag: marker.tag });
    const takes = takesOf(marker, chain, setting);
    const next = !takes || place === "over" || left.bars ? null : budgetWords(left, takes);
    return el("p", { class: "film-line", "data-film": left.outcome, "data-marker": marker.id }, together(before, sentence(left.text), next, readWords(marker, setting)));
  });
}

/** What the next polish of a marker takes off, as journal/film.py reckons it. @param {Row} marker @param {Row[]} chain @param {Setting} setting */
function takesOf(marker, chain, { catalogue, rules }) {
  const coming = [...chain.filter(({ state }) => state !== "done").map(({ method }) => method), marker.method];
  const kinds = offered(catalogue, /** @type {import("./open.js").Rules} */ (rules), marker.kind);
  return nextFilm(coming.map((key) => catalogue.methods[key]), kinds.map((key) => catalogue.methods[key]));
}

/** In the words of rooms/readings/film.py. @param {import("./film.js").Left} left @param {number} takes */
function budgetWords(left, takes) {
  const [more, film] = [moreOf(left, takes), microns(takes)];
  if (more === 0) return _("One more of about %(film)s would be over the budget.", { film });
  return ngettext("One more of about %(film)s is within the budget.", "%(n)s more of about %(film)s each are within the budget.", more, { film });
}

/** The film reading that counts at a marker, by whom and when; null where none does. @param {Row} marker @param {Setting} setting */
function readWords(marker, setting) {
  const held = readingAt(marker, workOf(marker, setting), setting);
  if (!held) return null;
  const film = _("%(film)s (%(gauge)s)", { film: microns(held.told.film), gauge: _(named(held.told)) });
  const who = setting.people.get(held.person ?? "")?.name;
  return _("Film read: %(what)s.", { what: inTurn([film, ...(who ? [who] : []), moment(held.at, setting.now)]) });
}

/** What would decide more, one tap each; for the chosen marker, or for all. @param {Ways} found @param {Setting} setting */
function questions({ spots }, { marker: chosen }) {
  const about = spots.filter(({ marker }) => !chosen || marker.id === chosen || !spots.some((one) => one.marker.id === chosen));
  const asks = Object.keys(ASKED).filter((name) => about.some(({ marker, opened }) => opened.asks.includes(name) || name in seenOf(marker)));
  const gauge = about.some(({ opened }) => opened.asks.includes("film") || opened.asks.includes("clear_left"));
  if (asks.length === 0) return [];
  const ids = about.map(({ marker }) => marker.id).join(" ");
  const fields = asks.map((name) => {
    const { ask, answers } = /** @type {{ask: string, answers: [string | boolean, string][]}} */ (ASKED[name]);
    const buttons = answers.map(([value, words]) => button(capital(_(words)), { "data-act": "seen", "data-fact": name, "data-value": String(value), "data-key": `seen-${name}-${value}`,
      "aria-pressed": String(about.every(({ marker }) => seenOf(marker)[name] === value)) }));
    return el("div", { class: "field" }, el("h4", {}, _(ask)), el("div", { class: "reasons", role: "group", "aria-label": _(ask), "data-markers": ids }, ...buttons));
  });
  const tags = allOf(about.map(({ marker }) => marker.tag));
  return [el("details", { class: "fold ways-ask", "data-key": "ways-ask" }, el("summary", { "data-key": "ways-ask-open" }, _("What decides more: look at %(tags)s closely", { tags })),
    ...fields, ...(gauge ? [el("p", { class: "hush" }, _("A film reading would decide more, too."))] : []))];
}
