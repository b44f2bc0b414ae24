/**
 * Small pictures of the photos on open units, kept on the tablet for the time without a server: the newest ones, as
 * bytes. They can be had again, so they go first when the tablet has no room.
 */

import { fetchFile } from "./api.js";
import { settings } from "./settings.js";
import { got, run } from "./store.js";

/** @typedef {import("./types.js").Row} Row */

const MOST = 400;

/**
 * Keep the pictures of these photos and no others.
 * @param {Row[]} photos of open units
 * @returns {Promise<void>}
 * @throws {import("./api.js").ApiError | import("./store.js").StoreError}
 */
export async function keepPictures(photos) {
  const wanted = photos.filter((photo) => photo.state === "stored").sort((a, b) => (b.at ?? 0) - (a.at ?? 0)).slice(0, MOST).map((photo) => photo.id);
  const have = await run(["pictures"], "readonly", (tx) => got(tx.objectStore("pictures").getAllKeys()));
  const gone = have.filter((key) => !wanted.includes(String(key)));
  if (gone.length > 0) await run(["pictures"], "readwrite", (tx) => Promise.all(gone.map((key) => got(tx.objectStore("pictures").delete(key)))));
  for (const photo of wanted.filter((key) => !have.includes(key))) await keepOne(photo);
}

/** @param {string} photo */
async function keepOne(photo) {
  const answer = await fetchFile(`/photos/${photo}?size=thumb`, settings.pollTimeout);
  const type = answer.headers.get("Content-Type") ?? "";
  if (!type.startsWith("image/")) return;
  const data = await answer.arrayBuffer();
  await run(["pictures"], "readwrite", (tx) => got(tx.objectStore("pictures").put({ photo, data, type })));
}

/** @type {Map<string, string>} photo to the address of its kept picture in this page */
const shown = new Map();

/**
 * The address of a kept picture, for as long as the page is open.
 * @param {string} photo
 * @returns {Promise<string | null>} null when there is none
 */
export async function keptPicture(photo) {
  const before = shown.get(photo);
  if (before) return before;
  const kept = await run(["pictures"], "readonly", (tx) => got(tx.objectStore("pictures").get(photo))).catch(() => null);
  if (!kept) return null;
  const address = URL.createObjectURL(new Blob([kept.data], { type: kept.type }));
  shown.set(photo, address);
  return address;
}

/**
 * Make room.
 * @returns {Promise<boolean>} whether there were any
 */
export async function dropPictures() {
  return run(["pictures"], "readwrite", async (tx) => {
    const count = await got(tx.objectStore("pictures").count());
    await got(tx.objectStore("pictures").clear());
    return count > 0;
  });
}

/** @returns {Promise<number>} how many are kept */
export async function countPictures() {
  return run(["pictures"], "readonly", (tx) => got(tx.objectStore("pictures").count()));
}
