/**
 * Asking to release a flaw as it is. Any room opens it with a marker in hand; the request goes through the outbox, so it
 * can be asked at the van while the server is away. Agreeing is online only, on /concessions.
 */

import { dialogBody, dialogFoot, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { _, N_ } from "./gettext.js";
import { uuid7 } from "./ids.js";
import { once } from "./once.js";
import { keep } from "./outbox.js";
import { addPhoto, pickPhoto } from "./photo.js";

/** @typedef {{id: string, tag: string, severity: string, words: string}} Marker */

export const NEVER = _("An S1 is never conceded; it has to be put right.");
const CHANNELS = [N_("by telephone"), N_("by e-mail"), N_("in person"), N_("in the order")]; // kept in these words, shown in the reader's

/**
 * Open the sheet.
 * @param {{unit: string, marker: Marker, kept?: () => void}} what
 * @returns {HTMLDialogElement}
 */
export function openConcession({ unit, marker, kept = () => undefined }) {
  const part = marker.severity === "S1" ? dialogBody(el("p", {}, NEVER)) : sheet(unit, marker, () => {
    dialog.close();
    kept();
  });
  const dialog = openDialog(_("Ask for a concession: %(tag)s", { tag: marker.tag }), [part]);
  return dialog;
}

/**
 * @param {string} unit
 * @param {Marker} marker
 * @param {() => void} kept
 */
function sheet(unit, marker, kept) {
  const reason = el("textarea", { class: "input", id: "concession-reason", maxlength: "500" });
  const customer = el("input", { class: "input", id: "concession-customer", maxlength: "200", autocomplete: "off" });
  const channel = el("select", { class: "input", id: "concession-channel" }, ...CHANNELS.map((words) => el("option", { value: words }, _(words))));
  const fault = el("p", { class: "fault", role: "alert" });
  const photo = photoButton();
  const form = el("form", { novalidate: "" },
    dialogBody(
      el("p", {}, marker.severity === "S2" ? _("%(spot)s. An S2 needs a manager and one more name.", { spot: marker.words }) : _("%(spot)s. A manager answers it.", { spot: marker.words })),
      field("concession-reason", _("Why may it stay as it is?"), reason), field("concession-customer", _("Who agreed for the customer?"), customer),
      field("concession-channel", _("How?"), channel), photo.element, fault),
    dialogFoot(el("button", { class: "btn btn-main" }, _("Ask"))));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const values = [reason, customer, channel].map((input) => /** @type {HTMLInputElement} */ (input).value.trim());
    const missing = values[0] === "" ? _("Say why it may stay as it is.") : values[1] === "" ? _("Name who agreed for the customer.") : "";
    fault.textContent = missing;
    if (missing === "") void once(form, () => send(fault, { unit, marker, values, file: photo.file() }, kept));
  });
  return form;
}

/**
 * @param {HTMLElement} fault
 * @param {{unit: string, marker: Marker, values: string[], file: File | null}} asked
 * @param {() => void} kept
 */
async function send(fault, { unit, marker, values: [reason = "", customer = "", channel = ""], file }, kept) {
  const concession = uuid7();
  try {
    await keep({ type: "concession_asked", stream: `unit:${unit}`, body: { concession, marker: marker.id }, private: { reason, customer, channel } });
    if (file) await addPhoto(file, { unit, marker: marker.id, concession, role: "concession" });
    kept();
  } catch (problem) {
    fault.textContent = problem instanceof Error ? problem.message : _("It could not be kept on this tablet; try again.");
  }
}

/** A button that holds one photo until the request is kept. */
function photoButton() {
  /** @type {File | null} */
  let held = null;
  const said = el("span", { class: "hush small" }, _("no photo yet"));
  const take = el("button", { type: "button", class: "btn" }, _("Take a photo"));
  const choose = el("button", { type: "button", class: "btn btn-word" }, _("Choose one"));
  for (const [button, from] of /** @type {[HTMLElement, "camera" | "file"][]} */ ([[take, "camera"], [choose, "file"]])) {
    button.addEventListener("click", async () => {
      held = (await pickPhoto(from)) ?? held;
      said.textContent = held ? _("kept: %(name)s", { name: held.name }) : _("no photo yet");
    });
  }
  return { element: el("div", { class: "row" }, take, choose, said), file: () => held };
}

/**
 * @param {string} id
 * @param {string} label
 * @param {HTMLElement} input
 */
function field(id, label, input) {
  return el("div", { class: "field" }, el("label", { for: id }, label), input);
}
