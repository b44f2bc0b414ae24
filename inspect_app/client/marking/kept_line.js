/**
 * The line that says what was kept and offers what may follow: size, count, photo, note, accept, put right, undo. It
 * never stands in the way of the next tap.
 */

import { el, svg } from "../elements.js";
import { _ } from "../gettext.js";
import { goneWords } from "./zones.js";
import { capital } from "../in_words.js";
import { pic } from "../pictograms.js";
import { pressButton } from "../pieces.js";
import { fill } from "../refill.js";
import { judge, measured, ruleOf, saidOf } from "./judge.js";

/**
 * @typedef {import("../types.js").Row} Row
 * @typedef {import("./judge.js").Rule} Rule
 * @typedef {import("../outline.js").Outline} Outline
 *
 * @typedef {object} Deeds  what the line can ask for; the marker is the one shown
 * @property {(change: Record<string, any>) => void} amend
 * @property {(from: "camera" | "file") => void} photo  from a file: in the drawer
 * @property {(note: string) => void} note
 * @property {() => void} more
 * @property {() => void} undo
 * @property {() => void} accept
 * @property {(how: string) => void} putRight
 * @property {() => void} another  one more beside this one
 * @property {(zone: string) => void} backOn  a zone is on the van again
 *
 * @typedef {{marker: Row, photos: number, fresh: boolean}} Shown
 */

const VERDICTS = { over: _("over the limit"), within: _("within the limit"), no_limit: _("no limit is set"), unmeasured: "" };
const ACCEPTABLE = ["S3", "S4", "S5"];

/** The kept line of one walk. */
export class KeptLine {
  /**
   * @param {HTMLElement} place
   * @param {Outline} outline
   * @param {any} catalogue
   * @param {Deeds} deeds
   */
  constructor(place, outline, catalogue, deeds) {
    this.place = place;
    this.outline = outline;
    this.catalogue = catalogue;
    this.deeds = deeds;
    /** @type {string | null} the marker whose note is being written */
    this.noting = null;
    /** @type {Shown | null} */
    this.shown = null;
  }

  /** @param {Shown | null} shown */
  show(shown) {
    this.shown = shown;
    this.place.hidden = shown === null;
    if (!shown) return;
    const { marker } = shown;
    if (this.noting !== marker.id) this.noting = null;
    const { id, tag, kind, words, size, gap, count, severity, state, raking, note, joint, limit_text } = marker;
    const key = { id, tag, kind, words, size, gap, count, severity, state, raking, note, joint, limit_text, class: marker.class, photos: shown.photos, fresh: shown.fresh, noting: this.noting };
    fill(this.place, key, () => this.build(shown));
  }

  /**
   * A look that was just closed, with the way back.
   * @param {string} words
   * @param {(() => void) | null} undo
   */
  tell(words, undo) {
    this.place.hidden = false;
    fill(this.place, { words, at: Date.now() }, () => [
      el("p", { class: "kept-words" }, words),
      ...(undo ? [el("div", { class: "kept-more" }, pressButton(_("Undo"), undo, { class: "btn btn-word", "data-key": "undo-look" }))] : []),
    ]);
  }

  /** Nothing is spoken of: what this lap looks for. @param {string} hint */
  rest(hint) {
    this.place.hidden = false;
    fill(this.place, { hint }, () => [el("p", { class: "kept-words hush" }, hint)]);
  }

  /**
   * A zone that is not on the van: what that means, and how it ends.
   * @param {import("../outline.js").Zone} zone
   * @param {"off" | "not_fitted"} why
   * @param {string} blocks what it keeps from going on while it is off
   * @param {boolean} may whoever is here may say that it is back
   */
  gone(zone, why, blocks, may) {
    this.place.hidden = false;
    const back = pressButton(why === "off" ? _("It is back on") : _("It is fitted"), () => this.deeds.backOn(zone.id), { "data-key": "back-on", "data-back-on": zone.id });
    fill(this.place, { gone: zone.id, why, blocks, may }, () => [el("p", { class: "kept-words" }, goneWords(zone, why, blocks)), ...(may ? [el("div", { class: "kept-more" }, back)] : [])]);
  }

  /** Something could not be kept. @param {string} sentence */
  fault(sentence) {
    this.place.hidden = false;
    fill(this.place, { sentence, at: Date.now() }, () => [el("p", { class: "says", "data-tone": "wrong", role: "alert" }, sentence)]);
  }

  /** @param {Shown} shown */
  build({ marker, photos, fresh }) {
    const said = saidOf(marker);
    const rule = ruleOf(this.outline, this.catalogue, marker);
    const editable = ["open", "in_rework", "reworked"].includes(marker.state);
    const rows = [this.words(marker, said), this.buttons(marker, photos, fresh)];
    if (this.noting === marker.id) rows.push(this.noteForm(marker));
    if (editable) rows.push(this.measure(marker, rule), this.decide(marker, said));
    return rows;
  }

  /** @param {Row} marker @param {import("./judge.js").Said | null} said */
  words(marker, said) {
    const kind = this.catalogue.kinds[marker.kind];
    const label = kind?.label ?? marker.kind;
    const many = marker.count > 1 ? _("%(n)s × %(kind)s", { n: marker.count, kind: label }) : label;
    const line = el("p", { class: "kept-words" }, el("span", { class: "tag", "data-state": marker.state }, marker.tag), " ", pic(kind?.pictogram ?? "ui-ring"),
      ` ${many} · ${marker.words}. `);
    const tipped = said?.outcome === "over" && judge(this.outline, this.catalogue, marker)?.outcome !== "over";
    line.append(el("span", { class: "verdict", "data-verdict": said?.outcome ?? "" }, verdictWords(marker, said, tipped ? said.text : "", measured(this.catalogue, marker))));
    return line;
  }

  /** @param {Row} marker @param {number} photos @param {boolean} fresh */
  buttons(marker, photos, fresh) {
    const { deeds } = this;
    const { tag } = marker;
    const camera = iconButton("ui-camera", photos > 0 ? _("Photo · %(n)s", { n: photos }) : _("Photo"), () => deeds.photo("camera"), { "data-key": "photo", "aria-label": photos > 0 ? _("Photo of %(tag)s, %(n)s taken", { tag, n: photos }) : _("Photo of %(tag)s", { tag }) });
    const note = iconButton("ui-note", marker.note ? _("Note ✓") : _("Note"), () => this.toggleNote(marker), { "data-key": "note", "aria-label": _("Note on %(tag)s", { tag }), "aria-expanded": String(this.noting === marker.id) });
    const more = iconButton("ui-sliders", _("More"), deeds.more, { "data-key": "more", "aria-label": _("More about %(tag)s", { tag }) });
    const last = fresh
      ? iconButton("ui-undo", _("Undo"), deeds.undo, { class: "btn btn-word", "data-key": "undo", "aria-label": _("Undo %(tag)s", { tag }) })
      : iconButton("ui-plus", _("Here too"), deeds.another, { class: "btn btn-word", "data-key": "another", "aria-label": _("Another marker here") });
    return el("div", { class: "kept-more" }, camera, note, more, last);
  }

  /** @param {Row} marker */
  toggleNote(marker) {
    this.noting = this.noting === marker.id ? null : marker.id;
    this.show(this.shown);
    /** @type {HTMLElement | null} */ (this.place.querySelector("[name=note]"))?.focus();
  }

  /** @param {Row} marker */
  noteForm(marker) {
    const input = /** @type {HTMLInputElement} */ (el("input", { class: "input", name: "note", maxlength: "500", "aria-label": _("Note on %(tag)s", { tag: marker.tag }), value: marker.note ?? "", "data-key": "note-text" }));
    const form = el("form", { class: "kept-note" }, input, el("button", { class: "btn", type: "submit", "data-key": "note-keep" }, _("Keep note")));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.noting = null;
      this.deeds.note(input.value.trim());
    });
    return form;
  }

  /** @param {Row} marker @param {Rule | null} rule */
  measure(marker, rule) {
    const box = el("div", { class: "measure" });
    if (rule) box.append(sizes(marker, rule, this.deeds.amend));
    box.append(counter(marker, this.deeds.amend));
    return box;
  }

  /** @param {Row} marker @param {import("./judge.js").Said | null} said */
  decide(marker, said) {
    const can = marker.state === "open" && said !== null && ["within", "no_limit"].includes(said.outcome) && ACCEPTABLE.includes(marker.severity);
    const accept = pressButton(_("Accept"), this.deeds.accept, { "data-key": "accept", ...(can ? {} : { disabled: "", title: whyNot(marker, said) }) });
    const how = this.catalogue.kinds[marker.kind]?.group === "clean" ? "wipe" : "hand_polish";
    const right = pressButton("", () => this.deeds.putRight(how), { "data-key": "right", title: how === "wipe" ? _("A wipe on the spot") : _("A hand polish on the spot") });
    const [always = "", whereThereIsRoom = ""] = _("Put right| here").split("|");
    right.append(el("span", {}, always, el("span", { class: "word-more" }, whereThereIsRoom)));
    if (marker.state !== "open" || marker.severity !== "S4") Object.assign(right, { disabled: true, title: _("Only an open S4 may be put right on the spot.") });
    return el("div", { class: "kept-more kept-decide" }, accept, right);
  }
}

/** A button whose word gives way to its picture where there is little room. @param {string} id @param {string} words @param {() => void} press @param {Record<string, string>} attributes */
function iconButton(id, words, press, attributes) {
  const made = pressButton("", press, attributes, pic(id));
  made.append(el("span", { class: "word-more" }, words));
  return made;
}

/**
 * Short, since the size rule beside it shows the limit; in full where it is the others on the part that make it too many.
 * @param {Row} marker
 * @param {import("./judge.js").Said | null} said
 * @param {string} tooMany
 * @param {string} size
 */
function verdictWords(marker, said, tooMany, size) {
  const states = /** @type {Record<string, string>} */ ({ accepted: _("Accepted."), reworked: _("Waits for its second look."), withdrawn: _("Withdrawn."), in_rework: _("In rework."), cleared: _("Cleared.") });
  if (marker.state !== "open") return states[marker.state] ?? marker.state;
  if (!said || said.outcome === "unmeasured") return _("No size yet");
  if (tooMany) return capital(`${tooMany}.`);
  const held = { size, verdict: VERDICTS[said.outcome] };
  return capital(size === "" ? `${held.verdict}.` : _("%(size)s, %(verdict)s.", held));
}

/** @param {Row} marker @param {import("./judge.js").Said | null} said */
function whyNot(marker, said) {
  if (marker.state !== "open") return _("Only an open marker is accepted.");
  if (!ACCEPTABLE.includes(marker.severity)) return _("S1 and S2 cannot be accepted; they need rework.");
  return said?.outcome === "over" ? _("Over its limit: it needs rework or a concession.") : _("Set the size first.");
}

/**
 * The size rule: plain up to the limit, a notch, hatched beyond.
 * @param {Row} marker
 * @param {Rule} rule
 * @param {(change: Record<string, any>) => void} amend
 */
function sizes(marker, rule, amend) {
  const row = el("div", { class: "sizes", role: "group", "aria-label": rule.field === "gap" ? _("Gap in mm") : _("Size") });
  const notch = el("span", { class: rule.field === "gap" ? "size-limit size-nominal" : "size-limit" }, ...(rule.field === "gap" ? rule.bound : rule.bound.replace(" ", "\n")).split("\n").flatMap((part, i) => (i ? [el("br"), part] : [part])));
  rule.steps.forEach((step, i) => {
    if (rule.notch === i) row.append(notch);
    const dot = svg("svg", { viewBox: "0 0 40 22", "aria-hidden": "true" }, rule.field === "gap" ? gapMark(step.r) : svg("circle", { class: "size-dot", cx: 20, cy: 11, r: step.r }));
    const chosen = marker[rule.field] === step.value;
    const press = pressButton("", () => amend({ [rule.field]: step.value }), { class: "size", "data-verdict": step.over ? "over" : "within", "aria-pressed": String(chosen), "data-key": `size-${step.value}` }, dot);
    press.append(el("span", {}, step.words), ...(step.over ? [el("span", { class: "unseen" }, ` ${VERDICTS.over}`)] : []));
    row.append(press);
  });
  if (rule.notch === rule.steps.length || (rule.field === "gap" && rule.bound)) row.append(notch);
  return row;
}

/** Two edges with a gap between them. @param {number} r */
function gapMark(r) {
  return svg("path", { class: "size-gap", d: `M${20 - r} 3V19M${20 + r} 3V19` });
}

/** @param {Row} marker @param {(change: Record<string, any>) => void} amend */
export function counter(marker, amend) {
  const count = marker.count ?? 1;
  const fewer = pressButton("", () => amend({ count: count - 1 }), { class: "btn count-step", "aria-label": _("One fewer"), "data-key": "fewer", ...(count <= 1 ? { disabled: "" } : {}) }, pic("ui-minus"));
  const more = pressButton("", () => amend({ count: count + 1 }), { class: "btn count-step", "aria-label": _("One more"), "data-key": "more-of-them" }, pic("ui-plus"));
  return el("div", { class: "counter", role: "group", "aria-label": _("How many") }, fewer, el("output", {}, `${count}`), more);
}
