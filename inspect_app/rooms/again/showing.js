/** Puts what a second look has left onto the drawing and into the pane. */

import { swap } from "../../client/refill.js";
import { byId } from "../../client/rows.js";
import { zoneRows } from "../../client/marking/zones.js";
import { overview, overviewFoot } from "./overview.js";
import { ringFoot, ringPane } from "./ring_pane.js";

/** @typedef {import("./again.js").Again} Again */
/** @typedef {import("./situation.js").Standing} Standing */

/**
 * The rail, the hatched zones, the rings; or the zones of a view without a drawing.
 * @param {Again} again
 * @param {Standing} found
 */
export function showVan(again, found) {
  again.rail.showStanding(found, again.outline, again.viewId);
  const undone = new Set(found.spots.map(({ zone }) => zone.id));
  const absent = found.unit.absent ?? {};
  again.board.showLooks((id) => (absent[id] ? (absent[id] === "off" ? "off" : "absent") : undone.has(id) ? "again" : null));
  again.board.showMarks(again.after.marks(found.markers));
  again.board.choose(again.zone);
  if (!again.listed) return;
  const zones = [...(again.outline.views.get(again.viewId)?.zones ?? [])].sort((a, b) => a.order - b.order);
  const entries = zones.map((zone) => ({ zone, look: absent[zone.id] ?? (undone.has(zone.id) ? "again" : "looked"),
    marks: found.markers.filter((marker) => marker.zone === zone.id && marker.state !== "withdrawn") }));
  swap(again.place("zone-list"), ...zoneRows(entries, again.zone, (zone, at, byKey) => again.marking.layInList(zone, at, byKey), (marker) => again.openMarker(marker.id)));
}

/**
 * The pane: one marker, or everything that is left.
 * @param {Again} again
 * @param {Standing} found
 */
export function showPane(again, found) {
  const { state, me } = /** @type {import("../../client/view.js").Sight} */ (again.sight);
  const marker = again.marker(again.marker_);
  const common = { catalogue: again.catalogue, people: byId(state.people ?? []), now: again.now, inspector: again.inspector };
  const about = marker && { ...common, marker, state, ring: found.rings.find((one) => one.marker.id === marker.id) ?? null, proposed: found.proposals.includes(marker),
    notFixer: again.table.guards.not_fixer?.sentence ?? "", held: again.held.filter(({ event }) => event.body.marker === marker.id) };
  const all = { ...common, standing: found, manager: Boolean(me?.roles.includes("manager")), zone: again.zone, lap: again.lap, mayPutBack: again.mayPutBack,
    gone: again.outline.zones.filter((zone) => found.unit.absent?.[zone.id] === "off"),
    marked: (/** @type {string} */ zone, /** @type {string} */ lap) => again.markedIn(zone, lap) };
  swap(again.place("pane-body"), ...(about ? ringPane(about) : overview(all)));
  const buttons = about ? ringFoot(about) : overviewFoot(all);
  const foot = again.place("pane-foot");
  foot.hidden = buttons.length === 0;
  swap(foot, ...buttons);
}
