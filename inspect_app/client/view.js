/**
 * One live view of a unit (or the plant): cached rows, what waits here, and the changes feed, put together by
 * `project` and handed to the page again whenever one of them changes.
 */

import { on } from "./bus.js";
import { cachedRows, follow, readFeed } from "./feed.js";
import { authors, whoAmI } from "./identity.js";
import { answers, settled, waiting } from "./outbox.js";
import { serverNow } from "./clock.js";
import { project } from "./state.js";
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
 * @param {Pick<import("./state.js").Context, "table" | "place">} context
 * @returns {Promise<Sight>}
 */
export async function look(scope, context) {
  const [rows, feed, items, done, held, me, who, now] = await Promise.all(
    [cachedRows(scope), readFeed(scope), waiting(), settled(), answers(), whoAmI(), authors(), serverNow()]);
  const applied = done.filter((item) => item.n > (feed?.n ?? 0)).map((item) => item.event);
  const events = [...applied, ...items.map((item) => item.event)].sort((a, b) => a.seq - b.seq);
  const state = project(rows, scope === "" ? events : ofUnit(events, scope), { ...context, me, authors: who, now });
  const spoken = [...events, ...held.map((answer) => answer.event)];
  return { state, me, events, nextTag: (unit) => nextTag(unit, me?.letters ?? "", state.markers ?? [], spoken) };
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
 * @param {Pick<import("./state.js").Context, "table" | "place">} context
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
  const redraw = async () => {
    while (due) {
      due = false;
      show(await look(scope, context));
    }
  };
  const feed = follow(scope);
  const stops = [
    on("outbox", () => void refresh()),
    on("identity", () => void refresh()),
    on("rows", (detail) => void (detail?.scope === scope && refresh())),
    onSent(() => void feed.poll()),
  ];
  void refresh();
  return { refresh, stop: () => [feed.stop, ...stops].forEach((stop) => stop()) };
}
