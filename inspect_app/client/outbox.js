/**
 * What was done on this tablet and waits to be sent.
 *
 * The promises: `keep` resolves when the event is durably stored; an item leaves only after an answer that names it;
 * what the server flagged or refused stays visible, with its reason, until someone dismisses it.
 */

import { emit } from "./bus.js";
import { _ } from "./gettext.js";
import { uuid7 } from "./ids.js";
import { dropPhoto, layPhoto } from "./photos_out.js";
import { dropPictures } from "./pictures.js";
import { got, run } from "./store.js";

/** @typedef {import("./types.js").Draft} Draft */
/** @typedef {import("./types.js").KeptEvent} KeptEvent */
/** @typedef {import("./types.js").OutboxItem} OutboxItem */
/** @typedef {import("./types.js").OutPhoto} OutPhoto */
/** @typedef {import("./types.js").KeptAnswer} KeptAnswer */

const SLACK = 5 * 60 * 1000; // ms: clocks are corrected by an estimate

/**
 * Refused not for what was done but for who, when or where: a manager may still take it. Such work stays on the tablet
 * until it was saved as a file.
 */
const NOT_PROVED = new Set(["no_ticket", "too_late", "outside_shift", "other_tablet", "shut_out", "has_left", "future"]);

/**
 * @param {KeptAnswer} answer
 * @returns {boolean}
 */
export function forManager({ outcome, code }) {
  return outcome === "refused" && NOT_PROVED.has(code ?? "");
}

/** Nobody is signed in who could be the author; nothing was kept. */
export class NobodyError extends Error {
  /** @param {string} message */
  constructor(message) {
    super(message);
    this.name = "NobodyError";
  }
}

/** @type {{catalogue: string | null, outline: string | null}} */
const made = { catalogue: null, outline: null };

/**
 * Say which catalogue and outline the page was drawn with; `keep` writes them on each event.
 * @param {{catalogue?: string | null, outline?: string | null}} versions
 */
export function madeWith(versions) {
  Object.assign(made, versions);
}

/**
 * Keep one event, with a photo where there is one. Number, author and clock are read in the same transaction, so
 * events of several tabs get one order.
 *
 * @param {Draft} draft
 * @param {{photo: string, data: ArrayBuffer, type: string} | null} [photo]
 * @param {() => void} [handed] called once the disk has it in hand: a page that draws only then does not keep it waiting
 * @returns {Promise<KeptEvent>} once it is durably stored
 * @throws {import("./store.js").StoreError} when it could not be kept
 * @throws {NobodyError} when it would have no author, or one whose sign-in has run out: the server would never take it
 */
export async function keep(draft, photo = null, handed = undefined) {
  try {
    return await store(draft, photo, handed).catch((fault) => makeRoom(fault).then(() => store(draft, photo, handed)));
  } catch (fault) {
    if (fault instanceof NobodyError) emit("signin-needed", { message: fault.message });
    throw fault;
  }
}

/**
 * Work comes before pictures that the server has as well.
 * @param {any} fault of the store
 * @returns {Promise<void>} when there may be room now
 */
async function makeRoom(fault) {
  if (fault?.code !== "full" || !(await dropPictures().catch(() => false))) throw fault;
}

/**
 * @param {Draft} draft
 * @param {{photo: string, data: ArrayBuffer, type: string} | null} photo
 * @param {(() => void) | undefined} handed
 * @returns {Promise<KeptEvent>}
 */
async function store(draft, photo, handed) {
  const at = Date.now();
  const id = uuid7(at);
  const event = await run(["outbox", "photos_out", "photo_bytes", "meta"], "readwrite", async (tx) => {
    const outbox = tx.objectStore("outbox");
    // After a lost connection this work runs again; the first try may have got through.
    const meta = tx.objectStore("meta");
    const [before, number, me, clock] = await Promise.all([outbox.index("id").get(id), ...["seq", "me", "clock"].map((key) => meta.get(key))].map(got));
    if (before) return before.event;
    const kept = sealed(draft, { id, at, seq: (number?.value ?? 0) + 1, me: me?.value, offset: clock?.value.offset ?? 0 });
    // Nobody waits for these one by one: a request that fails ends the transaction, and with it the keeping.
    meta.put({ key: "seq", value: kept.seq });
    outbox.add({ seq: kept.seq, id, event: kept, stuck: null, retryAt: 0 });
    if (photo) await layPhoto(tx, photo, { event: id, seq: kept.seq });
    else tx.commit?.();
    handed?.();
    return kept;
  });
  emit("outbox", { kept: id, seq: event.seq });
  return event;
}

/**
 * The event as it is kept.
 * @param {Draft} draft
 * @param {{id: string, at: number, seq: number, me: any, offset: number}} read
 * @returns {KeptEvent}
 * @throws {NobodyError}
 */
function sealed(draft, { id, at, seq, me, offset }) {
  if (!me) throw new NobodyError(_("Nobody is signed in on this tablet, so this was not kept; sign in and do it again."));
  if (at + offset > me.until + SLACK) throw new NobodyError(_("Your sign-in has run out, so this was not kept; sign in and do it again."));
  return {
    id,
    stream: draft.stream,
    type: draft.type,
    tablet: me.tablet,
    seq,
    ticket: me.ticket,
    at,
    offset,
    catalogue: draft.catalogue ?? made.catalogue,
    outline: draft.outline ?? made.outline,
    body: draft.body,
    private: draft.private ?? null,
  };
}

/**
 * What waits, oldest first.
 * @returns {Promise<OutboxItem[]>}
 */
export async function waiting() {
  return run(["outbox"], "readonly", (tx) => got(tx.objectStore("outbox").getAll()));
}

/**
 * How many events and photos are not answered yet, without reading the events: it is asked after each keep.
 * @returns {Promise<{events: number, photos: number}>}
 */
export async function howManyWait() {
  return run(["outbox", "photos_out"], "readonly", async (tx) => {
    const [events, photos] = await Promise.all([got(tx.objectStore("outbox").count()), got(tx.objectStore("photos_out").getAll())]);
    return { events, photos: photos.filter((photo) => photo.refused === null).length };
  });
}

/**
 * What has come to those that are known already: nothing of these is read again while none of them has left.
 * @param {IDBTransaction} tx over outbox
 * @param {OutboxItem[]} known what waited when it was last asked for
 * @returns {Promise<OutboxItem[]>} what waits now, oldest first; `stuck` and `retryAt` of the known ones may be old
 */
export async function waitingSince(tx, known) {
  const outbox = tx.objectStore("outbox");
  const [count, fresh] = await Promise.all([got(outbox.count()), got(outbox.getAll(IDBKeyRange.lowerBound(known.at(-1)?.seq ?? 0, true)))]);
  return count === known.length + fresh.length ? [...known, ...fresh] : got(outbox.getAll());
}

/**
 * The next items to send: oldest first, without those set aside for now.
 * @param {number} limit
 * @param {number} now
 * @returns {Promise<OutboxItem[]>}
 */
export async function nextBatch(limit, now) {
  return run(["outbox"], "readonly", async (tx) => {
    const outbox = tx.objectStore("outbox");
    const first = await got(outbox.getAll(null, limit));
    if (first.every((item) => item.retryAt <= now)) return first;
    return (await got(outbox.getAll())).filter((item) => item.retryAt <= now).slice(0, limit);
  });
}

/**
 * Take in the server's answers. Only the events it names leave the outbox.
 * @param {import("./types.js").Answer[]} said
 * @param {number} now
 * @returns {Promise<number>} how many left
 */
export async function settle(said, now) {
  const left = await run(["outbox", "answers", "settled"], "readwrite", async (tx) => {
    const outbox = tx.objectStore("outbox");
    const named = new Map(said.filter(isAnswer).map((answer) => [answer.id, answer]));
    const items = await Promise.all([...named.keys()].map((id) => got(outbox.index("id").get(id))));
    const leaving = items.filter((item) => item !== undefined);
    // Nobody waits for these one by one: a request that fails ends the transaction, and then none of them has left.
    for (const item of leaving) {
      outbox.delete(item.seq);
      file(tx, item, /** @type {import("./types.js").Answer} */ (named.get(item.id)), now);
    }
    return leaving.length;
  });
  if (left > 0) emit("outbox", { answered: left });
  return left;
}

/** @param {import("./types.js").Answer} answer */
function isAnswer(answer) {
  return ["applied", "flagged", "refused"].includes(answer?.outcome) && typeof answer.id === "string";
}

/**
 * @param {IDBTransaction} tx
 * @param {OutboxItem} item
 * @param {import("./types.js").Answer} answer
 * @param {number} now
 */
function file(tx, item, answer, now) {
  if (answer.outcome === "applied") {
    tx.objectStore("settled").put({ seq: item.seq, event: item.event, n: answer.n ?? 0 });
    return;
  }
  const reason = answer.reason || _("The server gave no reason; ask whoever looks after it.");
  const code = answer.code ?? null;
  tx.objectStore("answers").put({ id: item.id, outcome: answer.outcome, reason, code, event: item.event, answeredAt: now, savedAt: null });
}

/**
 * Set one item aside that the server would not even read. It stays in the outbox and is tried again later.
 * @param {number} seq
 * @param {string} reason
 * @param {number} retryAt
 */
export async function setAside(seq, reason, retryAt) {
  await run(["outbox"], "readwrite", async (tx) => {
    const item = await got(tx.objectStore("outbox").get(seq));
    if (item) await got(tx.objectStore("outbox").put({ ...item, stuck: reason, retryAt }));
  });
  emit("outbox", { stuck: seq });
}

/**
 * What the server flagged or refused, oldest first.
 * @returns {Promise<import("./types.js").KeptAnswer[]>}
 */
export async function answers() {
  const found = await run(["answers"], "readonly", (tx) => got(tx.objectStore("answers").getAll()));
  return found.sort((a, b) => a.event.seq - b.event.seq);
}

/**
 * Note which refused entries went into a file; from then on they may be dismissed.
 * @param {Iterable<string>} ids
 * @param {number} now
 */
export async function markSaved(ids, now) {
  await run(["answers"], "readwrite", async (tx) => {
    for (const id of ids) {
      const answer = await got(tx.objectStore("answers").get(id));
      if (answer) await got(tx.objectStore("answers").put({ ...answer, savedAt: now }));
    }
  });
  emit("outbox", { saved: true });
}

/**
 * A person has read it. The photo of a refused event goes with it: nothing could ever ask for it. What a manager may
 * still take stays until it was saved as a file.
 * @param {string} id event id
 */
export async function dismiss(id) {
  await run(["answers", "photos_out", "photo_bytes"], "readwrite", async (tx) => {
    const answer = await got(tx.objectStore("answers").get(id));
    if (answer && forManager(answer) && !answer.savedAt) return;
    await got(tx.objectStore("answers").delete(id));
    if (answer?.outcome !== "refused") return;
    const photos = tx.objectStore("photos_out");
    for (const photo of await got(photos.getAll())) {
      if (photo.event === id) await dropPhoto(tx, photo.photo);
    }
  });
  emit("outbox", { dismissed: id });
}
