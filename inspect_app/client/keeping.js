/**
 * Keeps on the tablet what work on any open unit needs without the server: rows, catalogue, outlines, small pictures.
 * In the background, when the page has come to rest, then every minute while it can be seen.
 */

import { emit } from "./bus.js";
import { cachedRows, pull, pullOpen } from "./feed.js";
import { keepPictures } from "./pictures.js";
import { settings } from "./settings.js";
import { readMeta, writeMeta } from "./store.js";
import { syncStatus } from "./sync.js";
import { CATALOGUE, JUDGEMENT, LIFECYCLE, current, outlineOf } from "./versions.js";

/** @typedef {{at: number, units: number, pictures: number}} Kept */

const HOUR = 3_600_000;
let versionsAt = 0;

/**
 * @param {() => Promise<void>} install also done when the page has come to rest
 */
export function startKeeping(install) {
  setTimeout(() => {
    void install();
    void round();
  }, settings.keepAfter);
  setInterval(() => void round(), settings.keepEvery);
}

/** One round; another tab that is at it, or a page nobody looks at, makes this one unneeded. */
async function round() {
  if (document.hidden || !["idle", "sending"].includes(syncStatus().phase)) return;
  const { locks } = navigator;
  await (locks ? locks.request("lampwalk-keeping", { ifAvailable: true }, (lock) => (lock ? once() : undefined)) : once());
}

async function once() {
  const before = await keptHere().catch(() => null);
  if (before && Date.now() - before.at < settings.keepEvery * 0.8 && before.at <= Date.now()) return;
  try {
    await keepNow();
  } catch {
    // The server went away, or there is no room: what is kept so far stays, and the next round goes on from there.
  }
}

/**
 * Read everything that has changed, and note that it is here.
 * @returns {Promise<void>}
 */
export async function keepNow() {
  await pull("");
  await pullOpen();
  const { units = [], photos = [] } = await cachedRows("");
  const open = new Set(units.filter((unit) => unit.state === "open").map((unit) => unit.id));
  if (Date.now() - versionsAt > HOUR) {
    await current(LIFECYCLE);
    await current(JUDGEMENT);
    await current(CATALOGUE);
    versionsAt = Date.now();
  }
  for (const hash of new Set(units.filter(({ id }) => open.has(id)).map((unit) => unit.outline))) await outlineOf(hash);
  const note = { at: Date.now(), units: open.size, pictures: 0 };
  await writeMeta("kept", note); // work can go on from here; pictures come after
  const shown = photos.filter((photo) => open.has(photo.unit));
  await keepPictures(shown);
  await writeMeta("kept", { ...note, pictures: shown.length });
  emit("app");
}

/** @returns {Promise<Kept | null>} what was kept last; null when nothing was yet */
export async function keptHere() {
  return (await readMeta("kept")) ?? null;
}
