/** What follows a marker: the kept line, the drawer, amending, deciding, photos, undoing; and the look just closed. */

import { Drawer } from "./drawer.js";
import { aboutMarker } from "../../client/marking/details.js";
import { pickKind } from "../../client/marking/dock.js";
import { KeptLine } from "../../client/marking/kept_line.js";
import { pickPhoto } from "../../client/photo.js";
import { capital } from "../../client/in_words.js";
import { say } from "../../client/pieces.js";

/**
 * @typedef {import("../../client/types.js").Row} Row
 * @typedef {import("../../client/outline.js").Zone} Zone
 * @typedef {import("../../client/board.js").Spot} Spot
 * @typedef {"camera" | "file"} From
 */

/** The markers of one walk after they were made. */
export class Afterwards {
  /** @param {import("./walk.js").Walk} walk */
  constructor(walk) {
    this.walk = walk;
    /** @type {string | null} the marker that is spoken of */
    this.marker = null;
    /** kept a moment ago, so that "undo" takes it back */
    this.fresh = false;
    /** @type {Spot | null} where an old ring was tapped */
    this.tapped = null;
    /** kept and not yet in the rows @type {Map<string, any>} */
    this.coming = new Map();
    this.telling = false;
    const { outline, catalogue } = walk;
    this.line = new KeptLine(walk.place("kept"), outline, catalogue, {
      amend: (change) => this.amend(change),
      photo: (from) => void this.photo(from),
      note: (note) => this.act((id) => walk.acts.note(id, note)),
      more: () => this.drawer.openAt("details"),
      undo: () => this.undo(),
      accept: () => this.act((id) => walk.acts.accept(id)),
      putRight: (how) => this.act((id) => walk.acts.putRight(id, how)),
      another: () => this.another(),
    });
    this.drawer = new Drawer(walk.place("drawer"), catalogue, {
      open: (marker) => this.open(marker.id, null),
      choose: (zone) => walk.choose(zone, { near: true }),
      markIn: (zone) => this.markIn(zone),
      undoLook: (zone) => this.undoLook(zone, walk.lap),
      absent: (zone, why) => void walk.acts.absent([zone.id], why).catch((fault) => walk.fault(fault)),
      closed: () => walk.tools.closed(),
    });
    this.drawer.details = () => this.about();
  }

  /** @param {Row[]} markers @returns {any[]} what the board shows: wax that was wiped off is gone */
  marks(markers) {
    for (const { id } of markers) this.coming.delete(id);
    return [...markers.filter((marker) => marker.state !== "withdrawn"), ...this.coming.values()];
  }

  show() {
    const { walk } = this;
    const row = walk.marker(this.marker);
    const photos = this.photosOf(this.marker);
    if (row && !this.telling) this.line.show({ marker: row, photos: photos.length, fresh: this.fresh });
    else if (!this.telling && !this.coming.size) this.line.rest(walk.catalogue.laps[walk.lap]?.hint ?? "");
    const markers = (walk.situation?.markers ?? []).filter((marker) => marker.view === walk.viewId).sort((a, b) => b.made_at - a.made_at);
    const view = /** @type {any} */ (walk.outline.views.get(walk.viewId));
    this.drawer.show({ view, lap: walk.lap, markers, entries: walk.entries(), chosen: walk.zone, marker: this.marker });
  }

  /** @param {string | null} marker */
  photosOf(marker) {
    return (this.walk.sight?.state.photos ?? []).filter((photo) => photo.marker === marker && photo.state !== "removed");
  }

  /**
   * A marker on its way into the outbox: its ring is there at once, the line says "kept" when it is.
   * @param {any} mark
   * @param {Promise<any>} keeping
   */
  async kept(mark, keeping) {
    this.coming.set(mark.id, mark);
    this.walk.drawWalk();
    try {
      await keeping;
      this.speakOf(mark.id, true, null);
    } catch (fault) {
      this.coming.delete(mark.id);
      this.walk.drawWalk();
      this.walk.fault(fault);
    }
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
    say(`${row.tag}, ${row.words}`);
  }

  /** Do something to the marker that is spoken of. @param {(id: string) => Promise<any>} act */
  act(act) {
    const id = this.marker;
    if (id) void act(id).catch((fault) => this.walk.fault(fault));
  }

  /** @param {Record<string, any>} change */
  amend(change) {
    this.act((id) => this.walk.acts.amend(id, change));
  }

  /** @param {From} from */
  async photo(from) {
    const id = this.marker; // whatever is tapped while the camera is open
    const file = id && (await pickPhoto(from));
    if (!file || !id) return;
    await this.walk.acts.photo(id, file).catch((fault) => this.walk.fault(fault));
  }

  undo() {
    const tag = this.walk.marker(this.marker)?.tag ?? "";
    this.act((id) => this.walk.acts.withdraw(id, "Undone by whoever made it"));
    this.marker = null;
    this.tell(`${tag} is undone. Wipe its ring off; the tag is not used again.`, null);
  }

  /** One more beside a ring that was tapped. */
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
    this.tell(`${capital(zone.label)}: looked at, ${found > 0 ? `${found} marked` : "nothing found"}.`, () => this.undoLook(zone, lap));
  }

  /** @param {Zone} zone @param {string} lap */
  undoLook(zone, lap) {
    const { walk } = this;
    void walk.acts.undoLook({ walk: walk.walk?.id ?? "", zone: zone.id, lap }).catch((fault) => walk.fault(fault));
    if (walk.lap !== lap) walk.lap = lap;
    this.telling = false;
    walk.choose(zone, { near: true });
  }

  /** @param {string} words @param {(() => void) | null} undo */
  tell(words, undo) {
    this.telling = true;
    this.marker = null;
    this.line.tell(words, undo);
    say(words);
  }

  /** What the drawer says about the marker that is spoken of. */
  about() {
    const { walk } = this;
    const row = walk.marker(this.marker);
    if (!row) return null;
    const by = walk.sight?.state.people?.find((person) => person.id === row.made_by)?.name ?? "";
    const { outline, catalogue } = walk;
    return aboutMarker(row, this.photosOf(row.id), by, { outline, catalogue, deeds: {
      amend: (change) => this.amend(change),
      origin: (origin) => this.act((id) => walk.acts.origin(id, origin)),
      withdraw: (reason) => this.act((id) => walk.acts.withdraw(id, reason)),
      kind: () => pickKind("What is it really?", catalogue, (kind) => this.amend({ kind })),
      move: () => this.move(row),
      photo: (from) => void this.photo(from),
      removePhoto: (photo) => this.act(() => walk.acts.removePhoto(photo.id, "Taken back by the inspector")),
      close: () => this.drawer.close(),
    } });
  }

  /** @param {Row} row */
  move(row) {
    this.drawer.close();
    this.walk.marking.moving = row.id;
    this.walk.hint(`Tap where ${row.tag} really is.`);
  }
}
