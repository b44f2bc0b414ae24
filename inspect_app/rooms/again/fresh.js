/** New flaws found on the way: kept as on a walk, with what may follow; and whose rework caused them. */

import { el } from "../../client/elements.js";
import { say } from "../../client/pieces.js";
import { swap } from "../../client/refill.js";
import { pickPhoto } from "../../client/photo.js";
import { aboutMarker } from "../../client/marking/details.js";
import { pickKind } from "../../client/marking/dock.js";
import { KeptLine } from "../../client/marking/kept_line.js";
import { dialogBody, openDialog } from "../../client/dialogs.js";

/** @typedef {import("../../client/types.js").Row} Row */

/** What follows a new marker. */
export class Fresh {
  /** @param {import("./again.js").Again} again */
  constructor(again) {
    this.again = again;
    /** @type {string | null} the new marker that is spoken of */
    this.marker = null;
    this.telling = false;
    /** kept and not yet in the rows @type {Map<string, any>} */
    this.coming = new Map();
    const { acts } = again;
    this.line = new KeptLine(again.place("kept"), again.outline, again.catalogue, {
      amend: (change) => this.act((id) => acts.amend(id, change)),
      photo: (from) => void this.photo(from),
      note: (note) => this.act((id) => acts.note(id, note)),
      more: () => this.more(),
      undo: () => this.undo(),
      accept: () => this.act((id) => acts.accept(id)),
      putRight: (how) => this.act((id) => acts.putRight(id, how)),
      another: () => {},
    });
  }

  /** The department whose rework caused what is marked next, or null. */
  cause() {
    return /** @type {HTMLSelectElement} */ (this.again.place("cause")).value || null;
  }

  /** @param {Row[]} markers @returns {any[]} */
  marks(markers) {
    for (const { id } of markers) this.coming.delete(id);
    return [...markers.filter((marker) => marker.state !== "withdrawn"), ...this.coming.values()];
  }

  /** @param {import("./situation.js").Standing} standing */
  show({ workers }) {
    const { again } = this;
    again.place("cause-field").hidden = workers.length === 0 || !again.inspector;
    const names = workers.map((key) => el("option", { value: key }, `New mark: made by ${(again.catalogue.departments[key]?.label ?? key).toLowerCase()}`));
    const select = /** @type {HTMLSelectElement} */ (again.place("cause"));
    const { value } = select;
    if (swap(select, el("option", { value: "" }, "New mark: not from the rework"), ...names)) select.value = value;
    const row = again.marker(this.marker);
    if (row && !this.telling) this.line.show({ marker: row, photos: this.photosOf(row.id).length, fresh: true });
  }

  /** @param {string} marker */
  photosOf(marker) {
    return (this.again.sight?.state.photos ?? []).filter((photo) => photo.marker === marker && photo.state !== "removed");
  }

  /** @param {any} mark @param {Promise<any>} keeping */
  async kept(mark, keeping) {
    this.coming.set(mark.id, mark);
    this.again.draw();
    try {
      await keeping;
      [this.marker, this.telling] = [mark.id, false];
      this.again.draw();
    } catch (fault) {
      this.coming.delete(mark.id);
      this.again.draw();
      this.again.fault(fault);
    }
  }

  /** A ring was opened: the line stays with those made on this look. @param {Row} row */
  speakOf(row) {
    const here = row.state === "open" && this.again.standing?.walks.some((walk) => walk.id === row.walk);
    [this.marker, this.telling] = [here ? row.id : null, false];
    if (!here) this.line.show(null);
  }

  /** @param {string} words @param {(() => void) | null} undo */
  tell(words, undo) {
    [this.marker, this.telling] = [null, true];
    this.line.tell(words, undo);
    say(words);
  }

  /** @param {string} words */
  fault(words) {
    this.telling = true;
    this.line.fault(words);
  }

  /** @param {(id: string) => Promise<any>} act */
  act(act) {
    if (this.marker) void act(this.marker).catch((fault) => this.again.fault(fault));
  }

  undo() {
    const tag = this.again.marker(this.marker)?.tag ?? "";
    this.act((id) => this.again.acts.withdraw(id, "Undone by whoever made it"));
    if (this.again.marker_ === this.marker) this.again.closeMarker();
    this.tell(`${tag} is undone. Wipe its ring off; the tag is not used again.`, null);
  }

  /** @param {"camera" | "file"} from */
  async photo(from) {
    const id = this.marker;
    const file = id && (await pickPhoto(from));
    if (file && id) await this.again.acts.photo(id, file).catch((fault) => this.again.fault(fault));
  }

  /** Severity, light, exact size, kind: as on a walk, in a sheet. */
  more() {
    const { again } = this;
    const row = again.marker(this.marker);
    if (!row) return;
    const by = again.sight?.state.people?.find((person) => person.id === row.made_by)?.name ?? "";
    /** @param {() => void} deed */
    const then = (deed) => {
      dialog.close();
      deed();
    };
    const about = aboutMarker(row, this.photosOf(row.id), by, { outline: again.outline, catalogue: again.catalogue, deeds: {
      amend: (change) => then(() => this.act((id) => again.acts.amend(id, change))),
      origin: (origin) => then(() => this.act((id) => again.acts.origin(id, origin))),
      withdraw: (reason) => then(() => this.act((id) => again.acts.withdraw(id, reason))),
      kind: () => then(() => pickKind("What is it really?", again.catalogue, (kind) => this.act((id) => again.acts.amend(id, { kind })))),
      move: () => then(() => {
        again.marking.moving = row.id;
        this.fault(`Tap where ${row.tag} really is.`);
      }),
      photo: (from) => void this.photo(from),
      removePhoto: (photo) => this.act(() => again.acts.removePhoto(photo.id, "Taken back by the inspector")),
      close: () => dialog.close(),
    } });
    const [, ...sheet] = about.build(); // the sheet has a head of its own
    const dialog = openDialog(`About ${row.tag}`, [dialogBody(...sheet)]);
  }

  /** Marking opens a moved marker again through this. @param {string} id */
  open(id) {
    this.marker = id;
    this.telling = false;
  }

  /** @param {Record<string, any>} change */
  amend(change) {
    this.act((id) => this.again.acts.amend(id, change));
  }
}
