/** What this tablet keeps for the time without a server, in sentences. */

import { count, moment } from "./in_words.js";
import { newerWaits, reloads } from "./installed.js";
import { keptHere } from "./keeping.js";
import { syncStatus } from "./sync.js";

/**
 * @returns {Promise<string[]>}
 */
export async function keptWords() {
  const kept = await keptHere().catch(() => null);
  return [reloadWords(), unitWords(kept), await roomWords(), ...newer()].filter(Boolean);
}

function reloadWords() {
  if (reloads() === "yes") return "This page opens without the server too, also after a reload.";
  if (reloads() === "soon") return "Without the server a reload does not work yet; in a moment it will.";
  return "A reload needs the server here, since this address keeps no pages; an open page goes on without it.";
}

/** @param {import("./keeping.js").Kept | null} kept */
function unitWords(kept) {
  if (!kept) return "No units are kept on this tablet yet; leave the page open a moment.";
  const pictures = kept.pictures > 0 ? " with their photos, small" : "";
  return `${count(kept.units, "open unit")} kept on this tablet${pictures}, as of ${moment(kept.at, Date.now())}.`;
}

/** Space, where the browser says. */
async function roomWords() {
  try {
    const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.()) ?? {};
    if (quota === 0) return "";
    const safe = await navigator.storage.persisted?.();
    const words = safe ? "the browser does not clear it by itself" : "the browser may clear it when space is short, so send soon";
    return `${megabytes(usage)} of ${megabytes(quota)} used; ${words}.`;
  } catch {
    return "";
  }
}

/** @param {number} bytes */
function megabytes(bytes) {
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB` : `${(bytes / 1e9).toFixed(1)} GB`;
}

function newer() {
  const { events, photos } = syncStatus();
  if (!newerWaits()) return [];
  return [events + photos > 0 ? "A newer Lampwalk is here; it waits until everything is sent." : "A newer Lampwalk is ready: reload."];
}
