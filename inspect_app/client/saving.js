/** The part of the list of what is not sent that saves it as a file, for when it cannot be sent. */

import { el } from "./elements.js";
import { _, ngettext, together } from "./gettext.js";
import { markSaved } from "./outbox.js";
import { plan, write } from "./outbox_file.js";
import { says } from "./pieces.js";

/**
 * Nothing when there is nothing to save; else what a file is for, and a button for each file.
 * @param {() => Promise<void>} refill
 * @returns {Promise<HTMLElement[]>}
 */
export async function saving(refill) {
  const files = await plan(Date.now());
  const [first] = files;
  if (!first) return [];
  const buttons = files.map((file, i) => {
    const button = el("button", { type: "button", class: "btn", "data-save-outbox": String(i + 1) }, files.length === 1 ? _("Save as a file") : _("Save file %(n)s of %(all)s", { n: i + 1, all: files.length }));
    button.addEventListener("click", () => void save(file, button, refill));
    return button;
  });
  const count = first.events.length;
  const what = count === 0 ? _("The photos can be saved as a file, should this tablet never get to send.")
    : ngettext("%(n)s entry can be saved as a file, should this tablet never get to send.", "%(n)s entries can be saved as a file, should this tablet never get to send.", count);
  const words = together(what, _("A manager brings it in under Setup, Outbox file. What waits stays here too, and nothing comes in twice."));
  return [el("div", { class: "form" }, el("p", { class: "hush" }, words), el("div", { class: "row" }, ...buttons))];
}

/**
 * @param {import("./outbox_file.js").Plan} file
 * @param {HTMLElement} button
 * @param {() => Promise<void>} refill
 */
async function save(file, button, refill) {
  button.setAttribute("disabled", "");
  try {
    download(await write(file, Date.now()), file.name);
    await markSaved(file.refused, Date.now());
    await refill();
  } catch (fault) {
    const why = fault instanceof Error ? fault.message : _("this tablet is short of memory");
    button.after(says(_("The file was not saved: %(why)s", { why }), "wrong"));
    button.removeAttribute("disabled");
  }
}

/**
 * @param {Blob} blob
 * @param {string} name
 */
function download(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = el("a", { href: address, download: name });
  document.body.append(link); // some browsers follow only links that are in the document
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
