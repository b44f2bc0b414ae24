/**
 * Changing who works on this tablet while the server is away: among those who signed in on it this shift, by PIN.
 *
 * What was kept keeps its author; what is kept from now on carries the other ticket. The server is told as soon as it is
 * back (`settleSwitch` in identity.js), so that its pages and answers are for the same person again.
 */

import { emit } from "./bus.js";
import { serverNow } from "./clock.js";
import { _, ngettext } from "./gettext.js";
import { canProve, fits } from "./pin_proof.js";
import { got, run } from "./store.js";

/** @typedef {import("./identity.js").Ticket} Ticket */

const TRIES = 5;
const TEN_YEARS = 10 * 365 * 24 * 3600; // s, as the server has it

/** Why somebody cannot go on without the server, in one sentence. */
export class SwitchError extends Error {
  /** @param {string} message */
  constructor(message) {
    super(message);
    this.name = "SwitchError";
  }
}

/**
 * Whoever can go on here without the server, each by their newest ticket of this shift.
 * @returns {Promise<Ticket[]>}
 */
export async function whoCanGoOn() {
  const now = await serverNow();
  const tickets = await run(["tickets"], "readonly", (tx) => got(tx.objectStore("tickets").getAll()));
  const good = tickets.filter((ticket) => ticket.until > now && ticket.proof).sort((a, b) => a.until - b.until);
  return [...new Map(good.map((ticket) => [ticket.person, ticket])).values()].sort((a, b) => a.name.localeCompare(b.name));
}

/**
 * Let somebody go on by their PIN.
 * @param {string} person
 * @param {string} pin
 * @throws {SwitchError}
 */
export async function goOn(person, pin) {
  const ticket = (await whoCanGoOn()).find((one) => one.person === person);
  if (!ticket?.proof) throw new SwitchError(whyNot());
  // Counted before it is looked at: a page that is closed half-way has used up its try.
  const tried = await count(ticket.id);
  if (tried > TRIES) throw new SwitchError(_("Too many wrong PINs; %(name)s has to wait until the server is back and sign in.", { name: ticket.name }));
  if (!(await fits(ticket.proof, pin))) {
    const left = TRIES - tried;
    throw new SwitchError(left > 0 ? ngettext("That is not the PIN of this name; %(n)s more try.", "That is not the PIN of this name; %(n)s more tries.", left)
      : _("That is not the PIN of this name, for the fifth time; %(name)s has to wait until the server is back and sign in.", { name: ticket.name }));
  }
  await take(ticket);
}

/** Why nobody is offered, or not this one. */
export function whyNot() {
  return canProve() ? _("The server is out of reach, and only who signed in on this tablet this shift can go on without it.")
    : _("The server is out of reach, and at an address without https this tablet cannot check a PIN by itself; wait for the server.");
}

/** @param {string} id @returns {Promise<number>} */
async function count(id) {
  return run(["tickets"], "readwrite", async (tx) => {
    const ticket = await got(tx.objectStore("tickets").get(id));
    const tried = (ticket.tried ?? 0) + 1;
    await got(tx.objectStore("tickets").put({ ...ticket, tried }));
    return tried;
  });
}

/** @param {Ticket} ticket */
async function take({ id, person, name, roles, departments, language, formats, until, tablet, letters }) {
  await run(["tickets", "meta"], "readwrite", async (tx) => {
    const meta = tx.objectStore("meta");
    const held = await got(tx.objectStore("tickets").get(id));
    await got(tx.objectStore("tickets").put({ ...held, tried: 0 }));
    const value = { person, name, roles, departments, language, formats, ticket: id, tablet, letters, until };
    await got(meta.put({ key: "me", value }));
    await got(meta.put({ key: "switched", value: id }));
  });
  readAs({ language, formats });
  emit("identity", { person });
}

/**
 * Pages opened from now on are written for whoever works here, as the server has it done by its own answers.
 * @param {Record<string, string | undefined>} chosen "" as the plant's; unknown: as it is
 */
function readAs(chosen) {
  const secure = location.protocol === "https:" ? "; Secure" : "";
  for (const [name, value] of Object.entries(chosen)) {
    if (value !== undefined) document.cookie = `${name}=${value}; Path=/; Max-Age=${value === "" ? 0 : TEN_YEARS}; SameSite=Lax${secure}`;
  }
}
