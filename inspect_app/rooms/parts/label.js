/** The label of the part in hand: big keys for its six, and its QR code where the browser can read one from a picture. */

import { mountKeys } from "../../client/pin_keys.js";

/** @typedef {{ detect: (picture: ImageBitmap) => Promise<{ rawValue: string }[]> }} Detector */

/** @returns {Promise<Detector | null>} what reads QR codes here, null where nothing does */
async function detector() {
  const Found = /** @type {any} */ (globalThis).BarcodeDetector;
  if (!Found) return null;
  const formats = /** @type {string[]} */ (await Found.getSupportedFormats().catch(() => []));
  return formats.includes("qr_code") ? new Found({ formats: ["qr_code"] }) : null;
}

/** @param {HTMLElement} label @returns {{ form: HTMLFormElement | null, six: HTMLInputElement | null, code: HTMLInputElement | null, said: HTMLElement | null }} */
function piecesOf(label) {
  const form = label.closest("form");
  return { form, six: label.querySelector(".label-six"), code: form?.querySelector("[data-code]") ?? null, said: label.querySelector("[data-code-said]") };
}

/** What is typed goes for what was read before. @param {HTMLElement} label */
function mountTyping(label) {
  const { six, code, said } = piecesOf(label);
  const keys = /** @type {HTMLElement | null} */ (label.querySelector("[data-label-keys]"));
  if (!six || !keys) return;
  keys.hidden = false;
  // What came back with a fault is read anew: the first key begins afresh instead of going on after the sixth.
  let refused = six.value !== "";
  six.addEventListener("input", () => (refused = false));
  keys.addEventListener("click", () => {
    if (refused) six.value = "";
    refused = false;
  }, { capture: true });
  mountKeys(keys, six, () => {
    if (code) code.value = "";
    if (said) said.hidden = true;
  });
}

/** @param {HTMLElement} label @param {Detector} reads */
function mountCamera(label, reads) {
  const { form, six, code, said } = piecesOf(label);
  const camera = /** @type {HTMLElement | null} */ (label.querySelector("[data-camera]"));
  if (!camera || !code) return;
  camera.hidden = false;
  camera.querySelector("input")?.addEventListener("change", async (event) => {
    const picture = /** @type {HTMLInputElement} */ (event.target).files?.[0];
    if (!picture) return;
    const found = await createImageBitmap(picture).then((bitmap) => reads.detect(bitmap)).catch(() => []);
    code.value = found[0]?.rawValue ?? "";
    if (code === six && code.value) form?.requestSubmit();
    if (said) said.hidden = !code.value;
  });
}

const labels = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-label]"));
labels.forEach(mountTyping);
void detector().then((reads) => {
  if (reads) labels.forEach((label) => mountCamera(label, reads));
});
