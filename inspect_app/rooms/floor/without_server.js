/** Reads what the floor without a server shows, and lays it out: on the floor, and in place of pages that need one. */

import { serverNow } from "../../client/clock.js";
import { el } from "../../client/elements.js";
import { _ } from "../../client/gettext.js";
import { moment } from "../../client/in_words.js";
import { keptHere } from "../../client/keeping.js";
import { pressButton } from "../../client/pieces.js";
import { swap } from "../../client/refill.js";
import { byId, groupBy } from "../../client/rows.js";
import { timerLinks } from "../../client/timers.js";
import { CATALOGUE, LIFECYCLE, keptVersion } from "../../client/versions.js";
import { look } from "../../client/view.js";
import { drawn, groupsOf } from "./kept.js";

/** Pages that only the server has, by the first word of their address. @type {Record<string, string>} */
const NEEDS = {
  "sign-off": _("Signing a unit"), concessions: _("Answering concessions"), rates: _("Rates"), setup: _("Setup"), units: _("The card of a unit"), "sign-in": _("Signing in"),
  "sign-out": _("Signing out"), sheets: _("A sheet"), admit: _("Admitting a tablet"),
};

/** @param {HTMLElement} place */
export async function showKept(place) {
  const [table, catalogue, kept] = await Promise.all([keptVersion(LIFECYCLE), keptVersion(CATALOGUE), keptHere()]);
  const now = await serverNow();
  const head = note(kept, now);
  if (!table) return void swap(place, head, el("p", { class: "empty" }, _("This tablet keeps no units yet; open the floor once in the server's reach and leave it open a moment.")));
  const plant = await read(table);
  const waits = catalogue ? timerLinks(plant.timers, { catalogue, people: byId(plant.people), now }) : [];
  swap(place, head, ...waits, ...drawn(groupsOf({ ...plant, catalogue }), now));
  return undefined;
}

/** @param {any} table of the lifecycle */
async function read(table) {
  const { state, me, events } = await look("", { table });
  const touched = new Set(events.map((event) => event.stream.replace(/^unit:/, "")));
  const units = state.units ?? [];
  const maybe = units.filter((unit) => unit.state === "open" && (unit.stage === "walking" || touched.has(unit.id)));
  const seen = await Promise.all(maybe.map((unit) => look(unit.id, { table })));
  const walks = seen.flatMap((one) => one.state.walks ?? []).filter((walk) => walk.state === "walking");
  const markers = [...(state.markers ?? [])];
  return { units, markers, jobs: state.jobs ?? [], timers: state.timers ?? [], people: state.people ?? [], walks: groupBy(walks, (walk) => walk.unit), touched, me };
}

/**
 * @param {import("../../client/keeping.js").Kept | null} kept
 * @param {number} now
 */
function note(kept, now) {
  const needs = NEEDS[location.pathname.split("/")[1] ?? ""];
  const why = needs ? _("%(what)s needs the server, which does not answer.", { what: needs }) : _("The server does not answer.");
  const here = kept ? _("Here is what this tablet keeps as of %(when)s; walks, rework and second looks go on from it.", { when: moment(kept.at, now) })
    : _("Here is what this tablet keeps; walks, rework and second looks go on from it.");
  return el("div", { class: "says stack" }, el("p", {}, `${why} ${here}`), pressButton(_("Try the server again"), () => location.reload()));
}
