/** Sheets laid over the work. */

import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { button } from "./pieces.js";

let number = 0;

/**
 * Open a sheet over the page; closing it takes it away.
 * @param {string} title
 * @param {Node[]} parts under the title: `dialogBody`, `dialogFoot`, or a form that holds both
 * @param {{wide?: boolean, close?: string}} [how]  close: what the closing button says; "" for none
 * @returns {HTMLDialogElement}
 */
export function openDialog(title, parts, { wide = false, close = _("Close") } = {}) {
  const id = `dialog-${(number += 1)}`;
  const dialog = /** @type {HTMLDialogElement} */ (el("dialog", { class: wide ? "dialog dialog-wide" : "dialog", "aria-labelledby": id }));
  const shut = button(close, { class: "btn btn-word" });
  shut.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  dialog.append(el("div", { class: "dialog-head" }, el("h2", { id }, title), close && shut), ...parts);
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

/** @param {...(Node | string)} children */
export function dialogBody(...children) {
  return el("div", { class: "dialog-body" }, ...children);
}

/** @param {...(Node | string)} children */
export function dialogFoot(...children) {
  return el("div", { class: "dialog-foot" }, ...children);
}
