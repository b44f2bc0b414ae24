/**
 * Reads the changes of one scope (a unit, or the whole plant) into the cached rows: at once, then every few seconds
 * while the page can be seen.
 */

import { ApiError, ask } from "./api.js";
import { about, pause } from "./backoff.js";
import { emit, on } from "./bus.js";
import { observe } from "./clock.js";
import { forgetWhoLeft, settleSwitch } from "./identity.js";
import { settings } from "./settings.js";
import { got, run } from "./store.js";
import { outOfReach, recognised, signedOut, syncStatus } from "./sync.js";

/** @typedef {import("./types.js").Feed} Feed */
/** @typedef {import("./types.js").Row} Row */
/** @typedef {import("./types.js").Rows} Rows */

const FORGET_SCOPE_AFTER = 14 * 24 * 3600 * 1000;
const OPEN = "*"; // not a scope of rows: how far all open units have been read together

/**
 * Keep one scope up to date until the returned `stop` is called.
 * @param {string} scope unit id, or "" for the plant
 * @returns {{poll: () => Promise<void>, stop: () => void}}
 */
export function follow(scope) {
  let failures = 0;
  let stopped = false;
  /** @type {Promise<void> | null} */
  let running = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;

  const poll = () => {
    clearTimeout(timer);
    running ??= once().finally(() => {
      running = null;
    });
    return running;
  };
  const once = async () => {
    try {
      await settleSwitch();
      await pull(scope);
      failures = 0;
      recognised();
    } catch (fault) {
      failures += 1; // sync.js tells the person; a list that is a little old needs no second alarm
      if (fault instanceof ApiError && fault.status === 401) void signedOut(fault);
      else if (fault instanceof ApiError && fault.away) void outOfReach(fault);
    }
    plan();
  };
  const plan = () => {
    if (stopped || document.hidden) return;
    const wait = failures === 0 ? about(settings.pollEvery) : pause(failures, { base: settings.pollEvery, cap: settings.retryCap });
    timer = setTimeout(poll, wait);
  };
  const seen = () => (document.hidden ? clearTimeout(timer) : void poll());
  document.addEventListener("visibilitychange", seen);
  const stopListening = on("identity", () => void (failures > 0 && poll())); // whoever signed in does not wait for the next round
  void poll();
  return {
    poll,
    stop: () => {
      stopped = true;
      clearTimeout(timer);
      document.removeEventListener("visibilitychange", seen);
      stopListening();
    },
  };
}

/**
 * Read what changed since last time. After a restore (another epoch) every cached row goes and is read anew; what
 * waits in the outbox stays.
 * @param {string} scope
 * @returns {Promise<void>}
 * @throws {import("./api.js").ApiError}
 */
export async function pull(scope) {
  const feed = await readFeed(scope);
  const { events, photos } = syncStatus();
  const query = new URLSearchParams({ since: String(feed?.n ?? 0), pending: String(events + photos) });
  if (scope !== "") query.set("unit", scope);
  const path = `/changes?${query}`;
  const etag = feed?.etagFor === path ? feed.etag : null;
  const heard = await ask(path, { etag, timeout: settings.pollTimeout });
  if (heard.status === 304 || !heard.data?.rows) return;
  await observe(heard.data.now, heard.askedAt, heard.heardAt);
  if (feed && feed.epoch !== heard.data.epoch) {
    await forgetRows();
    return pull(scope);
  }
  await takeIn(scope, feed, heard.data, { etag: heard.etag, etagFor: path });
}

/**
 * @param {string} scope
 * @param {Feed | null} feed
 * @param {{epoch: string, n: number, rows: Rows}} data
 * @param {{etag: string | null, etagFor: string}} tag
 */
async function takeIn(scope, feed, { epoch, n, rows }, { etag, etagFor }) {
  const changed = Object.values(rows).some((list) => list.length > 0) || n !== feed?.n;
  await forgetWhoLeft(rows.people ?? []); // before it is noted as read: a page closed half-way reads it again
  await run(["rows", "feeds", "settled"], "readwrite", async (tx) => {
    const store = tx.objectStore("rows");
    for (const [table, list] of Object.entries(rows)) {
      for (const row of list) {
        const id = keyOf(row);
        store.put({ scope, table, id, row: { ...row, id } });
      }
    }
    // The etag answers "nothing since n"; it holds for the next request only when that asks for the same n.
    const same = feed?.n === n;
    await got(tx.objectStore("feeds").put({ scope, epoch, n, etag: same ? etag : null, etagFor: same ? etagFor : "", openedAt: Date.now() }));
    await dropSeen(tx);
  });
  if (changed) emit("rows", { scope });
}

/**
 * Read what changed on all open units into their own scopes, so that each can be opened without the server. It tells the
 * server nothing about who has what before them.
 * @returns {Promise<void>}
 * @throws {import("./api.js").ApiError}
 */
export async function pullOpen() {
  const feed = await readFeed(OPEN);
  const path = `/changes?since=${feed?.n ?? 0}&units=open`;
  const heard = await ask(path, { etag: feed?.etagFor === path ? feed.etag : null, timeout: settings.pollTimeout });
  if (heard.status === 304 || !heard.data?.rows) return;
  if (feed && feed.epoch !== heard.data.epoch) {
    await forgetRows();
    return pullOpen();
  }
  await takeInOpen(feed, heard.data, { etag: heard.etag, etagFor: path });
}

/**
 * @param {Feed | null} feed
 * @param {{epoch: string, n: number, rows: Rows}} data
 * @param {{etag: string | null, etagFor: string}} tag
 */
async function takeInOpen(feed, { epoch, n, rows }, { etag, etagFor }) {
  /** @type {Map<string, {scope: string, table: string, id: string, row: Row}[]>} */
  const found = new Map();
  for (const [table, list] of Object.entries(rows)) {
    for (const row of table === "people" ? [] : list) { // people are read with the plant, see cachedRows
      const scope = table === "units" ? row.id : row.unit;
      const id = keyOf(row);
      const own = found.get(scope) ?? [];
      own.push({ scope, table, id, row: { ...row, id } });
      found.set(scope, own);
    }
  }
  const changed = await run(["rows", "feeds", "settled"], "readwrite", async (tx) => {
    const [store, feeds] = [tx.objectStore("rows"), tx.objectStore("feeds")];
    const taken = [];
    for (const [scope, list] of found) {
      /** @type {Feed | undefined} */
      const own = await got(feeds.get(scope));
      // Its page has read further, or reads it as somebody on a second walk sees it: then it is not for us to write.
      if (own && (own.n >= n || own.epoch !== epoch)) continue;
      for (const row of list) store.put(row);
      feeds.put({ scope, epoch, n, etag: null, etagFor: "", openedAt: Date.now() });
      taken.push(scope);
    }
    const same = feed?.n === n;
    await got(feeds.put({ scope: OPEN, epoch, n, etag: same ? etag : null, etagFor: same ? etagFor : "", openedAt: Date.now() }));
    await dropSeen(tx);
    return taken;
  });
  for (const scope of changed) emit("rows", { scope });
}

/**
 * Some rows have no id of their own but are one of a kind by what they join: a gate of a unit, a sheet's revision.
 * @param {Record<string, any>} row
 * @returns {string}
 */
function keyOf(row) {
  return row.id ?? ["unit", "job", "marker", "gate", "zone", "lap", "revision", "tablet"].map((name) => row[name] ?? "").join("/");
}

/**
 * A settled event goes once every cached scope that shows its unit has read past it.
 * @param {IDBTransaction} tx
 */
async function dropSeen(tx) {
  /** @type {Feed[]} */
  const feeds = await got(tx.objectStore("feeds").getAll());
  for (const item of await got(tx.objectStore("settled").getAll())) {
    const showing = feeds.filter((feed) => feed.scope === "" || item.event.stream === `unit:${feed.scope}`);
    if (showing.length > 0 && showing.every((feed) => feed.n >= item.n)) tx.objectStore("settled").delete(item.seq);
  }
}

/** Drop everything that came from the server. The outbox and its answers are ours and stay. */
export async function forgetRows() {
  await run(["rows", "feeds", "settled"], "readwrite", async (tx) => {
    await Promise.all(["rows", "feeds", "settled"].map((name) => got(tx.objectStore(name).clear())));
  });
}

/** Drop the scopes nobody has opened for two weeks. */
export async function forgetOldScopes() {
  await run(["rows", "feeds"], "readwrite", async (tx) => {
    for (const feed of await got(tx.objectStore("feeds").getAll())) {
      if (feed.openedAt > Date.now() - FORGET_SCOPE_AFTER) continue;
      tx.objectStore("feeds").delete(feed.scope);
      tx.objectStore("rows").delete(IDBKeyRange.bound([feed.scope], [feed.scope, []]));
    }
  });
}

/**
 * @param {string} scope
 * @returns {Promise<Feed | null>}
 */
async function readFeed(scope) {
  return (await run(["feeds"], "readonly", (tx) => got(tx.objectStore("feeds").get(scope)))) ?? null;
}

/**
 * The cached rows of one scope, by table. People who are known from the plant alone are among them.
 * @param {string} scope
 * @returns {Promise<Rows>}
 */
export async function cachedRows(scope) {
  const { found, everyone } = await run(["rows"], "readonly", async (tx) => {
    const store = tx.objectStore("rows");
    const [own, people] = await Promise.all([
      got(store.getAll(IDBKeyRange.bound([scope], [scope, []]))),
      scope === "" ? [] : got(store.getAll(IDBKeyRange.bound(["", "people"], ["", "people", []]))),
    ]);
    return { found: own, everyone: people };
  });
  /** @type {Rows} */
  const rows = {};
  for (const { table, row } of found) (rows[table] ??= []).push(row);
  const known = new Map([...everyone.map(({ row }) => row), ...(rows.people ?? [])].map((row) => [row.id, row]));
  if (known.size > 0) rows.people = [...known.values()];
  return rows;
}
