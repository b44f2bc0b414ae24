/** What is done beside the gates: confirm, answer, pass over, agree, refuse, reopen, make again. One listener for all of it. */

import { ApiError, ask } from "../../client/api.js";
import { emit } from "../../client/bus.js";
import { el } from "../../client/elements.js";
import { _ } from "../../client/gettext.js";
import { keep } from "../../client/outbox.js";
import { say } from "../../client/pieces.js";
import { flush } from "../../client/sync.js";

/**
 * @typedef {{path: string, json: Record<string, any>, missing?: string, says: string, send?: () => Promise<any>}} Act
 *   `missing`: why it cannot be sent yet; `send`: another way than posting the JSON
 */

/**
 * @param {HTMLElement} target what was pressed
 * @param {string} unit
 * @returns {Act | null}
 */
function pressed(target, unit) {
  const button = /** @type {HTMLElement | null} */ (target.closest("button"));
  const { confirm, values, gateBack, make, backOn } = button?.dataset ?? {};
  const asked = /** @type {HTMLElement | null} */ (button?.closest("[data-decide]"))?.dataset.decide;
  if (confirm) return { path: `/sign-off/${unit}/gates/${confirm}`, json: values ? { values: JSON.parse(values) } : {}, says: _("Confirmed by your name.") };
  if (gateBack) return { path: `/sign-off/${unit}/gates/${gateBack}`, json: { withdrawn: true }, says: _("Taken back.") };
  if (backOn) return { path: backOn, json: {}, says: _("It is on the van again."), send: () => putBack(unit, backOn) };
  if (make) return { path: `/sheets/${unit}/${make}/make`, json: {}, says: _("The sheet is being made.") };
  if (asked && button && "agree" in button.dataset) return { path: `/concessions/${asked}/agree`, json: {}, says: _("Agreed by your name.") };
  if (asked && button && "refuse" in button.dataset) return { path: `/concessions/${asked}/refuse`, ...words(button, "reason", _("Say why it is refused.")), says: _("Refused.") };
  return null;
}

/** A zone is on the van again: an event like those of the walk, so it goes by the outbox. @param {string} unit @param {string} zone */
async function putBack(unit, zone) {
  await keep({ type: "zones_absent", stream: `unit:${unit}`, body: { zones: [zone], why: "present" } });
  await flush();
}

/**
 * @param {HTMLElement} inside an element of the form
 * @param {string} name
 * @param {string} missing
 */
function words(inside, name, missing) {
  const field = inside.closest("form")?.querySelector("textarea");
  const text = field?.value.trim() ?? "";
  return { json: { [name]: text }, missing: text === "" ? missing : undefined };
}

/** What was filled in, by the names of the fields. @param {HTMLFormElement} form @returns {Record<string, string>} */
function typed(form) {
  return Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)]));
}

/** Why a test counts while a seal cures, where that is asked and said. @param {HTMLFormElement} form @returns {{reason?: string}} */
function reason(form) {
  const said = form.querySelector("textarea")?.value.trim();
  return said ? { reason: said } : {};
}

/**
 * @param {HTMLFormElement} form
 * @param {string} unit
 * @returns {Act | null}
 */
function sent(form, unit) {
  const { question, tablet, gateValues } = form.dataset;
  if (gateValues) return { path: `/sign-off/${unit}/gates/${gateValues}`, json: { values: typed(form), ...reason(form) }, says: _("Kept by your name.") };
  if (question) return { path: `/sign-off/${unit}/questions/${question}`, ...words(form, "answer", _("Write the answer first.")), says: _("The answer is kept.") };
  if (tablet) {
    const { json, missing } = words(form, "reason", _("Say why this tablet need not be waited for."));
    return { path: `/sign-off/${unit}/gates/marks`, json: { ...json, tablet }, missing, says: _("It is not waited for.") };
  }
  if (form.id === "reopen") return { path: `/sign-off/${unit}/reopen`, ...words(form, "reason", _("Say why this unit is reopened.")), says: _("The unit is open again.") };
  return null;
}

/**
 * @param {string} unit "" on pages of many units
 * @param {(answer: any) => Promise<void>} done
 */
export function mountActs(unit, done) {
  document.addEventListener("click", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    const act = target instanceof Element ? pressed(target, unit) : null;
    if (act) void run(act, /** @type {HTMLElement} */ (target.closest("button")), done);
  });
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    const act = sent(form, unit);
    if (form.matches(".block-form")) event.preventDefault();
    if (act) void run(act, form, done);
  });
}

/** @type {Set<string>} what is on its way: a second press changes nothing */
const running = new Set();

/**
 * @param {Act} act
 * @param {HTMLElement} from
 * @param {(answer: any) => Promise<void>} done
 */
async function run(act, from, done) {
  const fault = from.closest("form")?.querySelector(".fault") ?? null;
  const answer = (/** @type {string} */ sentence) => tell(sentence, fault);
  if (act.missing) {
    answer(act.missing);
    from.closest("form")?.querySelector("textarea")?.focus();
    return;
  }
  if (running.has(act.path)) return;
  running.add(act.path);
  if (fault) fault.textContent = "";
  try {
    const data = await (act.send?.() ?? ask(act.path, { method: "POST", json: act.json }).then((heard) => heard.data));
    const field = from.closest("form")?.querySelector("textarea");
    if (field) field.value = ""; // or the page would carry it over as something half written
    if (from instanceof HTMLFormElement && from.dataset.gateValues) from.reset();
    await done(data);
    tell(act.says, null); // for the ear; the eye sees the gate close
  } catch (problem) {
    if (/** @type {any} */ (problem).status === 401) emit("signin-needed", {});
    const sentence = inWords(problem);
    if (fault) answer(sentence);
    else notice(sentence);
  } finally {
    running.delete(act.path);
  }
}

/** Why it did not work. Nothing here goes out by itself later, as what the outbox keeps does. @param {unknown} problem */
function inWords(problem) {
  if (problem instanceof ApiError && problem.away) return _("The server does not answer, and nothing was sent. What you typed stays here: press once more when it is back.");
  return problem instanceof Error ? problem.message : _("That did not work; try again.");
}

/**
 * @param {string} sentence
 * @param {Element | null} place beside the field, or nothing for the whole page
 */
function tell(sentence, place) {
  say(sentence);
  if (place) place.textContent = sentence;
}

/** @param {string} sentence what a button without a place of its own has to say; it stays until something else is done */
function notice(sentence) {
  document.querySelector(".signoff-notice")?.remove();
  const line = el("p", { class: "signoff-notice says", "data-tone": "wrong", role: "alert" }, sentence);
  document.body.append(line);
  setTimeout(() => document.addEventListener("pointerdown", () => line.remove(), { once: true }));
}
