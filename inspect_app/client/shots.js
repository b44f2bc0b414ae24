/** Photos as figures: from this tablet before the server has them, from the server afterwards, else "awaited". */

import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { pic } from "./pictograms.js";
import { button } from "./pieces.js";
import { PhotoError, addPhoto, pickPhoto } from "./photo.js";
import { openPhoto } from "./photo_drawing.js";
import { captionWith, marksOver } from "./photo_marks.js";
import { localPhoto } from "./photos_out.js";
import { keptPicture } from "./pictures.js";

/** @typedef {import("./types.js").Row} Row */

/** @type {Map<string, string>} photo to the address of its bytes on this tablet */
const local = new Map();

/**
 * @param {Row} photo
 * @param {string} caption
 * @returns {HTMLElement}
 */
export function shot(photo, caption) {
  const why = photo.reason ?? _("the picture was refused");
  if (photo.state === "refused") return awaited(_("%(caption)s: %(why)s", { caption, why }));
  const address = photo.state === "stored" ? `/photos/${photo.id}?size=600` : local.get(photo.id);
  if (address) return picture(photo, address, caption);
  const place = awaited(_("%(caption)s: on its way from its tablet", { caption }));
  void localPhoto(photo.id).then((kept) => {
    if (!kept) return;
    local.set(photo.id, URL.createObjectURL(new Blob([kept.data], { type: kept.type })));
    place.replaceWith(picture(photo, local.get(photo.id) ?? "", caption));
  });
  return place;
}

/** @param {string} words */
export function awaited(words) {
  return el("figure", { class: "shot shot-awaited" }, el("p", {}, words));
}

/** @param {Row} photo @param {string} address @param {string} caption */
function picture(photo, address, caption) {
  const image = /** @type {HTMLImageElement} */ (el("img", { src: address, alt: caption, loading: "lazy" }));
  const marks = marksOver(image, false);
  const open = el("button", { type: "button", class: "shot-open", "aria-label": _("%(caption)s; large, to draw on", { caption: captionWith(caption, photo.marks ?? []) }) }, image, marks.layer);
  marks.draw(photo.marks ?? []);
  const figure = el("figure", { class: "shot" }, open, el("figcaption", {}, caption));
  image.addEventListener("error", () => void keptPicture(photo.id).then((kept) => {
    if (kept && image.src !== kept) image.src = kept;
    else figure.replaceWith(awaited(_("%(caption)s: cannot be shown now; it is kept", { caption })));
  }));
  if (photo.state === "stored") void smallFirst(image, photo.id, address);
  open.addEventListener("click", () => openPhoto(photo, photo.state === "stored" ? `/photos/${photo.id}?size=full` : address, caption));
  return figure;
}

/**
 * A kept picture is there at once, also while a frozen server lets the larger one wait; that takes its place when it comes.
 * @param {HTMLImageElement} image @param {string} photo @param {string} address
 */
async function smallFirst(image, photo, address) {
  const kept = await keptPicture(photo);
  if (!kept || (image.complete && image.naturalWidth > 0)) return;
  image.src = kept;
  const larger = new Image();
  larger.addEventListener("load", () => (image.src = address));
  larger.src = address;
}

/**
 * Photos of a marker by what they show; those of a whole job belong to each of its markers.
 * @param {Row[]} photos
 * @param {string} marker
 * @param {Set<string>} jobs the marker is or was in
 * @param {string} role
 */
export function photosOf(photos, marker, jobs, role) {
  return photos.filter((photo) => photo.role === role && photo.state !== "removed" && (photo.marker === marker || (!photo.marker && jobs.has(photo.job))))
    .sort((a, b) => (a.at ?? 0) - (b.at ?? 0));
}

/**
 * Two buttons that take a photo: some tablets go straight to the camera, so a file can be chosen too.
 * @param {string} words what it shows
 * @param {() => {unit: string, marker: string | null, job: string | null, role: "found" | "after"}} what asked when tapped
 * @param {HTMLElement} fault where a sentence goes
 * @param {() => void} [taken]
 */
export function photoButtons(words, what, fault, taken) {
  /** @param {"camera" | "file"} from */
  const take = async (from) => {
    fault.textContent = "";
    try {
      const file = await pickPhoto(from);
      if (!file) return;
      await addPhoto(file, what());
      taken?.();
    } catch (problem) {
      fault.textContent = problem instanceof PhotoError || problem instanceof Error ? problem.message : _("The photo was not kept; take it again.");
    }
  };
  const camera = button(words, { "data-photo": "camera" }, pic("ui-camera"));
  const file = button(_("From a file"), { class: "btn btn-word", "data-photo": "file" });
  camera.addEventListener("click", () => void take("camera"));
  file.addEventListener("click", () => void take("file"));
  return el("div", { class: "row" }, camera, file);
}
