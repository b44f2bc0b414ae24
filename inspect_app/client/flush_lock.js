/**
 * One flusher at a time, over all tabs: Web Locks where they exist (https), else a lease in IndexedDB.
 *
 * A tab may be frozen while it holds the lock, so the holder also beats: a lock whose beat has stopped is taken over.
 * Two flushers at once would harm nothing, the server knows each event by its id; they would waste the shop's Wi-Fi.
 */

import { uuid7 } from "./ids.js";
import { got, run } from "./store.js";

const NAME = "lampwalk-flush";
export const LEASE_MS = 15000;
const BEAT_MS = 5000;

/**
 * Run `work` unless another tab is at it.
 * @param {() => Promise<void>} work
 * @returns {Promise<boolean>} false when another tab is at it
 */
export async function alone(work) {
  if (!navigator.locks) return (await takeLease()) && beating(work);
  const free = await navigator.locks.request(NAME, { ifAvailable: true }, (lock) => lock !== null && beating(work, true));
  if (free || !(await takeLease(false, true))) return free;
  return navigator.locks.request(NAME, { steal: true }, () => beating(work));
}

/**
 * @param {() => Promise<void>} work
 * @param {boolean} [force] the lock is ours for certain, whatever a dead tab's lease says
 * @returns {Promise<true>}
 */
async function beating(work, force = false) {
  await takeLease(force);
  const beat = setInterval(() => void takeLease().catch(() => false), BEAT_MS);
  try {
    await work();
  } finally {
    clearInterval(beat);
    await releaseLease();
  }
  return true;
}

/**
 * This tab's name. It survives a reload, so that a page killed while sending need not wait for its own lease.
 * @returns {string}
 */
function holder() {
  const name = sessionStorage.getItem(NAME) ?? uuid7();
  sessionStorage.setItem(NAME, name);
  return name;
}

/**
 * @param {boolean} [force]
 * @param {boolean} [held] another tab has the lock: without a lease it has only just begun, or ends, and gets the time of one
 * @returns {Promise<boolean>}
 */
async function takeLease(force = false, held = false) {
  const now = Date.now();
  return run(["meta"], "readwrite", async (tx) => {
    const meta = tx.objectStore("meta");
    const lease = (await got(meta.get("lease")))?.value;
    const foreign = lease && lease.holder !== holder();
    // One that ends far in the future was taken before someone set the clock back.
    const runs = foreign && lease.until > now && lease.until <= now + LEASE_MS;
    if (runs && !force) return false;
    const waits = held && !lease;
    await got(meta.put({ key: "lease", value: { holder: waits ? "" : holder(), until: now + LEASE_MS } }));
    return !waits;
  });
}

async function releaseLease() {
  await run(["meta"], "readwrite", async (tx) => {
    const meta = tx.objectStore("meta");
    if ((await got(meta.get("lease")))?.value.holder === holder()) await got(meta.delete("lease"));
  });
}
