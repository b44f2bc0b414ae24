/**
 * The outbox as a file: what waits, what was refused for who, when or where, the tickets that prove the authors, and the
 * photos in base64. JSON of our own, read by `rooms/setup/outbox_file.py`.
 *
 * A file holds all entries and as many photos as fit; further photos go into further files. Each stands alone, since
 * entries that come twice are known by their ids.
 */

import { tokensFor } from "./identity.js";
import { answers, forManager, waiting } from "./outbox.js";
import { localPhoto, photosWaiting } from "./photos_out.js";
import { readMeta } from "./store.js";

const PHOTO_BYTES = 20_000_000; // in one file; base64 makes a third more of it, and the server takes 40 MB
const PHOTOS = 400;

/**
 * @typedef {object} Plan  one file to be
 * @property {string} name
 * @property {string} tablet
 * @property {import("./types.js").KeptEvent[]} events
 * @property {string[]} refused  ids of those that were refused
 * @property {string[]} photos
 */

/**
 * Which files would hold everything; none when there is nothing to save.
 * @param {number} now
 * @returns {Promise<Plan[]>}
 */
export async function plan(now) {
  const [items, held, photos, letters] = await Promise.all([waiting(), answers(), photosWaiting(), readMeta("letters")]);
  const refused = held.filter(forManager);
  const events = [...items, ...refused].map(({ event }) => event).sort((a, b) => a.seq - b.seq);
  const lost = new Set(held.filter((one) => one.outcome === "refused" && !forManager(one)).map(({ id }) => id));
  const groups = grouped(photos.filter((photo) => photo.refused === null && !lost.has(photo.event)));
  if (events.length === 0 && groups.length === 0) return [];
  const tablet = events[0]?.tablet ?? (await readMeta("me"))?.tablet ?? "";
  const start = `lampwalk-outbox-${letters ?? "tablet"}-${day(now)}`;
  const all = groups.length === 0 ? [[]] : groups;
  return all.map((group, i) => ({ name: `${start}${i === 0 ? "" : `-${i + 1}`}.json`, tablet, events, refused: refused.map(({ id }) => id), photos: group }));
}

/** @param {number} now in local time, as on the wall */
function day(now) {
  const date = new Date(now - new Date(now).getTimezoneOffset() * 60_000);
  return date.toISOString().slice(0, 10);
}

/**
 * @param {{photo: string, bytes: number}[]} photos
 * @returns {string[][]}
 */
function grouped(photos) {
  /** @type {string[][]} */
  const groups = [];
  let room = 0;
  for (const { photo, bytes } of photos) {
    const last = groups.at(-1);
    if (!last || bytes > room || last.length >= PHOTOS) {
      groups.push([photo]);
      room = PHOTO_BYTES - bytes;
    } else {
      last.push(photo);
      room -= bytes;
    }
  }
  return groups;
}

/**
 * Write one file, one photo at a time: all at once may be more than an old tablet has.
 * @param {Plan} file
 * @param {number} now
 * @returns {Promise<Blob>}
 */
export async function write({ tablet, events, photos }, now) {
  const tickets = await tokensFor(events.map((event) => event.ticket));
  const head = JSON.stringify({ format: "lampwalk-outbox", version: 1, tablet, saved_at: now, tickets, events });
  /** @type {BlobPart[]} */
  const parts = [head.slice(0, -1), ',"photos":['];
  for (const id of photos) {
    const photo = await localPhoto(id);
    if (!photo) continue; // it was sent meanwhile
    const { data, ...rest } = { photo: photo.photo, event: photo.event, type: photo.type, data: base64(photo.data) };
    parts.push(parts.length > 2 ? "," : "", JSON.stringify(rest).slice(0, -1), `,"data":"${data}"}`);
  }
  return new Blob([...parts, "]}"], { type: "application/json" });
}

/** @param {ArrayBuffer} data */
function base64(data) {
  const bytes = new Uint8Array(data);
  let text = "";
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}
