/**
 * Keeps the app on the tablet, so that its pages open without the server. Sent as /sw.js with `KEPT` before it: the
 * version's name, the addresses of its scripts, styles and pictures, and its pages that know nobody.
 *
 * It keeps nothing that a server said to a person: no page with a name on it, no sign-in, no token, no rows. It answers
 * two kinds of request: files of an edition, from what is kept; and pages, from the server when that answers in time,
 * else with the kept page. Everything else goes its way.
 */

/** @typedef {{version: string, assets: string[], shells: Record<string, string>}} Kept */

const worker = /** @type {any} */ (self);
/** @type {Kept} */
// @ts-ignore: written before this script by the server
const kept = KEPT;
const CACHE = `lampwalk-${kept.version}`;
const BEFORE = "/lampwalk-before"; // under this address an older version is named that unsent work still holds here
const PATIENCE = 3000; // ms for a page that is kept here
const PATIENCE_ELSE = 20000; // for one that only the server has
const ASSET = /^\/e\/[0-9a-f]+\//;
const AWAY = [502, 503, 504]; // what a proxy says for a server that is gone, and a server that is stopping

worker.addEventListener("install", (/** @type {any} */ event) => event.waitUntil(keepAll()));
worker.addEventListener("activate", (/** @type {any} */ event) => event.waitUntil(takeOver()));
worker.addEventListener("message", (/** @type {any} */ event) => {
  if (event.data === "take over") void worker.skipWaiting();
});
worker.addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (ASSET.test(pathname)) event.respondWith(asset(request));
  else if (request.mode === "navigate") event.respondWith(page(request, pathname));
});

/** One after the other: whoever works on the page has the line to the server first. All of it, or it is not installed. */
async function keepAll() {
  const cache = await caches.open(CACHE);
  const wanted = [...kept.assets, ...Object.values(kept.shells)];
  for (const address of wanted) {
    const isAsset = ASSET.test(address);
    if (isAsset && (await cache.match(address, { ignoreVary: true }))) continue;
    // A page is asked for by nobody: no cookie goes with it.
    const answer = await fetch(address, { credentials: "omit", cache: isAsset ? "default" : "no-store", signal: AbortSignal.timeout(60000) });
    if (!answer.ok || answer.redirected || answer.type !== "basic") throw new Error(`${address} was not sent as it should be (${answer.status})`);
    await cache.put(address, answer);
  }
}

/** From now on this version answers, unless unsent work still holds the one before; that is kept until it has gone out. */
async function takeOver() {
  const older = await others();
  const [before] = (await unsent()) ? older : [];
  if (before) await (await caches.open(CACHE)).put(BEFORE, new Response(before));
  await drop(older.filter((name) => name !== before));
  await worker.clients.claim();
}

/** @returns {Promise<string[]>} other versions that are kept here, the newest first */
async function others() {
  return (await caches.keys()).filter((name) => name.startsWith("lampwalk-") && name !== CACHE).reverse();
}

/** @param {string[]} names */
async function drop(names) {
  await Promise.all(names.map((name) => caches.delete(name)));
}

/**
 * The version whose pages are shown: an older one as long as work waits that was made with it.
 * @returns {Promise<string>}
 */
async function inUse() {
  const cache = await caches.open(CACHE);
  const before = await (await cache.match(BEFORE))?.text();
  if (!before || !(await caches.has(before))) return CACHE;
  if (await unsent()) return before;
  await drop([before]);
  await cache.delete(BEFORE);
  return CACHE;
}

/** Files are named by their content, so whichever version kept it, it is the right one. @param {Request} request */
async function asset(request) {
  return (await caches.match(request, { ignoreVary: true })) ?? fetch(request);
}

/**
 * A page from the server, or the kept one when the server is away, frozen or stopping, or has a newer version for which
 * it is too early.
 * @param {Request} request
 * @param {string} path
 */
async function page(request, path) {
  const shell = shellOf(path);
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(shell ? PATIENCE : PATIENCE_ELSE) });
    if (!AWAY.includes(answer.status) && !(shell && (await tooEarly(answer)))) return answer;
    return (await keptPage(shell ?? "floor")) ?? answer;
  } catch (fault) {
    const answer = await keptPage(shell ?? "floor");
    if (answer) return answer;
    throw fault;
  }
}

/** @param {Response} answer */
async function tooEarly(answer) {
  const theirs = answer.headers.get("X-Lampwalk-Version");
  return theirs !== null && `lampwalk-${theirs}` !== (await inUse()) && (await unsent());
}

/** @param {string} path @returns {string | null} the kept page for an address; null for one that only the server has */
function shellOf(path) {
  if (path === "/") return "floor";
  if (/^\/rework(\/[^/]+)?$/.test(path)) return "rework";
  return /^\/(walk|again)\/[^/]+$/.exec(path)?.[1] ?? null;
}

/** @param {string} name @returns {Promise<Response | undefined>} */
async function keptPage(name) {
  const cache = await caches.open(await inUse());
  // One of each name is kept; a version from before a change of language has it under another question mark.
  return cache.match(kept.shells[name] ?? "", { ignoreVary: true, ignoreSearch: true });
}

/** Does anything wait in the outbox? The store is only looked at, never made. @returns {Promise<boolean>} */
function unsent() {
  return new Promise((resolve) => {
    const opening = indexedDB.open("lampwalk");
    opening.onupgradeneeded = () => opening.transaction?.abort(); // there is none: making it is the pages' work
    opening.onerror = () => resolve(false);
    opening.onsuccess = () => {
      const db = opening.result;
      /** @param {boolean} found */
      const say = (found) => {
        db.close();
        resolve(found);
      };
      try {
        const tx = db.transaction(["outbox", "photos_out"]);
        const counts = ["outbox", "photos_out"].map((name) => tx.objectStore(name).count());
        tx.oncomplete = () => say(counts.some((count) => count.result > 0));
        tx.onabort = () => say(true); // not known: then nothing is thrown away
      } catch {
        say(false);
      }
    };
  });
}
