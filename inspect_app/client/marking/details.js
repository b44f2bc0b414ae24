/** All about one marker: severity, light, department of origin, exact size, kind, photos, withdrawing. */

import { el } from "../elements.js";
import { tenth, typed } from "../figures.js";
import { _, midway, together } from "../gettext.js";
import { capital } from "../in_words.js";
import { UNITS } from "../limits.js";
import { pressButton } from "../pieces.js";
import { shot } from "../shots.js";
import { openConcession } from "../ask_concession.js";
import { saidOf } from "./judge.js";
import { counter } from "./kept_line.js";

/**
 * @typedef {import("../types.js").Row} Row
 * @typedef {import("../outline.js").Outline} Outline
 *
 * @typedef {object} Deeds
 * @property {(change: Record<string, any>) => void} amend
 * @property {(origin: string) => void} origin
 * @property {(reason: string) => void} withdraw
 * @property {() => void} kind  choose another kind
 * @property {() => void} move  the next tap says where it really is
 * @property {(from: "camera" | "file") => void} photo
 * @property {(photo: Row) => void} removePhoto
 * @property {() => void} close
 */

const SHOWN = ["id", "tag", "state", "kind", "words", "size", "gap", "count", "severity", "raking", "origin", "origin_basis", "note", "joint", "limit_text", "found_at"];
const DECIDED = ["withdrawn", "cleared", "accepted", "conceded", "no_flaw"];

/**
 * What the drawer shows about a marker, and the key that tells when to build it anew.
 * @param {Row} marker
 * @param {Row[]} photos
 * @param {string} madeBy
 * @param {{outline: Outline, catalogue: any, deeds: Deeds}} with_
 * @returns {{key: unknown, build: () => HTMLElement[]}}
 */
export function aboutMarker(marker, photos, madeBy, with_) {
  return { key: ["details", SHOWN.map((name) => marker[name] ?? null), photos.map(({ id, state, marks }) => [id, state, marks]), madeBy], build: () => build(marker, photos, madeBy, with_) };
}

/** The station of the line it was found at, once the server has said so. @param {Row} marker @param {any} catalogue */
function foundAt({ found_at: station }, catalogue) {
  return station && _("Found at %(station)s.", { station: midway(catalogue.stations?.[station]?.label ?? station) });
}

/**
 * @param {Row} marker
 * @param {Row[]} photos
 * @param {string} madeBy
 * @param {{outline: Outline, catalogue: any, deeds: Deeds}} with_
 */
function build(marker, photos, madeBy, { catalogue, deeds }) {
  const kind = catalogue.kinds[marker.kind];
  const title = el("h2", {}, el("span", { class: "tag", "data-state": marker.state }, marker.tag), ` ${kind?.label ?? marker.kind}`);
  const said = saidOf(marker);
  const facts = el("p", { class: "hush" }, together(`${capital(marker.words)}.`, said && `${capital(said.text)}.`, madeBy && _("Marked by %(name)s.", { name: madeBy }), foundAt(marker, catalogue), marker.note && _("Note: %(note)s", { note: marker.note })));
  const head = el("div", { class: "drawer-head" }, title, pressButton(_("Close"), deeds.close, { class: "btn btn-word", "data-key": "close" }));
  if (DECIDED.includes(marker.state)) return [head, facts, pictures(photos, deeds)];
  const again = el("div", { class: "row" }, pressButton(_("Change the kind"), deeds.kind, { "data-key": "kind" }), ...(marker.x == null ? [] : [pressButton(_("Move it"), deeds.move, { "data-key": "move" })]),
    pressButton(_("Ask for a concession"), () => openConcession({ unit: marker.unit, marker: /** @type {any} */ (marker) }), { "data-key": "concede" }));
  const sheet = el("div", { class: "stack" }, facts, severity(marker, catalogue, deeds), howMany(marker, deeds), light(marker, deeds), exact(marker, kind, deeds), origin(marker, catalogue, deeds), again, pictures(photos, deeds), withdrawal(marker, deeds));
  return [head, sheet];
}

/** @param {Row} marker @param {any} catalogue @param {Deeds} deeds */
function severity(marker, catalogue, deeds) {
  const grades = /** @type {{key: string, label: string, meaning: string, order: number}[]} */ (Object.values(catalogue.severities)).sort((a, b) => a.order - b.order);
  const choices = grades.map(({ key, meaning }) => pressButton(key, () => deeds.amend({ severity: key }), { "aria-pressed": String(marker.severity === key), title: meaning, "data-key": key }));
  const now = catalogue.severities[marker.severity];
  return el("fieldset", { class: "field" }, el("legend", {}, _("Severity")), el("div", { class: "choices" }, ...choices), el("p", { class: "hint" }, now ? _("%(severity)s: %(label)s. %(meaning)s", { severity: marker.severity, ...now }) : ""));
}

/** @param {Row} marker @param {Deeds} deeds */
function howMany(marker, deeds) {
  return el("div", { class: "row" }, el("span", {}, _("How many")), counter(marker, deeds.amend));
}

/** @param {Row} marker @param {Deeds} deeds */
function light(marker, deeds) {
  return pressButton(_("Seen only in raking light"), () => deeds.amend({ raking: !marker.raking }), { "aria-pressed": String(Boolean(marker.raking)), "data-key": "raking" });
}

/** A size that is on no button. @param {Row} marker @param {any} kind @param {Deeds} deeds */
function exact(marker, kind, deeds) {
  const gap = kind?.measure === "gap" && Boolean(marker.joint);
  if (!gap && (kind?.sizes ?? []).length === 0) return "";
  const value = gap ? marker.gap : marker.size;
  const input = /** @type {HTMLInputElement} */ (el("input", { class: "input input-short", id: "exact-size", inputmode: "decimal", autocomplete: "off", value: value == null ? "" : tenth(value), "data-key": "exact" }));
  const fault = el("p", { class: "fault", id: "exact-fault", role: "alert" });
  const most = gap ? 1000 : 20 * (kind.sizes.at(-1) ?? 3000); // as trade/sizes.py has it: more cannot be meant
  const form = el("form", { class: "field" }, el("label", { for: "exact-size" }, gap ? _("Gap as measured") : _("Size as measured")),
    el("div", { class: "with-unit" }, input, el("span", { class: "hush" }, gap ? UNITS.mm ?? "" : UNITS[kind.unit] ?? kind.unit), el("button", { class: "btn", type: "submit", "data-key": "set-exact" }, _("Set"))), fault);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const tenths = Math.round(typed(input.value) * 10);
    const good = Number.isFinite(tenths) && tenths >= (gap ? -500 : 1) && tenths <= most;
    fault.textContent = good ? "" : _("Write a number from %(least)s to %(most)s, for example %(example)s.", { least: gap ? "-50" : tenth(1), most: tenth(most), example: tenth(15) });
    if (good) deeds.amend({ [gap ? "gap" : "size"]: tenths });
  });
  return form;
}

/** @param {Row} marker @param {any} catalogue @param {Deeds} deeds */
function origin(marker, catalogue, deeds) {
  const departments = /** @type {{key: string, label: string, order: number}[]} */ (Object.values(catalogue.departments).filter((/** @type {any} */ one) => !one.retired || one.key === marker.origin)).sort((a, b) => a.order - b.order);
  const select = /** @type {HTMLSelectElement} */ (el("select", { class: "input input-medium", id: "origin", "data-key": "origin" }, ...departments.map(({ key, label }) => el("option", { value: key, ...(key === marker.origin ? { selected: "" } : {}) }, label))));
  select.addEventListener("change", () => deeds.origin(select.value));
  const judged = marker.origin_basis === "judged";
  const confirm = judged ? "" : pressButton(_("It is so"), () => deeds.origin(select.value), { "data-key": "origin-so" });
  return el("div", { class: "field" }, el("label", { for: "origin" }, _("Department of origin")), el("div", { class: "with-unit" }, select, confirm),
    el("p", { class: "hint" }, judged ? _("Judged by a person.") : _("Assumed from the kind; confirm or correct it if you know.")));
}

/** @param {Row[]} photos @param {Deeds} deeds */
function pictures(photos, deeds) {
  const shown = photos.filter((photo) => photo.state !== "removed");
  const buttons = el("div", { class: "row" }, pressButton(_("Take a photo"), () => deeds.photo("camera"), { "data-key": "camera" }), pressButton(_("Photo from a file"), () => deeds.photo("file"), { "data-key": "from-file" }));
  return el("div", { class: "stack" }, buttons, el("div", { class: "pair" }, ...shown.map((photo) => picture(photo, deeds))));
}

/** @param {Row} photo @param {Deeds} deeds */
function picture(photo, deeds) {
  const caption = photo.state === "awaited" ? _("Found, not sent yet") : _("Found");
  return el("div", {}, shot(photo, caption), pressButton(_("Remove"), () => deeds.removePhoto(photo), { class: "btn btn-word", "data-key": `remove-${photo.id}` }));
}

/** @param {Row} marker @param {Deeds} deeds */
function withdrawal(marker, deeds) {
  if (marker.state !== "open") return "";
  const input = /** @type {HTMLInputElement} */ (el("input", { class: "input", id: "why-withdrawn", maxlength: "300", placeholder: _("for example: dust, it wiped off"), "data-key": "why" }));
  const fault = el("p", { class: "fault", role: "alert" });
  const form = el("form", { class: "field" }, el("label", { for: "why-withdrawn" }, _("Withdraw, because")), el("div", { class: "with-unit" }, input, el("button", { class: "btn btn-wrong", type: "submit", "data-key": "withdraw" }, _("Withdraw"))), fault);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const reason = input.value.trim();
    fault.textContent = reason ? "" : _("Say in a few words why it is withdrawn.");
    if (reason) deeds.withdraw(reason);
  });
  return form;
}
