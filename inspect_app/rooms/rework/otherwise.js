/** When it does not go as planned: hand back, wrong department, add a step, wait for a part, cannot find it, no flaw. */

import { _ } from "../../client/gettext.js";
import * as acts from "./acts.js";
import { askWhy } from "../../client/ask_why.js";
import { dialogBody, dialogFoot, openDialog } from "../../client/dialogs.js";
import { el } from "../../client/elements.js";
import { capital, day, sentence } from "../../client/in_words.js";
import { once } from "../../client/once.js";
import { button } from "../../client/pieces.js";

/** @typedef {import("./model.js").Entry} Entry */

/** @param {Entry} entry */
export function askHandBack(entry) {
  askWhy({
    title: _("Hand the job back"), lead: _("It goes back to the list of its department."), send: _("Hand it back"), label: _("Or in your words"),
    reasons: [_("End of shift"), _("Called to another job"), _("Needs a second person"), _("Tool or bay not free")],
  }, ({ reason = "" }) => acts.handBack(entry, reason));
}

/** @param {any} catalogue @returns {[string, string][]} */
function departments(catalogue, /** @type {string[]} */ but = []) {
  return Object.values(catalogue.departments)
    .filter((/** @type {any} */ one) => one.takes_jobs && !one.retired && !but.includes(one.key))
    .map((/** @type {any} */ one) => /** @type {[string, string]} */ ([one.key, one.label]));
}

/** @param {Entry} entry @param {any} catalogue */
export function askReroute(entry, catalogue) {
  askWhy({
    title: _("Wrong department"), send: _("Send it there"), label: _("Or in your words"),
    choices: () => [{ name: "department", legend: _("Whose work it is"), options: departments(catalogue, [entry.job.department]) }],
    reasons: [_("Not our kind of work"), _("Needs their tools"), _("The kind of defect is another one"), _("The part is theirs")],
  }, ({ department = "", reason = "" }) => acts.reroute(entry, department, reason));
}

/**
 * Something has to come first, as when a polish broke through. The step stands before this one and the rest follows.
 * @param {Entry} entry
 * @param {any} catalogue
 */
export function askStep(entry, catalogue) {
  askWhy({
    title: _("Add a step before this one"), send: _("Add the step"), label: _("Or in your words"),
    lead: _("Your own step comes back to your list when it is done."),
    choices: (values) => {
      const methods = methodsOf(catalogue, values.department ?? "");
      if (!methods.some(([key]) => key === values.method)) values.method = methods[0]?.[0] ?? "";
      const who = { name: "department", legend: _("Who does it"), options: departments(catalogue) };
      return values.department ? [who, { name: "method", legend: _("What they do"), options: methods }] : [who];
    },
    reasons: [_("Broke through to primer"), _("Broke through to metal"), _("Edge came up while masking"), _("Deeper than it looked")],
  }, ({ department = "", method = "", reason = "" }) => acts.insertStep(entry, department, method, reason));
}

/** @param {any} catalogue @param {string} department @returns {[string, string][]} the quickest first */
function methodsOf(catalogue, department) {
  /** @param {any} method */
  const step = (method) => method.chain.find((/** @type {any} */ one) => one.department === department);
  return Object.values(catalogue.methods)
    .filter((/** @type {any} */ method) => !method.retired && step(method))
    .sort((/** @type {any} */ a, /** @type {any} */ b) => step(a).minutes_base - step(b).minutes_base)
    .map((/** @type {any} */ one) => /** @type {[string, string]} */ ([one.key, capital(one.label)]));
}

/** @param {Entry} entry @param {number} now */
export function askWaiting(entry, now) {
  /** @type {string[]} */
  const materials = (entry.method.materials ?? []).slice(0, 6).map((/** @type {string} */ one) => _(one));
  askWhy({
    title: _("Waiting for a part or material"), send: _("Set it aside"), why: _("What is missing"), label: _("Or in your words"),
    lead: _("The job stands apart until it has come."),
    choices: () => [{ name: "until", legend: _("Promised for"), options: days(now), date: true }],
    reasons: materials,
    values: { until: "none" },
  }, ({ until = "none", reason = "" }) => acts.waitFor(entry, reason, until === "none" ? null : endOf(until)));
}

/** @param {number} now @returns {[string, string][]} */
function days(now) {
  /** @type {[string, string][]} */
  const found = [["none", _("No day promised")]];
  for (let i = 0; i < 5; i += 1) {
    const date = new Date(now + i * 86_400_000);
    found.push([iso(date), i === 1 ? _("Tomorrow") : capital(day(date.getTime(), now))]);
  }
  return found;
}

/** @param {Date} date the tablet's own calendar day */
function iso(date) {
  return `${date.getFullYear()}-${String(date.getMonth() + 1).padStart(2, "0")}-${String(date.getDate()).padStart(2, "0")}`;
}

/** The last millisecond of a day, as a due date without a time is kept. @param {string} text */
function endOf(text) {
  return new Date(`${text}T23:59:59.999`).getTime();
}

/** @param {Entry} entry @param {import("../../client/types.js").Row} marker */
export function askNotFound(entry, marker) {
  askWhy({
    title: _("%(tag)s cannot be found", { tag: marker.tag }), send: _("Ask the inspector"), label: _("Or in your words"),
    lead: _("It leaves this job, and an inspector is asked where it is. The list says: %(spot)s.", { spot: marker.words }),
    reasons: [_("Nothing there under the lamp"), _("No wax and no dot left"), _("The words and the ring do not agree"), _("Too many alike, which one?")],
  }, ({ reason = "" }) => acts.notFound(entry, marker.id, reason));
}

/** @param {Entry} entry @param {import("../../client/types.js").Row} marker */
export function askNoFlaw(entry, marker) {
  askWhy({
    title: _("%(tag)s is no flaw", { tag: marker.tag }), send: _("Propose it"), label: _("Or in your words"),
    lead: _("It leaves this job; an inspector looks and decides."),
    reasons: [_("It wiped off"), _("A reflection"), _("Belongs to the part"), _("Within the limit, measured")],
  }, ({ reason = "" }) => acts.noFlaw(entry, marker.id, reason));
}

/**
 * Another way to put it right: an open one in a tap, a barred one only with a reason.
 * @param {Entry} entry
 * @param {any} catalogue
 * @param {string} key of the method
 * @param {string[]} barred why
 */
export function askWay(entry, catalogue, key, barred) {
  const method = catalogue.methods[key];
  const first = catalogue.departments[method.chain[0].department]?.label ?? "";
  if (barred.length > 0) {
    return askWhy({
      title: capital(method.label), send: _("Do it all the same"), label: _("Or in your words"), wrong: true,
      lead: _("It is barred: %(reasons)s Your reason is kept with the job and stands in the history.", { reasons: sentence(barred.join("; ")) }),
      reasons: [_("A manager agreed"), _("Read with a gauge: enough is there"), _("The customer wants it so"), _("A trial on a hidden spot")],
    }, ({ reason = "" }) => acts.choose(entry, key, reason));
  }
  const fault = el("p", { class: "fault", role: "alert" });
  const go = button(_("Do it this way"), { class: "btn btn-main btn-large" });
  go.addEventListener("click", () => once(go, async () => {
    try {
      await acts.choose(entry, key);
      dialog.close();
    } catch (problem) {
      fault.textContent = problem instanceof Error ? problem.message : _("This was not kept; do it again.");
    }
  }));
  const lead = el("p", {}, _("%(department)s begins. The cautions of this method are read before it is taken.", { department: first }));
  const dialog = openDialog(capital(method.label), [dialogBody(lead, fault), dialogFoot(go)]);
  return undefined;
}
