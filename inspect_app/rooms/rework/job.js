/** The right pane: one job, from what the van is to what one does next. */

import { el } from "../../client/elements.js";
import { lasting, microns } from "../../client/figures.js";
import { _, allOf, inTurn, midway, ngettext, together } from "../../client/gettext.js";
import { capital, dueWords, kindWords, moment, sentence } from "../../client/in_words.js";
import { pic } from "../../client/pictograms.js";
import { button, ringSmall, says, six, swatch, tag } from "../../client/pieces.js";
import { cautionsOf } from "./cautions.js";
import { coveredSays } from "./covered.js";
import { cure } from "../../client/curing.js";
import { heldLine } from "../../client/held.js";
import { photosOf, shot } from "../../client/shots.js";
import { stepBefore } from "./model.js";
import { barredNow } from "./ways.js";

/** @typedef {import("./model.js").Entry} Entry */
/** @typedef {import("../../client/types.js").Row} Row */

/**
 * @typedef {object} Setting  what the pane needs besides the job
 * @property {any} catalogue
 * @property {import("../../client/state.js").State} state
 * @property {import("../../client/types.js").Me | null} me
 * @property {Map<string, Row>} people
 * @property {number} now
 * @property {string | null} marker  the chosen one
 * @property {Set<string>} seen  cautions read
 * @property {import("../../client/types.js").KeptAnswer[]} held
 * @property {string | null} next  the job to go on to
 * @property {import("./open.js").Rules | null} rules  of open methods; null where the tablet has none yet
 * @property {any} outline  of the unit
 */

/** May this person do the work of this job? @param {Entry} entry @param {Setting} setting */
export function mayWork({ job }, { me }) {
  return Boolean(me?.roles.includes("technician") && me.departments.includes(job.department));
}

/** @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function jobHead({ unit, part, kinds, method, job, booth }, { now }) {
  const back = button(_("Jobs"), { class: "btn btn-word bench-back", "data-act": "back", "data-key": "back" }, pic("ui-back"));
  const where = inTurn([unit.colour, `${unit.make} ${unit.model}`, ...(unit.place ? [unit.place] : []), ...(unit.keys ? [_("keys %(keys)s", { keys: unit.keys })] : []), dueWords(unit.due, now)]);
  const head = el("div", { class: "bench-head" }, six(unit.last_six, "large"),
    el("div", {}, el("h2", {}, _("%(part)s: %(what)s", { part, what: kinds || method.label })),
      el("p", { class: "hush" }, swatch(unit.colour_hex), ` ${where}`)));
  const facts = [lasting(job.minutes_planned), ...(booth ? [_("needs the booth")] : []), ...(job.attempt > 1 ? [_("attempt %(n)s", { n: job.attempt })] : [])];
  const readings = el("a", { class: "bench-readings", href: `/units/${unit.id}/readings?part=${encodeURIComponent(job.part)}`, "data-key": "readings" }, _("Readings"));
  return [back, head, el("p", { class: "hush small" }, inTurn([capital(method.label), ...facts]), " ", readings)];
}

/** The departments in their order, and where the part is now. @param {Entry} entry @param {Setting} setting */
export function chainLine({ chain, job, markers }, { catalogue }) {
  const steps = chain.map((step) => {
    const state = step.state === "done" ? "done" : step.id === job.id ? "here" : "to_come";
    const words = `${catalogue.departments[step.department]?.label ?? step.department}`;
    return el("li", { "data-state": state, ...(step.id === job.id && job.state !== "done" ? { "aria-current": "step" } : {}) },
      state === "done" ? el("span", {}, words, el("span", { class: "unseen" }, ", ", _("done"))) : words);
  });
  const waits = job.state === "done" && markers.length > 0 && markers.every((marker) => marker.state === "reworked");
  return el("ol", { class: "chain", "aria-label": _("Steps") }, ...steps, el("li", waits ? { "aria-current": "step" } : {}, _("Second look")));
}

/** Who comes after this step, in a sentence. @param {Entry} entry @param {Setting} setting @param {boolean} isDone */
export function whoIsNext({ chain, job, markers, method }, { catalogue, now }, isDone) {
  const next = chain.find((step) => step.step === job.step + 1 && step.state !== "done");
  if (next) return _("%(department)s is next.", { department: catalogue.departments[next.department]?.label ?? next.department });
  const tags = allOf(markers.map((marker) => marker.tag));
  const until = Math.max(0, ...markers.map((marker) => marker.cure_until ?? 0)) || (method.wait_minutes ? now + method.wait_minutes * 60_000 : 0);
  const when = until > now ? moment(until, now) : null;
  if (!isDone) return when ? _("The second look is next, not before %(when)s.", { when }) : _("The second look is next.");
  const who = { tags: tags || _("It"), when };
  return when ? ngettext("%(tags)s now waits for its second look, not before %(when)s.", "%(tags)s now wait for their second look, not before %(when)s.", markers.length, who)
    : ngettext("%(tags)s now waits for its second look.", "%(tags)s now wait for their second look.", markers.length, who);
}

/** What is to be said about it now. @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function jobSays(entry, setting) {
  const { job, markers, place } = entry;
  const said = setting.held.map(heldLine);
  if (entry.pending) said.push(says(_("Kept on this tablet, not sent yet. It goes out by itself.")));
  const returned = [...new Set(markers.map((marker) => marker.returned_for).filter(Boolean))];
  if (place === "over") return [...said, over(entry, setting, setting.next)];
  if (returned.length > 0) said.push(says(_("Sent back from the second look: %(reasons)s", { reasons: returned.map((reason) => sentence(reason)).join(" ") }), "wrong"));
  const bars = barredNow(entry, setting);
  if (bars && !entry.covered) said.push(says(_("This way is barred here: %(reasons)s Choose another way below, or say why it is done all the same.", { reasons: sentence(bars.join("; ")) }), "wrong"));
  said.push(...coveredSays(entry, setting), ...standing(entry, setting));
  if (job.along) said.push(says(sentence(job.along)));
  if (job.otherwise) said.push(says(_("Otherwise than the plan proposed, %(name)s: %(reason)s", { name: setting.people.get(job.otherwise_by)?.name ?? "", reason: sentence(job.otherwise) })));
  if (job.reason && returned.length === 0) said.push(says(_("It came back: %(reason)s", { reason: sentence(job.reason) })));
  return said;
}

/** Who has it, or what it waits for. @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
function standing(entry, setting) {
  const { job, place } = entry;
  const { people, now, catalogue } = setting;
  const since = moment(job.taken_at ?? now, now);
  if (place === "part") return [waitingFor(entry, setting)];
  if (place === "others") {
    const whose = people.has(job.taken_by) ? _("%(name)s has had it since %(when)s.", { name: people.get(job.taken_by)?.name, when: since }) : _("Someone else has had it since %(when)s.", { when: since });
    return [says(together(whose, setting.me?.roles.includes("manager") ? "" : _("Only they or a manager can hand it back or send it elsewhere.")))];
  }
  if (place === "waiting") return [says(_("Its turn has not come: it waits for %(what)s.", { what: stepBefore(entry.chain, catalogue) }))];
  if (place === "mine") return [says(together(_("Yours since %(when)s.", { when: since }), whoIsNext(entry, setting, false)))];
  if (mayWork(entry, setting)) return [];
  return [says(_("This step is done by %(department)s; you can look, and send it elsewhere if it is not theirs.", { department: midway(catalogue.departments[job.department]?.label ?? "") }))];
}

/** @param {Entry} entry @param {Setting} setting @param {string | null} next */
function over(entry, setting, next) {
  const { job, markers } = entry;
  const go = next ? [button(_("Next job"), { class: "btn", "data-act": "open", "data-job": next, "data-key": "next" }, pic("ui-arrow"))] : [];
  if (job.state === "cancelled" || markers.length === 0) return says(_("Nothing is left to do here: its markers were decided otherwise."), "", ...go);
  const who = setting.people.get(job.done_by)?.name ?? _("you");
  const until = Math.max(0, ...markers.filter((marker) => marker.state === "reworked").map((marker) => marker.cure_until ?? 0));
  const clock = until > setting.now ? [cure(until, setting.now)] : [];
  return says(together(_("Done: %(time)s, %(name)s.", { time: lasting(job.minutes ?? 0), name: who }), whoIsNext(entry, setting, true)), "", ...clock, ...go);
}

/** @param {Entry} entry @param {Setting} setting */
function waitingFor(entry, setting) {
  const come = mayWork(entry, setting) ? [button(_("It has come"), { "data-act": "come", "data-key": "come" }, pic("ui-box"))] : [];
  return says(sentence(entry.why), "", ...come);
}

/** The markers of the job with their photos. @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function markLines(entry, setting) {
  if (entry.markers.length === 0) return [];
  const jobs = new Set(entry.chain.map((job) => job.id));
  const photos = setting.state.photos ?? [];
  const lines = entry.markers.map((marker) => {
    const shown = [...photosOf(photos, marker.id, jobs, "found"), ...photosOf(photos, marker.id, jobs, "after")];
    const figures = shown.map((photo) => shot(photo, photo.role === "after" ? _("%(tag)s after", { tag: marker.tag }) : _("%(tag)s as found", { tag: marker.tag })));
    return el("div", { class: "bench-mark" }, markLine(marker, entry, setting), ...(figures.length > 0 ? [el("div", { class: "shots" }, ...figures)] : []));
  });
  return [el("div", { class: "lines" }, ...lines)];
}

/** @param {Row} marker @param {Entry} entry @param {Setting} setting */
function markLine(marker, entry, setting) {
  const { catalogue } = setting;
  const sub = [marker.words, ...(marker.raking ? [_("seen only in raking light")] : []), ...(marker.note ? [`“${marker.note}”`] : [])].join("; ");
  const severity = catalogue.severities[marker.severity];
  const pick = el("button", { type: "button", class: "bench-pick", "data-act": "mark", "data-marker": marker.id, "data-key": `mark-${marker.id}`,
    "aria-pressed": String(marker.id === setting.marker) },
  ringSmall(/** @type {any} */ (marker)), tag(marker.tag, marker.state),
  el("span", {}, el("span", { class: "line-title" }, kindWords(catalogue, marker)), el("span", { class: "line-sub" }, sub),
    ...(marker.alone_verdict ? [el("span", { class: "line-sub", "data-cluster": marker.verdict }, sentence(marker.limit_text))] : []),
    ...(severity ? [el("span", { class: "line-sub" }, _("%(severity)s: %(label)s", { severity: marker.severity, label: severity.label }))] : [])));
  const can = mayWork(entry, setting) && ["mine", "ready"].includes(entry.place);
  const buttons = can
    ? [el("span", { class: "bench-not" }, markButton("lost", _("Cannot find it"), marker), markButton("noflaw", _("No flaw"), marker))]
    : [];
  return el("div", { class: "bench-line" }, pick, ...buttons);
}

/** @param {string} act @param {string} words @param {Row} marker */
function markButton(act, words, marker) {
  return button(words, { class: "btn btn-word", "data-act": act, "data-marker": marker.id, "data-key": `${act}-${marker.id}`, "aria-label": _("%(tag)s: %(what)s", { tag: marker.tag, what: midway(words) }) });
}

/** @param {Entry} entry @returns {HTMLElement[]} */
export function methodPart({ method, job }) {
  const film = method.film ? el("p", { class: "hush" }, _("Takes about %(film)s of film a time.", { film: microns(method.film) })) : null;
  const materials = method.materials?.length ? el("p", {}, el("b", {}, _("Materials:")), ` ${inTurn(method.materials.map((/** @type {string} */ one) => _(one)))}.`) : null;
  return [el("section", { class: "stack" }, el("h3", {}, capital(method.label)), el("p", {}, el("b", {}, _("Your step:")), " ", _(String(job.text))),
    el("ol", { class: "steps" }, ...method.steps.map((/** @type {string} */ step) => el("li", {}, el("span", {}, step)))),
    ...(materials ? [materials] : []), ...(film ? [film] : []))];
}

/** Which department it came from: assumed until someone says so, in one tap. @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function originPart({ markers }, { catalogue, me, marker: chosen }) {
  const may = me?.roles.some((role) => ["technician", "inspector", "manager"].includes(role));
  const about = markers.filter((marker) => !chosen || marker.id === chosen || !markers.some((one) => one.id === chosen));
  if (!may || about.length === 0) return [];
  const origins = [...new Set(about.map((marker) => marker.origin))];
  const judged = about.every((marker) => marker.origin_basis === "judged");
  const only = origins.length === 1 ? origins[0] : null;
  const label = (/** @type {string} */ key) => midway(catalogue.departments[key]?.label ?? key);
  const known = { tags: allOf(about.map((marker) => marker.tag)), departments: allOf(origins.map(label)) };
  const lead = judged ? _("%(tags)s: %(departments)s, judged.", known) : _("%(tags)s: %(departments)s, only assumed. Tap to confirm or correct.", known);
  const choices = Object.values(catalogue.departments).filter((/** @type {any} */ one) => one.key !== "inspection" && (!one.retired || origins.includes(one.key))).map((/** @type {any} */ one) =>
    button(one.label, { "data-act": "origin", "data-department": one.key, "data-key": `origin-${one.key}`,
      "aria-pressed": String(one.key === only && judged), ...(one.key === only && !judged ? { "data-assumed": "" } : {}) }));
  return [el("section", { class: "stack" }, el("h3", {}, _("Where it came from")), el("p", { class: "hush" }, lead),
    el("div", { class: "reasons", role: "group", "aria-label": _("Department of origin"), "data-markers": about.map((marker) => marker.id).join(" ") }, ...choices))];
}

/** Whose hands may move this job. @param {Entry} entry @param {Setting} setting */
export function hands(entry, setting) {
  const { job } = entry;
  const { me } = setting;
  const manager = Boolean(me?.roles.includes("manager"));
  const elsewhere = job.state === "taken" && job.taken_by !== me?.person;
  const worker = mayWork(entry, setting) && !elsewhere;
  return { elsewhere, manager, worker, mover: Boolean(worker || manager || (me?.roles.includes("inspector") && !elsewhere)) };
}

/** @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function otherwisePart(entry, setting) {
  const { place } = entry;
  if (!["mine", "ready", "part", "others"].includes(place)) return [];
  const { elsewhere, manager, worker, mover } = hands(entry, setting);
  const offers = [
    ...(elsewhere && manager ? [button(_("Hand it back for them"), { "data-act": "handback", "data-key": "handback" }, pic("ui-hand-back"))] : []),
    ...(manager ? [entry.job.pinned_at ? button(_("Back into its turn"), { "data-act": "pin", "data-pinned": "false", "data-key": "pin" }) : button(_("This one first"), { "data-act": "pin", "data-pinned": "true", "data-key": "pin" })] : []),
    ...(mover ? [button(_("Wrong department"), { "data-act": "reroute", "data-key": "reroute" })] : []),
    ...(worker ? [button(_("Add a step before this one"), { "data-act": "step", "data-key": "step" })] : []),
    ...(worker && place !== "part" ? [button(_("Waiting for a part or material"), { "data-act": "wait", "data-key": "wait" })] : []),
  ];
  return offers.length === 0 ? [] : [el("section", { class: "stack" }, el("h3", {}, _("If it does not go like that")), el("div", { class: "reasons" }, ...offers))];
}

/** The one thing to do next. @param {Entry} entry @param {Setting} setting @returns {HTMLElement[]} */
export function jobFoot(entry, setting) {
  if (!mayWork(entry, setting)) return [];
  if (entry.place === "mine") {
    return [button(_("My step is done"), { class: "btn btn-main btn-large", "data-act": "done", "data-key": "main" }, pic("ui-check")),
      button(_("Hand back"), { class: "btn", "data-act": "handback", "data-key": "handback" }, pic("ui-hand-back"))];
  }
  if (entry.place !== "ready") return [];
  if (barredNow(entry, setting)) return [button(_("Choose a way first"), { class: "btn btn-large", "data-act": "to-ways", "data-key": "main" }, pic("ui-arrow"))];
  const all = cautionsOf(setting.catalogue, entry.method);
  const unread = all.filter(({ key }) => !setting.seen.has(key)).length;
  const read = ngettext("I have read the caution: take it", "I have read these %(n)s cautions: take it", all.length);
  const words = entry.covered && unread === 0 ? _("Take it all the same") : all.length === 0 ? _("Take this job") : unread > 0 ? _("Read on: %(n)s of %(all)s cautions", { n: unread, all: all.length }) : read;
  return [button(words, { class: unread > 0 || entry.covered ? "btn btn-large" : "btn btn-main btn-large", "data-act": unread > 0 ? "read" : "take", "data-key": "main" },
    pic(unread > 0 ? "ui-down" : "ui-wrench"))];
}
