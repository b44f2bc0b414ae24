/** When it does not go as planned: hand back, wrong department, add a step, wait for a part, cannot find it, no flaw. */

import * as acts from "./acts.js";
import { askWhy } from "../../client/ask_why.js";
import { capital, day } from "../../client/in_words.js";

/** @typedef {import("./model.js").Entry} Entry */

/** @param {Entry} entry */
export function askHandBack(entry) {
  askWhy({
    title: "Hand the job back", lead: "It goes back to the list of its department.", send: "Hand it back", label: "Or in your words",
    reasons: ["End of shift", "Called to another job", "Needs a second person", "Tool or bay not free"],
  }, ({ reason = "" }) => acts.handBack(entry, reason));
}

/** @param {any} catalogue @returns {[string, string][]} */
function departments(catalogue, /** @type {string[]} */ but = []) {
  return Object.values(catalogue.departments)
    .filter((/** @type {any} */ one) => one.takes_jobs && !but.includes(one.key))
    .map((/** @type {any} */ one) => /** @type {[string, string]} */ ([one.key, one.label]));
}

/** @param {Entry} entry @param {any} catalogue */
export function askReroute(entry, catalogue) {
  askWhy({
    title: "Wrong department", send: "Send it there", label: "Or in your words",
    choices: () => [{ name: "department", legend: "Whose work it is", options: departments(catalogue, [entry.job.department]) }],
    reasons: ["Not our kind of work", "Needs their tools", "The kind of defect is another one", "The part is theirs"],
  }, ({ department = "", reason = "" }) => acts.reroute(entry, department, reason));
}

/**
 * Something has to come first, as when a polish broke through. The step stands before this one and the rest follows.
 * @param {Entry} entry
 * @param {any} catalogue
 */
export function askStep(entry, catalogue) {
  askWhy({
    title: "Add a step before this one", send: "Add the step", label: "Or in your words",
    lead: "Your own step comes back to your list when it is done.",
    choices: (values) => {
      const methods = methodsOf(catalogue, values.department ?? "");
      if (!methods.some(([key]) => key === values.method)) values.method = methods[0]?.[0] ?? "";
      const who = { name: "department", legend: "Who does it", options: departments(catalogue) };
      return values.department ? [who, { name: "method", legend: "What they do", options: methods }] : [who];
    },
    reasons: ["Broke through to primer", "Broke through to metal", "Edge came up while masking", "Deeper than it looked"],
  }, ({ department = "", method = "", reason = "" }) => acts.insertStep(entry, department, method, reason));
}

/** @param {any} catalogue @param {string} department @returns {[string, string][]} the quickest first */
function methodsOf(catalogue, department) {
  /** @param {any} method */
  const step = (method) => method.chain.find((/** @type {any} */ one) => one.department === department);
  return Object.values(catalogue.methods)
    .filter(step)
    .sort((/** @type {any} */ a, /** @type {any} */ b) => step(a).minutes_base - step(b).minutes_base)
    .map((/** @type {any} */ one) => /** @type {[string, string]} */ ([one.key, capital(one.label)]));
}

/** @param {Entry} entry @param {number} now */
export function askWaiting(entry, now) {
  /** @type {string[]} */
  const materials = (entry.method.materials ?? []).slice(0, 6);
  askWhy({
    title: "Waiting for a part or material", send: "Set it aside", why: "What is missing", label: "Or in your words",
    lead: "The job stands apart until it has come.",
    choices: () => [{ name: "until", legend: "Promised for", options: days(now), date: true }],
    reasons: materials,
    values: { until: "none" },
  }, ({ until = "none", reason = "" }) => acts.waitFor(entry, reason, until === "none" ? null : endOf(until)));
}

/** @param {number} now @returns {[string, string][]} */
function days(now) {
  /** @type {[string, string][]} */
  const found = [["none", "No day promised"]];
  for (let i = 0; i < 5; i += 1) {
    const date = new Date(now + i * 86_400_000);
    found.push([iso(date), i === 1 ? "Tomorrow" : capital(day(date.getTime(), now))]);
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
    title: `${marker.tag} cannot be found`, send: "Ask the inspector", label: "Or in your words",
    lead: `It leaves this job, and an inspector is asked where it is. The list says: ${marker.words}.`,
    reasons: ["Nothing there under the lamp", "No wax and no dot left", "The words and the ring do not agree", "Too many alike, which one?"],
  }, ({ reason = "" }) => acts.notFound(entry, marker.id, reason));
}

/** @param {Entry} entry @param {import("../../client/types.js").Row} marker */
export function askNoFlaw(entry, marker) {
  askWhy({
    title: `${marker.tag} is no flaw`, send: "Propose it", label: "Or in your words",
    lead: "It leaves this job; an inspector looks and decides.",
    reasons: ["It wiped off", "A reflection", "Belongs to the part", "Within the limit, measured"],
  }, ({ reason = "" }) => acts.noFlaw(entry, marker.id, reason));
}
