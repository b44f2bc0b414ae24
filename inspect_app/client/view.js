/**
 * One live view of a unit (or the plant): cached rows, what waits here, and the changes feed, put together by
 * `project` and handed to the page again whenever one of them changes.
 */

import { on } from "./bus.js";
import { cachedRows, follow } from "./feed.js";
import { waitingSince } from "./outbox.js";
import { Projection } from "./state.js";
import { got, run } from "./store.js";
import { onSent } from "./sync.js";
import { nextTag } from "./tags.js";

/** @typedef {import("./types.js").KeptEvent} KeptEvent */
/** @typedef {import("./state.js").State} State */

/**
 * @typedef {object} Sight
 * @property {State} state
 * @property {import("./types.js").Me | null} me
 * @property {KeptEvent[]} events  laid on top of the rows
 * @property {(unit: string) => string} nextTag
 */

/**
 * Read everything once. Works while the server is away.
 * @param {string} scope unit id, or "" for the plant
 * @param {Pick<import("./state.js").Context, "table" | "place" | "method">} context
 * @returns {Promise<Sight>}
 */
export function look(scope, context) {
  return new Looking(scope, context).look();
}

/** One who looks again and again, and reads only what has come since. */
class Looking {
  /**
   * @param {string} scope
   * @param {Pick<import("./state.js").Context, "table" | "place" | "method">} context
   */
  constructor(scope, context) {
    this.scope = scope;
    this.context = context;
    /** @type {import("./types.js").OutboxItem[]} */
    this.items = [];
    /** @type {{read: string, rows: import("./types.js").Rows, projection: Projection | null}} */
    this.known = { read: "", rows: {}, projection: null };
  }

  /** Rows have changed, or who looks at them. */
  forget() {
    this.known = { read: "", rows: {}, projection: null };
  }

  /** @returns {Promise<Sight>} */
  async look() {
    const { items, settled, held, me, who, now, feed } = await hereNow(this.scope, this.items);
    this.items = items;
    const known = await this.upTo(JSON.stringify([feed?.n, feed?.epoch, me?.person, me?.roles, Object.keys(who)]));
    const applied = settled.filter((item) => item.n > (feed?.n ?? 0)).map((item) => item.event);
    const events = [...applied, ...items.map((item) => item.event)].sort((a, b) => a.seq - b.seq);
    const context = { ...this.context, me, authors: who, now };
    const own = this.scope === "" ? events : ofUnit(events, this.scope);
    if (!known.projection?.goesOn(own)) known.projection = new Projection(known.rows, context);
    const state = known.projection.lay(own, context);
    const spoken = [...events, ...held.map((answer) => answer.event)];
    return { state, me, events, nextTag: (unit) => nextTag(unit, me?.letters ?? "", state.markers ?? [], spoken) };
  }

  /** What is known of the rows as of this reading. @param {string} read */
  async upTo(read) {
    if (this.known.read !== read) this.known = { read, rows: await cachedRows(this.scope), projection: null };
    return this.known;
  }
}

/**
 * What lies on the tablet beside the rows, as of one moment: it is read after each keep, and each transaction costs.
 * @param {string} scope
 * @param {import("./types.js").OutboxItem[]} known what waited when it was last read
 */
function hereNow(scope, known) {
  return run(["outbox", "settled", "answers", "tickets", "meta", "feeds"], "readonly", async (tx) => {
    /** @param {string} name @returns {Promise<any[]>} */
    const all = (name) => got(tx.objectStore(name).getAll());
    /** @param {string} name @param {string} key @returns {Promise<any>} */
    const one = (name, key) => got(tx.objectStore(name).get(key));
    const [items, settled, held, tickets, me, clock, feed] = await Promise.all([
      waitingSince(tx, known), all("settled"), all("answers"), all("tickets"), one("meta", "me"), one("meta", "clock"), one("feeds", scope)]);
    const who = Object.fromEntries(tickets.map((ticket) => [ticket.id, ticket]));
    return { items, settled, held, who, me: me?.value ?? null, now: Date.now() + (clock?.value.offset ?? 0), feed: feed ?? null };
  });
}

/**
 * @param {KeptEvent[]} events
 * @param {string} unit
 */
function ofUnit(events, unit) {
  return events.filter((event) => event.stream === `unit:${unit}`);
}

/**
 * Show one scope for as long as the page is open.
 * @param {string} scope
 * @param {Pick<import("./state.js").Context, "table" | "place" | "method">} context
 * @param {(sight: Sight) => void} show called at once and after every change; never twice at the same time
 * @returns {{refresh: () => Promise<void>, stop: () => void}}
 */
export function watch(scope, context, show) {
  let due = false;
  /** @type {Promise<void> | null} */
  let running = null;
  const refresh = () => {
    due = true;
    running ??= redraw().finally(() => {
      running = null;
    });
    return running;
  };
  const looking = new Looking(scope, context);
  const redraw = async () => {
    while (due) {
      due = false;
      show(await looking.look());
    }
  };
  const feed = follow(scope);
  const stops = [
    on("outbox", () => void refresh()),
    on("identity", () => {
      looking.forget();
      void refresh();
    }),
    on("rows", (detail) => {
      if (detail?.scope === scope || detail?.scope === "") looking.forget(); // people are read with the plant
      if (detail?.scope === scope) void refresh();
    }),
    onSent(() => void feed.poll()),
  ];
  void refresh();
  return { refresh, stop: () => [feed.stop, ...stops].forEach((stop) => stop()) };
}
