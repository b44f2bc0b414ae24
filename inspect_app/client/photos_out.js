/** Photos that wait to be sent. One leaves only after the server has said what became of that very photo. */

import { emit } from "./bus.js";
import { got, run } from "./store.js";

/** @typedef {import("./types.js").OutPhoto} OutPhoto */

/**
 * All photos still here, oldest first, with how many bytes they have instead of these.
 * @returns {Promise<(Omit<OutPhoto, "data"> & {bytes: number})[]>}
 */
export async function photosWaiting() {
  const all = await run(["photos_out"], "readonly", (tx) => got(tx.objectStore("photos_out").getAll()));
  return all.map(({ data, ...rest }) => ({ ...rest, bytes: data.byteLength })).sort((a, b) => a.seq - b.seq);
}

/**
 * The next photo whose event the server already has: sent before it, the server could not know whose it is.
 * @param {number} now
 * @returns {Promise<OutPhoto | null>}
 */
export async function nextPhoto(now) {
  return run(["photos_out", "outbox", "answers"], "readonly", async (tx) => {
    const photos = await got(tx.objectStore("photos_out").getAll());
    for (const photo of photos.sort((a, b) => a.seq - b.seq)) {
      if (photo.refused !== null || photo.retryAt > now) continue;
      if (await got(tx.objectStore("outbox").index("id").getKey(photo.event))) continue;
      if ((await got(tx.objectStore("answers").get(photo.event)))?.outcome === "refused") continue;
      return photo;
    }
    return null;
  });
}

/**
 * The bytes of a photo that is still on the tablet, to show before the server has it.
 * @param {string} photo
 * @returns {Promise<OutPhoto | null>}
 */
export async function localPhoto(photo) {
  return (await run(["photos_out"], "readonly", (tx) => got(tx.objectStore("photos_out").get(photo)))) ?? null;
}

/**
 * The server has it.
 * @param {string} photo
 */
export async function photoStored(photo) {
  await run(["photos_out"], "readwrite", (tx) => got(tx.objectStore("photos_out").delete(photo)));
  emit("outbox", { photo });
}

/**
 * The server will not have it (reason), or not yet (retryAt).
 * @param {string} photo
 * @param {{refused?: string | null, retryAt?: number}} change
 */
export async function photoHeld(photo, change) {
  await run(["photos_out"], "readwrite", async (tx) => {
    const held = await got(tx.objectStore("photos_out").get(photo));
    if (held) await got(tx.objectStore("photos_out").put({ ...held, ...change }));
  });
  emit("outbox", { photo });
}

/**
 * A person has read why it was refused.
 * @param {string} photo
 */
export async function dismissPhoto(photo) {
  await photoStored(photo);
}
