/**
 * Keeps the floor true without a flash: the groups are fetched anew when something has changed, or when a minute has gone.
 * On the page that the tablet keeps they are drawn from its own store until the server answers.
 */

import { on } from "../../client/bus.js";
import { follow } from "../../client/feed.js";
import "../../client/desk/desk.js";
import { settings } from "../../client/settings.js";
import { showKept } from "./without_server.js";

const MINUTE = 60000;
const place = /** @type {HTMLElement} */ (document.querySelector("[data-groups]"));
const ownPage = location.pathname === "/";
let kept = document.documentElement.hasAttribute("data-shell"); // whether the groups are drawn from the tablet's store
/** @type {string | null} */
let etag = null;
let running = false;

/** Fetch the groups and put them in, unless they are the same. */
async function refresh() {
  if (running || document.hidden) return;
  running = true;
  if (kept) await showKept(place).catch(() => undefined);
  try {
    if (!ownPage) return;
    const signal = AbortSignal.timeout?.(kept ? settings.patience : settings.pollTimeout);
    const response = await fetch("/floor/groups", { signal, headers: { "X-Lampwalk": "1", ...(etag ? { "If-None-Match": etag } : {}) }, redirect: "manual" });
    if (response.status === 200) {
      etag = response.headers.get("ETag");
      put(await response.text());
      kept = false;
    }
  } catch {
    // out of reach: the strip says so, and what stands here stays
  } finally {
    running = false;
  }
}

let shown = "";

/**
 * Put new groups in place of the old ones, with the folds and the focus where they were.
 * @param {string} markup from our own server, whose templates escape every text
 */
function put(markup) {
  if (markup === shown) return;
  shown = markup;
  const next = new DOMParser().parseFromString(markup, "text/html").body;
  for (const fold of /** @type {NodeListOf<HTMLDetailsElement>} */ (place.querySelectorAll("details[open]"))) {
    next.querySelector(`[data-fold="${fold.dataset.fold}"]`)?.setAttribute("open", "");
  }
  const links = () => [...place.querySelectorAll("a, summary")];
  const held = document.activeElement ? links().indexOf(document.activeElement) : -1;
  const href = document.activeElement?.getAttribute("href");
  place.replaceChildren(...next.childNodes);
  if (held < 0) return;
  const same = href ? links().find((link) => link.getAttribute("href") === href) : links()[held];
  /** @type {HTMLElement | undefined} */ (same ?? links()[held])?.focus({ preventScroll: true });
}

on("rows", (detail) => void (detail?.scope === "" && refresh()));
on("outbox", () => void (kept && refresh()));
follow("");
if (kept) void refresh();
setInterval(() => void refresh(), MINUTE);
document.addEventListener("visibilitychange", () => void refresh());
