/** What follows a marker wherever one is made: the kept line, amending, deciding, photos, taking back. A room adds what it has besides. */

import { tell } from "../felt.js";
import { _, N_ } from "../gettext.js";
import { pickPhoto } from "../photo.js";
import { say } from "../pieces.js";
import { aboutMarker } from "./details.js";
import { pickKind } from "./dock.js";
import { KeptLine } from "./kept_line.js";

/**
 * @typedef {import("../types.js").Row} Row
 * @typedef {import("./acts.js").Acts} Acts
 * @typedef {import("./unit_page.js").UnitPage & {acts: Acts, marker: (id: string | null) => Row | null, drawWalk: () => void, fault: (fault: any) => void}} Page
 */

const SEEN_MS = 60;

/** The markers of one page after they were made. */
export class Following {
  /** @param {Page} page */
  constructor(page) {
    this.page = page;
    /** @type {string | null} the marker that is spoken of */
    this.marker = null;
    /** something else is being said on the line */
    this.telling = false;
    /** kept and not yet in the rows @type {Map<string, any>} */
    this.coming = new Map();
    const { acts } = page;
    this.line = new KeptLine(page.place("kept"), page.outline, page.catalogue, {
      amend: (change) => this.amend(change),
      photo: (from) => void this.photo(from),
      note: (note) => this.act((id) => acts.note(id, note)),
      more: () => this.more(),
      undo: () => this.undo(),
      accept: () => this.act((id) => acts.accept(id)),
      putRight: (how) => this.act((id) => acts.putRight(id, how)),
      another: () => this.another(),
      backOn: (zone) => this.backOn(zone),
    });
  }

  /** Everything about the marker that is spoken of. */
  more() {}

  /** One more beside a ring that was tapped. */
  another() {}

  /** @param {Row[]} markers @returns {any[]} what the board shows: wax that was wiped off is gone */
  marks(markers) {
    for (const { id } of markers) this.coming.delete(id);
    return [...markers.filter((marker) => marker.state !== "withdrawn"), ...this.coming.values()];
  }

  /**
   * Say that the chosen zone is not on the van, when that is so and nothing else is being said.
   * @param {string} blocks what it keeps from going on, in words
   * @returns {boolean} whether it was said
   */
  showGone(blocks) {
    const { gone, chosen, mayPutBack } = this.page;
    if (!gone || !chosen || this.telling || this.page.marker(this.marker)?.zone === chosen.id) return false;
    this.line.gone(chosen, gone, blocks, mayPutBack);
    return true;
  }

  /** @param {string | null} marker */
  photosOf(marker) {
    return (this.page.sight?.state.photos ?? []).filter((photo) => photo.marker === marker && photo.state !== "removed");
  }

  /**
   * A marker on its way into the outbox: its ring is there as soon as the disk has it in hand, and no later than the eye
   * would miss it; the line says "kept" when it is.
   * @param {any} mark
   * @param {(handed: () => void) => Promise<any>} keep
   * @param {() => void} lift takes the laid ring away
   */
  async kept(mark, keep, lift) {
    this.coming.set(mark.id, mark);
    /** @type {Promise<any>} */
    let keeping = Promise.resolve();
    await new Promise((go) => {
      setTimeout(go, SEEN_MS);
      keeping = keep(() => go(undefined));
      keeping.catch(go);
    });
    lift();
    this.page.drawWalk();
    try {
      await keeping;
      tell();
      this.speakOfNew(mark.id);
    } catch (fault) {
      this.coming.delete(mark.id);
      this.page.drawWalk();
      this.page.fault(fault);
    }
  }

  /** @param {string} id */
  speakOfNew(id) {
    [this.marker, this.telling] = [id, false];
    this.page.drawWalk();
  }

  /** Do something to the marker that is spoken of. @param {(id: string) => Promise<any>} act */
  act(act) {
    if (this.marker) void act(this.marker).catch((fault) => this.page.fault(fault));
  }

  /** @param {Record<string, any>} change */
  amend(change) {
    this.act((id) => this.page.acts.amend(id, change));
  }

  /** @param {"camera" | "file"} from */
  async photo(from) {
    const id = this.marker; // whatever is tapped while the camera is open
    const file = id && (await pickPhoto(from));
    if (file && id) await this.page.acts.photo(id, file).catch((fault) => this.page.fault(fault));
  }

  undo() {
    const tag = this.page.marker(this.marker)?.tag ?? "";
    this.act((id) => this.page.acts.withdraw(id, N_("Undone by whoever made it")));
    this.tell(_("%(tag)s is undone. Wipe its ring off; the tag is not used again.", { tag }), null);
  }

  /** A zone is on the van again. @param {string} zone */
  backOn(zone) {
    void this.page.acts.absent([zone], "present").catch((fault) => this.page.fault(fault));
  }

  /** @param {string} words @param {(() => void) | null} undo */
  tell(words, undo) {
    [this.marker, this.telling] = [null, true];
    this.line.tell(words, undo);
    say(words);
  }

  /**
   * What there is to say and to do about one marker.
   * @param {Row} row
   * @param {() => void} close
   * @param {(deed: () => void) => void} [doing] stands before each deed
   */
  about(row, close, doing = (deed) => deed()) {
    const { acts, catalogue, outline, sight } = this.page;
    const by = sight?.state.people?.find((person) => person.id === row.made_by)?.name ?? "";
    return aboutMarker(row, this.photosOf(row.id), by, { outline, catalogue, deeds: {
      amend: (change) => doing(() => this.amend(change)),
      origin: (origin) => doing(() => this.act((id) => acts.origin(id, origin))),
      withdraw: (reason) => doing(() => this.act((id) => acts.withdraw(id, reason))),
      kind: () => doing(() => pickKind(_("What is it really?"), catalogue, (kind) => this.amend({ kind }))),
      move: () => doing(() => this.move(row)),
      photo: (from) => void this.photo(from),
      removePhoto: (photo) => this.act(() => acts.removePhoto(photo.id, N_("Taken back by the inspector"))),
      close,
    } });
  }

  /** The next tap says where it really is. @param {Row} row */
  move(row) {
    this.page.marking.moving = row.id;
    this.page.hint(_("Tap where %(tag)s really is.", { tag: row.tag }));
  }
}
