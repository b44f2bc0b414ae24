/** The question a sheet mostly asks: why, in one tap or in a few words. */

import { el } from "./elements.js";
import { dialogBody, dialogFoot, openDialog } from "./dialogs.js";
import { _, midway } from "./gettext.js";
import { once } from "./once.js";
import { button } from "./pieces.js";

let number = 0;

/**
 * @typedef {Record<string, string>} Values
 * @typedef {{name: string, legend: string, hint?: string, options: [string, string][], date?: boolean}} Choice  value and words; `date` adds a field for another day
 *
 * @typedef {object} Question
 * @property {string} title
 * @property {string} [lead]
 * @property {(values: Values) => Choice[]} [choices]  each must be answered
 * @property {string[]} reasons  one tap each
 * @property {string} [why]  what stands above them
 * @property {string} label  of the words one can write instead
 * @property {string} send  what the button says
 * @property {boolean} [wrong]  it undoes or refuses something
 * @property {Values} [values]  to begin with
 */

/**
 * Ask, and hand over the answer; the sheet stays open with a sentence when something is missing or cannot be kept.
 * @param {Question} question
 * @param {(values: Values) => Promise<unknown>} answer `values.reason` is never empty
 */
export function askWhy(question, answer) {
  number += 1;
  /** @type {Values} */
  const values = { reason: "", ...question.values };
  const fault = el("p", { class: "fault", role: "alert" });
  const free = words(question.label, values);
  const send = () => once(values, async () => {
    const missing = (question.choices?.(values) ?? []).find((choice) => !values[choice.name]);
    const wanting = missing ? _("Choose first: %(what)s.", { what: midway(missing.legend) }) : values.reason?.trim() ? "" : _("Say why, in a tap or in a few words.");
    fault.textContent = wanting;
    if (wanting) return;
    try {
      await answer({ ...values, reason: (values.reason ?? "").trim() });
      dialog.close();
    } catch (problem) {
      fault.textContent = problem instanceof Error ? problem.message : _("This was not kept; do it again.");
    }
  });
  const choices = el("div", { class: "stack" });
  const draw = () => choices.replaceChildren(...(question.choices?.(values) ?? []).map((choice) => choiceOf(choice, values, draw)));
  draw();
  const reasons = question.reasons.map((reason) => quick(reason, values, free, () => void send()));
  const why = question.why ?? _("Why");
  const quickly = el("div", { class: "field" }, el("h3", {}, why), el("div", { class: "reasons", role: "group", "aria-label": why }, ...reasons));
  const go = button(question.send, { class: question.wrong ? "btn btn-large btn-wrong" : "btn btn-main btn-large" });
  go.addEventListener("click", () => void send());
  const body = dialogBody(...(question.lead ? [el("p", {}, question.lead)] : []), choices, quickly, free, fault);
  const dialog = openDialog(question.title, [body, dialogFoot(go)]);
}

/**
 * @param {string} label
 * @param {Values} values
 */
function words(label, values) {
  const id = `words-${number}`;
  const input = /** @type {HTMLTextAreaElement} */ (el("textarea", { class: "input", id, rows: "2", maxlength: "500" }));
  input.value = values.reason ?? "";
  input.addEventListener("input", () => {
    values.reason = input.value;
  });
  return el("div", { class: "field" }, el("label", { for: id }, label), input);
}

/**
 * @param {string} reason
 * @param {Values} values
 * @param {HTMLElement} free
 * @param {() => void} send
 */
function quick(reason, values, free, send) {
  const one = button(reason);
  one.addEventListener("click", () => {
    values.reason = reason;
    const input = free.querySelector("textarea");
    if (input) input.value = reason;
    send();
  });
  return one;
}

/**
 * @param {Choice} choice
 * @param {Values} values
 * @param {() => void} draw
 */
export function choiceOf({ name, legend, hint, options, date }, values, draw) {
  const id = `choice-${number}-${name}`;
  const buttons = options.map(([value, said]) => {
    const one = button(said, { "aria-pressed": String(values[name] === value), "data-value": value });
    one.addEventListener("click", () => {
      values[name] = value;
      draw();
      /** @type {HTMLElement | null} */ (document.querySelector(`#${id} ~ * [data-value="${CSS.escape(value)}"]`))?.focus();
    });
    return one;
  });
  const other = date ? [dayField(name, values, draw)] : [];
  return el("div", { class: "field" }, el("h3", { id }, legend), ...(hint ? [el("p", { class: "hint" }, hint)] : []),
    el("div", { class: "reasons", role: "group", "aria-labelledby": id }, ...buttons), ...other);
}

/** @param {string} name @param {Values} values @param {() => void} draw */
function dayField(name, values, draw) {
  const input = /** @type {HTMLInputElement} */ (el("input", { class: "input input-medium", type: "date", max: "2099-12-31", "aria-label": _("Another day") }));
  if (/^\d{4}-/.test(values[name] ?? "")) input.value = values[name] ?? "";
  input.addEventListener("change", () => {
    if (!input.checkValidity()) return void input.reportValidity();
    values[name] = input.value;
    draw();
  });
  return input;
}
