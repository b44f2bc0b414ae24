/** What follows a marker on a walk, in the line and in the drawer; and the look just closed. */

import { clusterLines } from "../../client/clusters.js";
import { _ } from "../../client/gettext.js";
import { capital } from "../../client/in_words.js";
import { Following } from "../../client/marking/following.js";
import { say } from "../../client/pieces.js";
import { Doubles } from "./doubles.js";
import { Drawer } from "./drawer.js";

/**
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("../../client/board.js").Spot} Spot
 */

const BLOCKS = _("the walk cannot be finished and the unit cannot be signed");

/** The markers of one walk after they were made. */
export class Afterwards extends Following {
  /** @param {import("./walk.js").Walk} walk */
  constructor(walk) {
    super(walk);
    this.walk = walk;
    /** kept a moment ago, so that "undo" takes it back */
    this.fresh = false;
    /** @type {Spot | null} where an old ring was tapped */
    this.tapped = null;
    this.drawer = new Drawer(walk.place("drawer"), walk.catalogue, {
      open: (marker) => this.open(marker.id, null),
      choose: (zone) => walk.choose(zone, { near: true }),
      markIn: (zone) => this.markIn(zone),
      undoLook: (zone) => this.undoLook(zone, walk.lap),
      absent: (zone, why) => void walk.acts.absent([zone.id], why).catch((fault) => walk.fault(fault)),
      closed: () => walk.tools.closed(),
    });
    this.drawer.details = () => this.details();
    this.doubles = new Doubles(walk);
  }

  more() {
    this.drawer.openAt("details");
  }

  show() {
    const { walk } = this;
    const row = walk.marker(this.marker);
    const photos = this.photosOf(this.marker);
    if (this.showGone(BLOCKS)) this.fresh = false;
    else if (row && !this.telling) this.line.show({ marker: row, photos: photos.length, fresh: this.fresh });
    else if (!this.telling && !this.coming.size) this.line.rest(walk.catalogue.laps[walk.lap]?.hint ?? "");
    const all = walk.situation?.markers ?? [];
    const doubles = this.doubles.among(all);
    walk.tools.told(doubles.length);
    const markers = all.filter((marker) => marker.view === walk.viewId).sort((a, b) => b.made_at - a.made_at);
    const together = walk.situation?.clusters ?? [];
    const view = /** @type {any} */ (walk.outline.views.get(walk.viewId));
    this.drawer.show({ view, lap: walk.lap, markers, entries: walk.entries(), chosen: walk.zone, marker: this.marker, doubles, together, offers: () => [...clusterLines(together, markers), ...this.doubles.offers(doubles)] });
  }

  /** @param {string} id */
  speakOfNew(id) {
    this.speakOf(id, true, null);
  }

  /** @param {string} id @param {boolean} fresh @param {Spot | null} tapped */
  speakOf(id, fresh, tapped) {
    [this.marker, this.fresh, this.tapped, this.telling] = [id, fresh, tapped, false];
    this.walk.draw();
  }

  /** @param {string} id @param {Spot | null} spot */
  open(id, spot) {
    const row = this.walk.marker(id);
    if (!row) return;
    const zone = this.walk.outline.zone(row.zone);
    if (zone) this.walk.choose(zone, { near: spot === null && row.x !== null });
    if (zone && spot && row.x !== null) this.walk.marking.nearer(zone);
    this.speakOf(id, false, spot);
    say(_("%(some)s, %(next)s", { some: row.tag, next: row.words }));
  }

  another() {
    const row = this.walk.marker(this.marker);
    const { marking, outline, viewId } = this.walk;
    const zone = row && outline.zone(row.zone);
    if (!row || !zone) return;
    if (this.tapped) marking.lay(this.tapped);
    else if (row.x === null) marking.layInList(zone, this.walk.place("board").getBoundingClientRect(), true);
    else marking.lay({ view: viewId, x: row.x + 300, y: row.y, spread: row.spread, zone });
  }

  /** @param {Zone} zone */
  markIn(zone) {
    if (matchMedia("(max-width: 1000px)").matches) this.drawer.close();
    if (zone.rings.length > 0) this.walk.marking.markIn(zone);
    else this.walk.marking.layInList(zone, this.walk.place("board").getBoundingClientRect(), true);
  }

  /** @param {Zone} zone @param {string} lap */
  lookedAt(zone, lap) {
    const { walk } = this;
    const found = walk.situation?.markedIn(zone.id, lap) ?? 0;
    void walk.acts.look({ walk: walk.walk?.id ?? "", zone: zone.id, lap, found }).catch((fault) => walk.fault(fault));
    this.tell(found > 0 ? _("%(zone)s: looked at, %(n)s marked.", { zone: capital(zone.label), n: found }) : _("%(zone)s: looked at, nothing found.", { zone: capital(zone.label) }), () => this.undoLook(zone, lap));
  }

  /** @param {Zone} zone @param {string} lap */
  undoLook(zone, lap) {
    const { walk } = this;
    void walk.acts.undoLook({ walk: walk.walk?.id ?? "", zone: zone.id, lap }).catch((fault) => walk.fault(fault));
    if (walk.lap !== lap) walk.lap = lap;
    this.telling = false;
    walk.choose(zone, { near: true });
  }

  /** What the drawer says about the marker that is spoken of. */
  details() {
    const row = this.walk.marker(this.marker);
    return row && this.about(row, () => this.drawer.close());
  }

  /** @param {Row} row */
  move(row) {
    this.drawer.close();
    super.move(row);
  }
}
