/** New flaws found on the way: kept as on a walk, with what may follow; and whose rework caused them. */

import { dialogBody, openDialog } from "../../client/dialogs.js";
import { el } from "../../client/elements.js";
import { _, midway } from "../../client/gettext.js";
import { Following } from "../../client/marking/following.js";
import { swap } from "../../client/refill.js";

/** @typedef {import("../../client/types.js").Row} Row */

/** What follows a new marker. */
export class Fresh extends Following {
  /** @param {import("./again.js").Again} again */
  constructor(again) {
    super(again);
    this.again = again;
  }

  /** The department whose rework caused what is marked next, or null. */
  cause() {
    return /** @type {HTMLSelectElement} */ (this.again.place("cause")).value || null;
  }

  /** @param {import("./situation.js").Standing} standing */
  show({ workers }) {
    const { again } = this;
    again.place("cause-field").hidden = workers.length === 0 || !again.inspector;
    const names = workers.map((key) => el("option", { value: key }, _("New mark: made by %(department)s", { department: midway(again.catalogue.departments[key]?.label ?? key) })));
    const select = /** @type {HTMLSelectElement} */ (again.place("cause"));
    const { value } = select;
    if (swap(select, el("option", { value: "" }, _("New mark: not from the rework")), ...names)) select.value = value;
    if (this.showGone(_("the unit cannot be signed"))) return;
    const row = again.marker(this.marker);
    if (row && !this.telling) this.line.show({ marker: row, photos: this.photosOf(row.id).length, fresh: true });
    else if (!this.telling && !this.coming.size) this.line.show(null);
  }

  /** A ring was opened: the line stays with those made on this look. @param {Row} row */
  speakOf(row) {
    const here = row.state === "open" && this.again.standing?.walks.some((walk) => walk.id === row.walk);
    [this.marker, this.telling] = [here ? row.id : null, false];
    if (!here) this.line.show(null);
  }

  /** @param {string} words */
  fault(words) {
    this.telling = true;
    this.line.fault(words);
  }

  undo() {
    const { marker } = this;
    super.undo();
    if (this.again.marker_ === marker) this.again.closeMarker();
  }

  /** Severity, light, exact size, kind: as on a walk, in a sheet. */
  more() {
    const row = this.again.marker(this.marker);
    if (!row) return;
    const close = () => dialog.close();
    const about = this.about(row, close, (deed) => {
      close();
      deed();
    });
    const [, ...sheet] = about.build(); // the sheet has a head of its own
    const dialog = openDialog(_("About %(tag)s", { tag: row.tag }), [dialogBody(...sheet)]);
  }

  /** Marking opens a moved marker again through this. @param {string} id */
  open(id) {
    [this.marker, this.telling] = [id, false];
  }
}
