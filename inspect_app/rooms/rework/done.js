/** My step is done: minutes, what it took, a photo after; and who is next. */

import { el } from "../../client/elements.js";
import { lasting, microns, typed } from "../../client/figures.js";
import { _, midway, ngettext } from "../../client/gettext.js";
import { button } from "../../client/pieces.js";
import * as acts from "./acts.js";
import { whoIsNext } from "./job.js";
import { choiceOf } from "../../client/ask_why.js";
import { dialogBody, dialogFoot, openDialog } from "../../client/dialogs.js";
import { once } from "../../client/once.js";
import { photoButtons, photosOf, shot } from "../../client/shots.js";

/** @typedef {import("./model.js").Entry} Entry */

/** Round minutes as one would say them. @param {number} minutes */
function round(minutes) {
  const step = minutes < 10 ? 1 : minutes < 60 ? 5 : minutes < 180 ? 10 : 30;
  return Math.max(1, Math.round(minutes / step) * step);
}

/**
 * Six steps around what was planned, the planned one among them.
 * @param {number} planned
 * @returns {number[]}
 */
export function minuteSteps(planned) {
  const around = [0.5, 0.75, 1.25, 1.5, 2].map((share) => round(planned * share));
  return [...new Set([...around, planned])].sort((a, b) => a - b);
}

/**
 * What a typed film says, in tenths of µm.
 * @param {string} text
 * @returns {number | null} null when nothing was typed
 * @throws {RangeError} with a sentence
 */
export function filmOf(text) {
  if (text.trim() === "") return null;
  const said = typed(text);
  if (!Number.isFinite(said) || said < 0 || said > 500) throw new RangeError(_("Film taken off is 0 to 500 µm (got %(typed)s); read it again.", { typed: text.trim() }));
  return Math.round(said * 10);
}

/** Does this step use clips? @param {Entry} entry */
function usesClips({ job, method }) {
  return ["trim", "fit", "strip"].includes(job.department) && (method.materials ?? []).some((/** @type {string} */ one) => one.includes("clip"));
}

/**
 * @param {Entry} entry
 * @param {import("./job.js").Setting} setting
 * @param {() => void} kept
 */
export function askDone(entry, setting, kept) {
  const { job, method, unit } = entry;
  const values = { minutes: "", clips: "" };
  const fault = el("p", { class: "fault", role: "alert" });
  const film = method.film ? filmField(method) : null;
  const place = el("div", { class: "stack" });
  const draw = () => place.replaceChildren(minutesOf(entry, setting, values, draw), ...(usesClips(entry) ? [clipsOf(values, draw)] : []));
  draw();
  const send = button(handsOn(entry, setting), { class: "btn btn-main btn-large" });
  send.addEventListener("click", () => once(send, async () => {
    try {
      fault.textContent = "";
      if (!/^\d+$/.test(values.minutes) || Number(values.minutes) > 2880) throw new RangeError(_("Say how many minutes it took, 0 to 2880."));
      const measured = film ? filmOf(film.input.value) : null;
      await acts.done({ job, unit }, { minutes: Number(values.minutes), film: measured, clips: values.clips ? Number(values.clips) : null });
      dialog.close();
      kept();
    } catch (problem) {
      fault.textContent = problem instanceof Error ? problem.message : _("This was not kept; do it again.");
    }
  }));
  const body = dialogBody(place, ...(film ? [film.field] : []), photoPart(entry, setting), fault);
  const dialog = openDialog(_("My step is done"), [body, dialogFoot(el("p", { class: "hush" }, whoIsNext(entry, setting, false)), send)]);
}

/** @param {Entry} entry @param {import("./job.js").Setting} setting */
function handsOn({ chain, job }, { catalogue }) {
  const next = chain.find((step) => step.step === job.step + 1 && step.state !== "done");
  return next ? _("Done. Hand on to %(department)s", { department: midway(catalogue.departments[next.department]?.label ?? "") }) : _("Done. On to the second look");
}

/**
 * @param {Entry} entry
 * @param {import("./job.js").Setting} setting
 * @param {Record<string, string>} values
 * @param {() => void} draw
 */
function minutesOf({ job }, { now }, values, draw) {
  const steps = minuteSteps(job.minutes_planned);
  const options = steps.map((minute) => /** @type {[string, string]} */ ([String(minute), minute === job.minutes_planned ? _("%(n)s as planned", { n: minute }) : String(minute)]));
  const taken = job.taken_at ? Math.max(1, Math.round((now - job.taken_at) / 60_000)) : null;
  const planned = lasting(job.minutes_planned);
  const hint = taken === null ? _("%(time)s were planned.", { time: planned }) : _("%(time)s were planned; you took it %(ago)s ago.", { time: planned, ago: lasting(taken) });
  const field = choiceOf({ name: "minutes", legend: _("Minutes it took"), hint, options }, values, draw);
  field.append(stepper("minutes", values, draw, 1));
  return field;
}

/** @param {Record<string, string>} values @param {() => void} draw */
function clipsOf(values, draw) {
  const options = ["0", "1", "2", "3", "4", "6"].map((n) => /** @type {[string, string]} */ ([n, n]));
  const field = choiceOf({ name: "clips", legend: _("New clips used"), options }, values, draw);
  field.append(stepper("clips", values, draw, 1));
  return field;
}

/**
 * One less, the number, one more.
 * @param {string} name
 * @param {Record<string, string>} values
 * @param {() => void} draw
 * @param {number} by
 */
function stepper(name, values, draw, by) {
  const input = /** @type {HTMLInputElement} */ (el("input", { class: "input input-short", inputmode: "numeric", maxlength: "4", "aria-label": name === "clips" ? _("Clips, exactly") : _("Minutes, exactly") }));
  input.value = values[name] ?? "";
  input.addEventListener("change", () => {
    values[name] = input.value.trim();
    draw();
  });
  /** @param {number} change @param {string} words @param {string} sign */
  const step = (change, words, sign) => {
    const one = button(sign, { class: "btn btn-square", "aria-label": words });
    one.addEventListener("click", () => {
      values[name] = String(Math.max(0, (Number(values[name]) || 0) + change));
      draw();
    });
    return one;
  };
  return el("div", { class: "stepper" }, step(-by, _("One less"), "−"), input, step(by, _("One more"), "+"));
}

/** @param {any} method */
function filmField(method) {
  const input = /** @type {HTMLInputElement} */ (el("input", { class: "input input-short", id: "film-off", inputmode: "decimal", maxlength: "6", "aria-describedby": "film-hint" }));
  const hint = el("p", { class: "hint", id: "film-hint" }, _("Reading before less reading after, at the spot; usually about %(film)s. Leave it empty where no gauge can read.", { film: microns(method.film) }));
  return { input, field: el("div", { class: "field" }, el("label", { for: "film-off" }, _("Film taken off")), hint, el("div", { class: "with-unit" }, input, el("span", { class: "hush" }, "µm"))) };
}

/** A photo after the work, of one marker or of all together. @param {Entry} entry @param {import("./job.js").Setting} setting */
function photoPart({ job, unit, markers, chain }, { state }) {
  const [first] = markers;
  const values = { about: markers.length === 1 && first ? first.id : "all" };
  const fault = el("p", { class: "fault", role: "alert" });
  const taken = el("div", { class: "shots" });
  const before = new Set(chain.map((one) => one.id));
  const count = { n: 0 };
  for (const photo of markers.flatMap((marker) => photosOf(state.photos ?? [], marker.id, before, "after"))) taken.append(shot(photo, _("After")));
  const buttons = photoButtons(_("Photo after"), () => ({ unit: unit.id, job: job.id, marker: values.about === "all" ? null : values.about, role: "after" }), fault, () => {
    count.n += 1;
    fault.textContent = "";
    said.textContent = ngettext("One photo kept.", "%(n)s photos kept.", count.n);
  });
  const said = el("p", { role: "status", class: "hush" });
  const place = el("div", {});
  const draw = () => place.replaceChildren(...(markers.length < 2 ? [] : [choiceOf({ name: "about", legend: _("A photo after the work, of"),
    options: [["all", _("All together")], ...markers.map((marker) => /** @type {[string, string]} */ ([marker.id, marker.tag]))] }, values, draw)]));
  draw();
  return el("section", { class: "stack" }, place, buttons, said, taken, fault);
}
