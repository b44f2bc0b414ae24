/**
 * Photos: from the camera or a file, made small on the tablet, kept together with their event in one transaction.
 *
 * Keep the marker first: the page may be killed while the camera is open.
 */

import { _ } from "./gettext.js";
import { uuid7 } from "./ids.js";
import { keep } from "./outbox.js";

/** @typedef {import("./types.js").KeptEvent} KeptEvent */

const LONGEST = 2048; // px
const QUALITY = 0.85;
const DECODE_WHOLE_BELOW = 6_000_000; // bytes; larger ones are decoded at the smaller size to spare memory
const LARGEST = 40_000_000; // bytes

/** A photo that cannot be taken in, in one sentence. */
export class PhotoError extends Error {
  /** @param {string} message */
  constructor(message) {
    super(message);
    this.name = "PhotoError";
  }
}

/**
 * Let the person take or choose a photo. Call it from a tap. On some tablets `capture` goes straight to the camera,
 * so a page offers both.
 * @param {"camera" | "file"} from
 * @returns {Promise<File | null>} null when they thought better of it
 */
export function pickPhoto(from) {
  const input = document.createElement("input");
  input.type = "file";
  input.accept = "image/*,.heic,.heif";
  if (from === "camera") input.setAttribute("capture", "environment");
  input.hidden = true;
  document.body.append(input); // some browsers forget an input that is in no document
  return new Promise((resolve) => {
    /** @param {File | null} file */
    const done = (file) => {
      input.remove();
      resolve(file);
    };
    input.addEventListener("change", () => done(input.files?.[0] ?? null));
    input.addEventListener("cancel", () => done(null));
    input.click();
  });
}

/**
 * Make a photo small and keep it with its event; it is sent after the event was answered.
 * @param {Blob} file
 * @param {{unit: string, marker?: string | null, job?: string | null, concession?: string | null, role: "found" | "after" | "concession" | "context"}} what
 * @returns {Promise<{photo: string, event: KeptEvent}>} once both are durably stored
 * @throws {PhotoError | import("./store.js").StoreError}
 */
export async function addPhoto(file, { unit, marker = null, job = null, concession = null, role }) {
  const { data, type } = await shrink(file);
  const photo = uuid7();
  const body = { photo, marker, job, role, ...(concession ? { concession } : {}) };
  const event = await keep({ type: "photo_added", stream: `unit:${unit}`, body }, { photo, data, type });
  return { photo, event };
}

/** @type {Promise<unknown>} one at a time: two decoded photos may be more than an old tablet has */
let before = Promise.resolve();

/**
 * Upright JPEG, 2048 px at most. What this browser cannot decode (HEIC, often) goes to the server as it is.
 * @param {Blob} file
 * @returns {Promise<{data: ArrayBuffer, type: string, width: number | null, height: number | null}>}
 * @throws {PhotoError}
 */
export function shrink(file) {
  const mine = before.then(() => small(file));
  before = mine.catch(() => undefined);
  return mine;
}

/** @param {Blob} file */
async function small(file) {
  if (file.size === 0) throw new PhotoError(_("This photo is empty; take it again."));
  if (file.size > LARGEST) throw new PhotoError(_("This file is larger than %(n)s MB; take the photo with the tablet's camera instead.", { n: LARGEST / 1e6 }));
  const bitmap = await decode(file).catch(() => null);
  if (!bitmap) return asItIs(file);
  try {
    return await encode(bitmap);
  } finally {
    bitmap.close();
  }
}

/**
 * @param {Blob} file
 * @returns {Promise<ImageBitmap>}
 */
async function decode(file) {
  if (file.size < DECODE_WHOLE_BELOW) return createImageBitmap(file, { imageOrientation: "from-image" });
  const probe = await createImageBitmap(file, { imageOrientation: "from-image", resizeWidth: 32 });
  const side = probe.width >= probe.height ? { resizeWidth: LONGEST } : { resizeHeight: LONGEST };
  probe.close();
  return createImageBitmap(file, { imageOrientation: "from-image", resizeQuality: "high", ...side });
}

/** @param {ImageBitmap} bitmap */
async function encode(bitmap) {
  const scale = Math.min(1, LONGEST / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  const pen = canvas.getContext("2d");
  if (!pen) throw new PhotoError(_("This tablet is short of memory for the photo; close other pages and take it again."));
  pen.imageSmoothingQuality = "high";
  pen.fillStyle = "#fff"; // JPEG knows no transparency
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  /** @type {Blob | null} */
  const blob = await new Promise((resolve) => {
    canvas.toBlob(resolve, "image/jpeg", QUALITY);
  });
  if (!blob) throw new PhotoError(_("This tablet is short of memory for the photo; close other pages and take it again."));
  const { width, height } = canvas;
  canvas.width = 0; // gives the memory back at once on some tablets
  return { data: await blob.arrayBuffer(), type: "image/jpeg", width, height };
}

/** @param {Blob} file */
async function asItIs(file) {
  const type = file.type || (/\.(heic|heif)$/i.test(/** @type {any} */ (file).name ?? "") ? "image/heic" : "");
  if (!type.startsWith("image/")) throw new PhotoError(_("This is not a photo; choose a JPEG, PNG, WebP or HEIC file."));
  return { data: await file.arrayBuffer(), type, width: null, height: null };
}
