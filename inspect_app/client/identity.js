/**
 * Who is signed in on this tablet, with the tickets that prove the authors of what is still waiting.
 *
 * The session cookie is only transport. The ticket goes with each kept event, so an item keeps its first author even
 * if someone else signs in before it is sent.
 */

import { ApiError, ask } from "./api.js";
import { emit } from "./bus.js";
import { observe } from "./clock.js";
import { proofOf } from "./pin_proof.js";
import { got, readMeta, run } from "./store.js";

/** @typedef {import("./types.js").Me} Me */
/**
 * @typedef {object} Ticket
 * @property {string} id
 * @property {string} token  the proof itself
 * @property {string} person
 * @property {string} name
 * @property {string[]} roles
 * @property {string[]} departments
 * @property {string} [language]  of its owner; "" as the plant's
 * @property {string} [formats]  how numbers and dates are written for its owner
 * @property {number} until
 * @property {string} tablet
 * @property {string} letters
 * @property {import("./pin_proof.js").PinProof | null} [proof]  tells its owner's PIN while the server is away
 * @property {number} [tried]  wrong PINs in a row, while the server was away
 */

/**
 * Remember a sign-in: the answer of /me or of the sign-in panel.
 * @param {Me} me
 * @param {string} [pin] as it was typed for this very sign-in: its proof is kept, so that its owner may go on here offline
 * @returns {Promise<Me>}
 */
export async function remember(me, pin) {
  const proof = pin === undefined ? null : await proofOf(pin).catch(() => null);
  await run(["meta", "tickets"], "readwrite", async (tx) => {
    await got(tx.objectStore("meta").put({ key: "me", value: { ...me, token: undefined } }));
    await got(tx.objectStore("meta").put({ key: "letters", value: me.letters })); // stays when the person signs out
    await got(tx.objectStore("meta").delete("switched")); // the server has spoken since
    const { ticket: id, token, person, name, roles, departments, language, formats, until, tablet, letters } = me;
    const before = await got(tx.objectStore("tickets").get(id));
    const kept = { proof: proof ?? before?.proof ?? null, tried: before?.tried ?? 0 };
    await got(tx.objectStore("tickets").put({ id, token, person, name, roles, departments, language, formats, until, tablet, letters, ...kept }));
  });
  emit("identity", { person: me.person });
  return me;
}

/**
 * Ask the server who we are, and remember it.
 * @param {{timeout?: number}} [options]
 * @returns {Promise<Me>}
 * @throws {import("./api.js").ApiError} status 401 when nobody is signed in
 */
export async function refresh({ timeout = 10000 } = {}) {
  await settleSwitch();
  const { data, askedAt, heardAt } = await ask("/me", { timeout });
  await observe(data.now, askedAt, heardAt);
  return remember(data);
}

/** @type {Promise<void> | null} */
let settling = null;

/**
 * Tell the server who goes on here, when somebody was changed while it was away: its session is then theirs.
 * @returns {Promise<void>}
 * @throws {import("./api.js").ApiError} status 401 when their sign-in no longer holds
 */
export function settleSwitch() {
  settling ??= tellServer().finally(() => {
    settling = null;
  });
  return settling;
}

async function tellServer() {
  const switched = await readMeta("switched");
  if (!switched) return;
  const [token = ""] = await tokensFor([switched]);
  try {
    const { data } = await ask("/sign-in/again", { method: "POST", json: { token } });
    await remember(data);
  } catch (fault) {
    // Their sign-in has ended: somebody has to sign in, and until then nothing may pass for the one before.
    if (fault instanceof ApiError && fault.status === 401) await run(["meta"], "readwrite", (tx) => got(tx.objectStore("meta").delete("switched")));
    if (fault instanceof ApiError && fault.status === 403) return; // shut out: sending says so, and what it sends can be reviewed
    throw fault;
  }
}

/**
 * Forget who is signed in, for the page that signs out: their PIN does not open this tablet offline any more. What waits
 * keeps its author and its ticket.
 * @returns {Promise<void>}
 */
export async function forgetMe() {
  await run(["meta", "tickets"], "readwrite", async (tx) => {
    const [meta, tickets] = [tx.objectStore("meta"), tx.objectStore("tickets")];
    const person = (await got(meta.get("me")))?.value?.person;
    for (const ticket of await got(tickets.getAll())) {
      if (ticket.person === person) await got(tickets.put({ ...ticket, proof: null }));
    }
    await got(meta.delete("me"));
    await got(meta.delete("switched"));
  });
  emit("identity", { person: null });
}

/**
 * Take the proofs of whoever has left the plant, told by the rows of people: their PIN opens this tablet no more, also
 * while the server is away. What waits keeps its author and its ticket.
 * @param {import("./types.js").Row[]} people
 * @returns {Promise<void>}
 */
export async function forgetWhoLeft(people) {
  const left = new Set(people.filter((person) => person.state === "left").map((person) => person.id));
  if (left.size === 0) return;
  await run(["tickets"], "readwrite", async (tx) => {
    const tickets = tx.objectStore("tickets");
    for (const ticket of await got(tickets.getAll())) {
      if (left.has(ticket.person) && ticket.proof) await got(tickets.put({ ...ticket, proof: null }));
    }
  });
}

/**
 * Whoever signed in last, also while the server is away.
 * @returns {Promise<Me | null>}
 */
export async function whoAmI() {
  return (await readMeta("me")) ?? null;
}

/**
 * The tokens for some tickets, in no order. Unknown ones are left out: the server then says so for each event.
 * @param {Iterable<string | null>} ids
 * @returns {Promise<string[]>}
 */
export async function tokensFor(ids) {
  const wanted = [...new Set(ids)].filter((id) => id !== null);
  return run(["tickets"], "readonly", async (tx) => {
    const found = await Promise.all(wanted.map((id) => got(tx.objectStore("tickets").get(id))));
    return found.filter(Boolean).map((ticket) => ticket.token);
  });
}

/**
 * Drop the tickets that have run out and that nothing waiting was made with.
 * @param {number} now
 * @returns {Promise<void>}
 */
export async function dropSpentTickets(now) {
  await run(["tickets", "outbox", "meta"], "readwrite", async (tx) => {
    const waiting = await got(tx.objectStore("outbox").getAll());
    const me = (await got(tx.objectStore("meta").get("me")))?.value;
    const needed = new Set([me?.ticket, ...waiting.map((item) => item.event.ticket)]);
    const tickets = tx.objectStore("tickets");
    for (const ticket of await got(tickets.getAll())) {
      if (!needed.has(ticket.id) && ticket.until < now) await got(tickets.delete(ticket.id));
    }
  });
}
