/**
 * Safety timers: a wait of a caution that runs by the clock, shown to everybody until a named person has looked.
 * A screen never replaces the watcher; the dialogs say so.
 */

import { askWhy, choiceOf } from "./ask_why.js";
import { serverNow } from "./clock.js";
import { setClock, waiting } from "./curing.js";
import { dialogBody, dialogFoot, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { typed } from "./figures.js";
import { _, inTurn } from "./gettext.js";
import { uuid7 } from "./ids.js";
import { moment } from "./in_words.js";
import { once } from "./once.js";
import { keep } from "./outbox.js";
import { pic } from "./pictograms.js";
import { button, pressButton, six } from "./pieces.js";
import { swap } from "./refill.js";
import { byId } from "./rows.js";

/** @typedef {import("./types.js").Row} Row */
/** @typedef {{catalogue: any, people: Map<string, Row>, now: number}} Known */

const STEPS = [5, 10, 15, 30, 45, 60, 90, 120];
const MOST = 1440; // a day, as on the server

/** @param {Row[]} timers @returns {Row[]} those that nobody has ended, the first to be over first */
export function running(timers) {
  return timers.filter((timer) => timer.state === "running").sort((a, b) => a.until - b.until);
}

/** @param {any} catalogue @param {string} caution @returns {string} what its timer is called */
export function timerName(catalogue, caution) {
  const found = catalogue?.cautions[caution];
  return found?.timer || found?.label || caution;
}

/** One timer with its clock, and the way to end it. @param {Row} timer @param {Known} known */
export function timerLine(timer, { catalogue, people, now }) {
  const over = timer.until <= now;
  const who = people.get(timer.started_by)?.name ?? _("somebody");
  const started = _("started by %(who)s, %(when)s", { who, when: moment(timer.started_at, now) });
  const pictogram = catalogue.cautions[timer.caution]?.pictogram ?? "ui-clock";
  return el("div", { class: "timer", "data-timer": timer.id, ...(over ? { "data-over": "1" } : {}) }, pic(pictogram),
    el("div", {}, el("b", {}, inTurn([timerName(catalogue, timer.caution), timer.place])), el("span", { class: "line-sub" }, six(timer.last_six), " ", started, ...(timer.pending ? [", ", _("not sent yet")] : []))),
    el("div", { class: "timer-left" }, waiting(timer.until, now, _("Time is over"), over ? _("look yourself, then end it") : _("not before %(when)s", { when: moment(timer.until, now) })),
    button(over ? _("I have looked: end it") : _("End it"), { class: over ? "btn btn-main" : "btn btn-word", "data-act": "timer-end", "data-id": timer.id, "data-key": `timer-${timer.id}` })));
}

/** One timer where it is only read: it leads to where it is ended. @param {Row} timer @param {Known} known */
function timerLink(timer, known) {
  const line = timerLine(timer, known);
  for (const left of line.querySelectorAll(".btn, .cure-dial")) left.remove();
  return el("a", { class: "timer", href: "/rework", ...(timer.until <= known.now ? { "data-over": "1" } : {}) }, ...line.childNodes);
}

/** The timers as links, for the floor without a server. @param {Row[]} timers @param {Known} known @returns {HTMLElement[]} */
export function timerLinks(timers, known) {
  const found = running(timers);
  return found.length === 0 ? [] : [el("section", { class: "group timers", "aria-label": _("Safety timers") }, ...found.map((timer) => timerLink(timer, known)))];
}

/** Over the work at a van: its own waits. @param {import("./view.js").Sight} sight @param {string} unit @param {any} catalogue */
export async function showTimers({ state }, unit, catalogue) {
  const own = (state.timers ?? []).filter((timer) => timer.unit === unit);
  const now = await serverNow();
  setClock(now - Date.now());
  const known = { catalogue, people: byId(state.people ?? []), now };
  swap(/** @type {Element} */ (document.querySelector("[data-timers]")), ...running(own).map((timer) => timerLink(timer, known)));
}

/** All that runs, one under the other; nothing when nothing does. @param {Row[]} timers @param {Known} known @returns {HTMLElement[]} */
export function timerLines(timers, known) {
  const found = running(timers);
  if (found.length === 0) return [];
  return [el("section", { class: "timers", "aria-label": _("Safety timers") }, ...found.map((timer) => timerLine(timer, known)),
    el("p", { class: "hush small" }, _("A screen never replaces the watcher.")))];
}

/**
 * Ask where and for how long, and start it.
 * @param {{unit: Row, job: string | null, caution: any, places: string[]}} about the caution with its timer; places it was started at before
 */
export function askTimer({ unit, job, caution, places }) {
  const values = { place: places[0] ?? "", minutes: String(caution.timer_minutes) };
  const fault = el("p", { class: "fault", role: "alert" });
  const where = textField("timer-place", _("Where"), _("The booth, the station or the van: whoever reads it must find it"), values, "place", "80");
  const exact = textField("timer-minutes", _("Minutes, exactly"), "", values, "minutes", "4");
  const choices = el("div", {});
  const draw = () => {
    const offered = [...new Set([...STEPS.filter((n) => n >= (caution.timer_least || 1)), caution.timer_minutes])].sort((a, b) => a - b);
    choices.replaceChildren(choiceOf({ name: "minutes", legend: _("Minutes"), options: offered.map((n) => /** @type {[string, string]} */ ([String(n), String(n)])) }, values, draw));
    exact.input.value = values.minutes;
  };
  draw();
  exact.input.addEventListener("change", draw);
  const send = button(_("Start it in my name"), { class: "btn btn-main btn-large" });
  send.addEventListener("click", () => once(send, async () => {
    try {
      fault.textContent = "";
      const body = timerOf(values, caution);
      await keep({ type: "timer_started", stream: `unit:${unit.id}`, outline: unit.outline, body: { timer: uuid7(), caution: caution.key, ...body, ...(job ? { job } : {}) } });
      dialog.close();
    } catch (problem) {
      fault.textContent = problem instanceof Error ? problem.message : _("This was not kept; do it again.");
    }
  }));
  const body = dialogBody(el("p", {}, caution.wait), el("p", {}, lead()), where.field, choices, exact.field, fault);
  const dialog = openDialog(caution.timer, [body, dialogFoot(send)]);
}

function lead() {
  return _("A screen never replaces the watcher. Your local code, the data sheet and licensed practice decide the minutes: what is posted at the place comes before what stands here.");
}

/**
 * What was typed, as the event says it.
 * @param {{place: string, minutes: string}} values
 * @param {any} caution
 * @returns {{place: string, minutes: number}}
 * @throws {RangeError} with a sentence
 */
export function timerOf({ place, minutes }, { timer, timer_least: least = 1 }) {
  if (!place.trim()) throw new RangeError(_("'Where' is missing; write the booth, the station or the van."));
  const n = typed(minutes);
  if (!Number.isInteger(n) || n < 1 || n > MOST) throw new RangeError(_("Minutes are a whole number from 1 to %(most)s (got %(typed)s).", { most: MOST, typed: minutes.trim() || _("nothing") }));
  if (n < least) throw new RangeError(_("%(timer)s runs for at least %(least)s minutes (got %(got)s); give it more.", { timer, least, got: n }));
  return { place: place.trim(), minutes: n };
}

/**
 * @param {string} id
 * @param {string} label
 * @param {string} hint
 * @param {Record<string, string>} values
 * @param {string} name
 * @param {string} most letters
 */
function textField(id, label, hint, values, name, most) {
  const figure = name === "minutes";
  const input = /** @type {HTMLInputElement} */ (el("input", { id, maxlength: most, autocomplete: "off", class: figure ? "input input-short" : "input", inputmode: figure ? "numeric" : "text" }));
  input.value = values[name] ?? "";
  input.addEventListener("input", () => {
    values[name] = input.value;
  });
  return { input, field: el("div", { class: "field" }, el("label", { for: id }, label), ...(hint ? [el("p", { class: "hint" }, hint)] : []), input) };
}

/**
 * End a timer: with a look when its time is over, with a reason before.
 * @param {Row} timer
 * @param {Known} known
 */
export function askEnd(timer, { catalogue, now }) {
  const title = inTurn([timerName(catalogue, timer.caution), timer.place]);
  const end = (/** @type {string | null} */ reason) => keep({ type: "timer_ended", stream: `unit:${timer.unit}`, body: { timer: timer.id, ...(reason ? { reason } : {}) } });
  if (timer.until > now) {
    return void askWhy({
      title, send: _("End it in my name"), label: _("Or in your words"), wrong: true,
      lead: _("Its time is not over: not before %(when)s. End it only when you have seen that it is safe, or that it was never needed.", { when: moment(timer.until, now) }),
      reasons: [_("Started by mistake"), _("Started again with other minutes"), _("The time posted at the place is over")],
    }, ({ reason = "" }) => end(reason));
  }
  const fault = el("p", { class: "fault", role: "alert" });
  const send = pressButton(_("I have looked with my own eyes: end it"), () => {
    end(null).then(() => dialog.close(), (problem) => {
      fault.textContent = problem instanceof Error ? problem.message : _("This was not kept; do it again.");
    });
  }, { class: "btn btn-main btn-large" });
  const body = dialogBody(el("p", {}, _("The minutes are over; that alone makes nothing safe. Go there and look. Then end it: your name stands beside it.")), fault);
  const dialog = openDialog(title, [body, dialogFoot(send)]);
}
