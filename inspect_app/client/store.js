/**
 * The tablet's own store: IndexedDB "lampwalk".
 *
 * `run` resolves only when the transaction is complete, so "kept" means kept. Bytes are stored as ArrayBuffers, never
 * as Blobs, and everything is read by primary key or one unique index: both have been unreliable in some browsers.
 */

import { emit } from "./bus.js";
import { _ } from "./gettext.js";

const NAME = "lampwalk";
const VERSION = 2; // a version only adds: pages of an older Lampwalk may still be open, and go on with what they know

/** A fault of the tablet's storage, in one plain sentence. */
export class StoreError extends Error {
  /**
   * @param {string} message
   * @param {"full" | "absent" | "broken"} code
   */
  constructor(message, code) {
    super(message);
    this.name = "StoreError";
    this.code = code;
  }
}

/** @type {Promise<IDBDatabase> | null} */
let opening = null;

let made = false;

/** Was the store not there when this page opened it? */
export function storeWasMade() {
  return made;
}

/** @param {IDBDatabase} db @param {number} from its version before; 0 when there was none */
function layOut(db, from) {
  if (from < 1) layFirst(db);
  if (from < 2) {
    db.createObjectStore("pictures", { keyPath: "photo" });
    db.createObjectStore("photo_bytes", { keyPath: "photo" }); // apart: the list of what waits is read after each keep
  }
}

/** @param {IDBDatabase} db */
function layFirst(db) {
  db.createObjectStore("outbox", { keyPath: "seq" }).createIndex("id", "id", { unique: true });
  db.createObjectStore("photos_out", { keyPath: "photo" });
  db.createObjectStore("answers", { keyPath: "id" });
  db.createObjectStore("settled", { keyPath: "seq" });
  db.createObjectStore("rows", { keyPath: ["scope", "table", "id"] });
  db.createObjectStore("feeds", { keyPath: "scope" });
  db.createObjectStore("tickets", { keyPath: "id" });
  db.createObjectStore("meta", { keyPath: "key" });
}

/** @returns {Promise<IDBDatabase>} */
function connect() {
  opening ??= open(VERSION).catch((fault) => {
    if (fault?.name !== "VersionError") throw fault;
    return open(undefined); // a newer Lampwalk was here: it has what we need
  });
  opening.catch(forget);
  return opening;
}

/** @param {number | undefined} version @returns {Promise<IDBDatabase>} */
function open(version) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, version);
    let anew = false;
    request.onupgradeneeded = ({ oldVersion }) => {
      anew = oldVersion === 0;
      layOut(request.result, oldVersion);
    };
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onclose = forget; // the browser dropped the connection
      db.onversionchange = () => {
        db.close();
        forget();
      };
      if (anew) {
        made = true;
        emit("store-made");
      }
      resolve(db);
    };
  });
}

function forget() {
  opening = null;
}

/** Drop the connection, as a browser may at any time; the next `run` opens another. */
export async function disconnect() {
  const db = await opening;
  db?.close();
}

/**
 * Do some work in one transaction and resolve with its result once that is durably stored.
 *
 * `work` may await requests of this transaction (see `got`) and nothing else: any other await ends the transaction.
 * A lost connection is opened anew once; retrying the old handle never heals.
 *
 * @template T
 * @param {string[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(tx: IDBTransaction) => T | Promise<T>} work
 * @returns {Promise<T>}
 * @throws {StoreError}
 */
export async function run(stores, mode, work) {
  if (typeof indexedDB === "undefined" || indexedDB === null) {
    throw new StoreError(_("This browser offers no storage, so nothing can be kept; leave private browsing or use another browser."), "absent");
  }
  try {
    return await attempt(stores, mode, work);
  } catch (fault) {
    if (!isLost(fault)) throw inPlainWords(fault);
  }
  forget();
  try {
    return await attempt(stores, mode, work);
  } catch (fault) {
    throw inPlainWords(fault);
  }
}

/**
 * @template T
 * @param {string[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(tx: IDBTransaction) => T | Promise<T>} work
 * @returns {Promise<T>}
 */
async function attempt(stores, mode, work) {
  const db = await connect();
  // "strict": the default may be lost with the power even after oncomplete.
  const tx = db.transaction(stores, mode, { durability: mode === "readwrite" ? "strict" : "default" });
  const done = new Promise((resolve, reject) => {
    tx.oncomplete = () => resolve(undefined);
    tx.onabort = () => reject(tx.error ?? new DOMException("The transaction was aborted.", "AbortError"));
  });
  done.catch(() => undefined); // reported below; `work` may fail first
  try {
    const result = await work(tx);
    await done;
    return result;
  } catch (fault) {
    try {
      tx.abort();
    } catch {
      // it has ended already
    }
    throw tx.error ?? fault;
  }
}

/**
 * Await one request of the running transaction.
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
export function got(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** @param {any} fault */
function isLost(fault) {
  return ["InvalidStateError", "UnknownError", "AbortError"].includes(fault?.name);
}

/**
 * @param {any} fault
 * @returns {any}
 */
function inPlainWords(fault) {
  if (fault instanceof StoreError || !(fault instanceof DOMException)) return fault;
  if (fault.name === "QuotaExceededError") {
    return new StoreError(_("This tablet's storage is full, so this was not kept; send what is waiting, then free some space and do it again."), "full");
  }
  return new StoreError(_("This tablet's storage failed (%(fault)s), so this was not kept; reload the page and do it again.", { fault: fault.name }), "broken");
}

/**
 * @param {string} key
 * @returns {Promise<any>} undefined when never set
 */
export async function readMeta(key) {
  return run(["meta"], "readonly", async (tx) => (await got(tx.objectStore("meta").get(key)))?.value);
}

/**
 * @param {string} key
 * @param {any} value
 * @returns {Promise<void>}
 */
export async function writeMeta(key, value) {
  await run(["meta"], "readwrite", (tx) => got(tx.objectStore("meta").put({ key, value })));
}

/**
 * Ask the browser not to clear this site's storage by itself. True when granted; false also where it cannot be asked.
 * @returns {Promise<boolean>}
 */
export async function askToPersist() {
  try {
    return (await navigator.storage?.persist?.()) ?? false;
  } catch {
    return false;
  }
}
