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
  return all.map(({ data, ...rest }) => ({ ...rest, bytes: rest.bytes ?? data.byteLength })).sort((a, b) => a.seq - b.seq);
}

/**
 * Keep a photo in a running transaction: what it is, and apart from that its bytes.
 * @param {IDBTransaction} tx over photos_out and photo_bytes
 * @param {{photo: string, data: ArrayBuffer, type: string}} photo
 * @param {{event: string, seq: number}} of
 */
export async function layPhoto(tx, { photo, data, type }, { event, seq }) {
  await got(tx.objectStore("photos_out").add({ photo, type, event, seq, bytes: data.byteLength, refused: null, retryAt: 0 }));
  await got(tx.objectStore("photo_bytes").add({ photo, data }));
}

/**
 * @param {IDBTransaction} tx over photos_out and photo_bytes
 * @param {string} photo
 */
export async function dropPhoto(tx, photo) {
  await got(tx.objectStore("photos_out").delete(photo));
  await got(tx.objectStore("photo_bytes").delete(photo));
}

/**
 * A photo with its bytes; an older Lampwalk kept them in one place.
 * @param {IDBTransaction} tx over photos_out and photo_bytes
 * @param {any} row
 * @returns {Promise<OutPhoto>}
 */
async function whole(tx, row) {
  return { ...row, data: row.data ?? (await got(tx.objectStore("photo_bytes").get(row.photo)))?.data };
}

/**
 * The next photo whose event the server already has: sent before it, the server could not know whose it is.
 * @param {number} now
 * @returns {Promise<OutPhoto | null>}
 */
export async function nextPhoto(now) {
  return run(["photos_out", "photo_bytes", "outbox", "answers"], "readonly", async (tx) => {
    const photos = await got(tx.objectStore("photos_out").getAll());
    for (const photo of photos.sort((a, b) => a.seq - b.seq)) {
      if (photo.refused !== null || photo.retryAt > now) continue;
      if (await got(tx.objectStore("outbox").index("id").getKey(photo.event))) continue;
      if ((await got(tx.objectStore("answers").get(photo.event)))?.outcome === "refused") continue;
      return whole(tx, photo);
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
  return run(["photos_out", "photo_bytes"], "readonly", async (tx) => {
    const row = await got(tx.objectStore("photos_out").get(photo));
    return row ? whole(tx, row) : null;
  });
}

/**
 * The server has it.
 * @param {string} photo
 */
export async function photoStored(photo) {
  await run(["photos_out", "photo_bytes"], "readwrite", (tx) => dropPhoto(tx, photo));
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
