/** The pictograms in script: laid into the page itself, since drawn from a file of their own they are gone while the server is away. */

import { fetchFile } from "./api.js";
import { svg } from "./elements.js";
import { settings } from "./settings.js";
import { readMeta, writeMeta } from "./store.js";

/** Where the page names its file of pictograms; "" once they are in the page. */
function place() {
  return /** @type {HTMLElement | null} */ (document.querySelector("[data-pictograms]"));
}

/**
 * Lay the pictograms into the page; what was laid last time serves while the server does not answer.
 * @returns {Promise<void>} also when there are none to be had: then they are drawn from their file
 */
export async function layPictograms() {
  const file = place()?.dataset.pictograms;
  if (!file) return;
  const text = await fetchFile(file, settings.patience).then((answer) => answer.text()).catch(() => null);
  const drawn = (text ?? (await readMeta("pictograms"))) || "";
  const sheet = new DOMParser().parseFromString(drawn, "image/svg+xml").documentElement;
  if (sheet.localName !== "svg") return;
  if (text) await writeMeta("pictograms", text);
  sheet.setAttribute("hidden", "");
  sheet.setAttribute("aria-hidden", "true");
  document.body.append(document.adoptNode(sheet));
  for (const named of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-pictograms]"))) named.dataset.pictograms = "";
}

/**
 * @param {string} id of a pictogram, e.g. "kind-nib"
 * @param {boolean} [large]
 */
export function pic(id, large = false) {
  const href = `${place()?.dataset.pictograms ?? "/client/pictograms.svg"}#${id}`;
  return svg("svg", { class: large ? "pic pic-large" : "pic", viewBox: "0 0 24 24", "aria-hidden": "true" }, svg("use", { href }));
}
