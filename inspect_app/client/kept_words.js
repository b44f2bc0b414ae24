/** What this tablet keeps for the time without a server, in sentences. */

import { megabytes } from "./figures.js";
import { _, ngettext } from "./gettext.js";
import { moment } from "./in_words.js";
import { newerWaits, reloads } from "./installed.js";
import { keptHere } from "./keeping.js";
import { syncStatus } from "./sync.js";

const KEPT = /^\/(rework(\/[^/]+)?|(walk|again)\/[^/]+)?$/; // the pages that the worker has a shell of: worker.js

/**
 * @returns {Promise<string[]>}
 */
export async function keptWords() {
  const kept = await keptHere().catch(() => null);
  return [reloadWords(), unitWords(kept), await roomWords(), ...newer()].filter(Boolean);
}

function reloadWords() {
  if (reloads() === "yes" && !KEPT.test(location.pathname)) return _("This page needs the server; the floor, walks, rework and the second look open without it.");
  if (reloads() === "yes") return _("This page opens without the server too, also after a reload.");
  if (reloads() === "soon") return _("Without the server a reload does not work yet; in a moment it will.");
  return _("A reload needs the server here, since this address keeps no pages; an open page goes on without it.");
}

/** @param {import("./keeping.js").Kept | null} kept */
function unitWords(kept) {
  if (!kept) return _("No units are kept on this tablet yet; leave the page open a moment.");
  const when = { when: moment(kept.at, Date.now()) };
  if (kept.pictures === 0) return ngettext("%(n)s open unit kept on this tablet, as of %(when)s.", "%(n)s open units kept on this tablet, as of %(when)s.", kept.units, when);
  return ngettext("%(n)s open unit kept on this tablet with their photos, small, as of %(when)s.", "%(n)s open units kept on this tablet with their photos, small, as of %(when)s.", kept.units, when);
}

/** Space, where the browser says. */
async function roomWords() {
  try {
    const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.()) ?? {};
    if (quota === 0) return "";
    const safe = await navigator.storage.persisted?.();
    const used = { used: megabytes(usage), all: megabytes(quota) };
    return safe ? _("%(used)s of %(all)s used; the browser does not clear it by itself.", used)
      : _("%(used)s of %(all)s used; the browser may clear it when space is short, so send soon.", used);
  } catch {
    return "";
  }
}

function newer() {
  const { events, photos } = syncStatus();
  if (!newerWaits()) return [];
  return [events + photos > 0 ? _("A newer Lampwalk is here; it waits until everything is sent.") : _("A newer Lampwalk is ready: reload.")];
}
