/** Signature, PIN and the one button. What is missing stands beside it in words; what was drawn stays when it is refused. */

import { on } from "../../client/bus.js";
import { _, allOf, midway, ngettext } from "../../client/gettext.js";
import { inkOf, Pad } from "./pad.js";
import { mountKeys } from "../../client/pin_keys.js";
import { strokesOf } from "./typed_name.js";

/**
 * @typedef {{pin: string, strokes: import("./pad.js").Stroke[], typed: boolean}} Signed
 * @typedef {object} Options
 * @property {() => HTMLElement} facts  with data-waiting: the gates that do not hold, joined by |
 * @property {() => boolean} away  the server is out of reach
 * @property {() => number} unsent  entries of this tablet the server does not have
 * @property {(signed: Signed) => Promise<Error | null>} send  null when it is signed
 */

const LEAST_INK = 150; // as the server asks for

/**
 * @param {Options} options
 * @returns {{show: () => void} | null} null where this person cannot sign
 */
export function mountSigning({ facts, away, unsent, send }) {
  const form = /** @type {HTMLFormElement | null} */ (document.getElementById("sign"));
  if (!form) return null;
  const part = (/** @type {string} */ query) => /** @type {any} */ (document.querySelector(query));
  const [button, why, pin] = [part("#sign-now"), part("#sign-why"), part("#sign-pin")];
  /** @type {string} */
  let refused = "";
  let busy = false;
  const pad = new Pad(part("[data-pad] svg"), () => show());

  const missing = () => {
    if (away()) return _("The server is out of reach; signing needs it. What you have drawn stays.");
    const waiting = (facts().dataset.waiting ?? "").split("|").filter(Boolean);
    if (waiting.length > 0) return ngettext("%(gates)s is blocked.", "%(gates)s are blocked.", waiting.length, { gates: listed(waiting) });
    if (unsent() > 0) return _("This tablet still holds entries that are not sent; they go first.");
    if (inkOf(pad.strokes) < LEAST_INK) return _("Sign in the box.");
    return /^\d{4,8}$/.test(pin.value) ? "" : _("Type your PIN.");
  };
  const show = () => {
    const lacks = missing();
    button.disabled = lacks !== "" || busy;
    why.textContent = busy ? _("Signing …") : refused || lacks || _("Everything holds.");
    why.classList.toggle("wrong", refused !== "");
    for (const name of ["undo", "clear"]) part(`[data-pad-${name}]`).disabled = pad.strokes.length === 0;
    part("[data-pad-said]").textContent = pad.typed ? _("name typed") : pad.strokes.length === 0 ? _("empty") : ngettext("%(n)s stroke drawn", "%(n)s strokes drawn", pad.strokes.length);
  };
  const touched = () => {
    refused = "";
    show();
  };

  part("[data-pad]").addEventListener("pointerdown", touched);
  part("[data-pad-undo]").addEventListener("click", () => pad.undo());
  part("[data-pad-clear]").addEventListener("click", () => pad.clear());
  mountTyped(pad, part);
  mountKeys(form, pin, touched);
  on("status", show);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy || missing() !== "") return show();
    [busy, refused] = [true, ""];
    show();
    const problem = await send({ pin: pin.value, strokes: pad.strokes, typed: pad.typed });
    [busy, refused] = [false, problem?.message ?? ""];
    if (/** @type {any} */ (problem)?.code === "wrong_pin") pin.value = "";
    return show();
  });
  show();
  return { show };
}

/** @param {string[]} names @returns {string} "Identity, marks and coverage" */
function listed(names) {
  const [first = "", ...rest] = names;
  return allOf([first, ...rest.map(midway)]);
}

/**
 * @param {Pad} pad
 * @param {(query: string) => any} part
 */
function mountTyped(pad, part) {
  const [open, box, name] = [part("[data-pad-type]"), part("#typed"), part("#typed-name")];
  open.addEventListener("click", () => {
    box.hidden = !box.hidden;
    open.setAttribute("aria-expanded", String(!box.hidden));
    if (!box.hidden) name.focus();
  });
  name.addEventListener("input", () => pad.write(strokesOf(name.value)));
}
