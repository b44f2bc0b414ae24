/** The end of a walk: what is missing, by name and one tap away; or finishing it, and where to go from there. */

import { dialogBody, dialogFoot, openDialog } from "../../client/dialogs.js";
import { el } from "../../client/elements.js";
import { _, ngettext, together } from "../../client/gettext.js";
import { capital } from "../../client/in_words.js";
import { pressButton } from "../../client/pieces.js";
import { lookWords } from "../../client/marking/zones.js";

/**
 * @typedef {import("./situation.js").Situation} Situation
 * @typedef {import("./situation.js").Missing} Missing
 * @typedef {import("../../client/types.js").Row} Row
 */

const OPEN_WHEN_FEW = 12;

/**
 * @param {Situation} situation
 * @param {any} catalogue
 * @param {{go: (missing: Missing) => void, finish: () => Promise<void>, unit: Row}} deeds
 */
export function openFinish(situation, catalogue, { go, finish, unit }) {
  const missing = situation.missing();
  if (missing.length > 0) return stillMissing(situation, catalogue, missing, go);
  const open = situation.markers.filter((marker) => marker.state === "open");
  const end = pressButton(_("Finish the walk"), () => undefined, { class: "btn btn-main" });
  const body = el("p", {}, together(_("Every zone of this walk was looked at."), open.length === 0 ? _("No marker is open.")
    : ngettext("%(n)s open marker goes to rework:", "%(n)s open markers go to rework:", open.length)));
  const made = openDialog(_("Finish the walk?"), [dialogBody(body, departments(open, catalogue)), dialogFoot(end)], { close: _("Not yet") });
  end.addEventListener("click", () => {
    end.disabled = true;
    void finish().then(() => {
      made.close();
      openNext(open.length, unit);
    });
  });
  return made;
}

/**
 * @param {Situation} situation
 * @param {any} catalogue
 * @param {Missing[]} missing
 * @param {(missing: Missing) => void} go
 */
function stillMissing(situation, catalogue, missing, go) {
  const groups = situation.laps.map((lap) => ({ lap, rows: missing.filter((one) => one.lap === lap) })).filter(({ rows }) => rows.length > 0);
  const lists = groups.flatMap(({ lap, rows }) => views(situation, catalogue.laps[lap]?.label ?? lap, rows, (one) => {
    made.close();
    go(one);
  }));
  const made = openDialog(ngettext("%(n)s look is missing", "%(n)s looks are missing", missing.length), [dialogBody(...lists)], { wide: true });
  return made;
}

/**
 * @param {Situation} situation
 * @param {string} lap
 * @param {Missing[]} rows
 * @param {(missing: Missing) => void} go
 */
function views({ outline }, lap, rows, go) {
  const names = [...new Set(rows.map(({ zone }) => outline.viewOf(zone.id)?.label ?? ""))];
  return names.map((name) => {
    const here = rows.filter(({ zone }) => outline.viewOf(zone.id)?.label === name);
    const list = el("div", { class: "missing" }, ...here.map((one) => pressButton(one.look === "none" ? capital(one.zone.label) : _("%(zone)s: %(look)s", { zone: capital(one.zone.label), look: lookWords(one.look) }), () => go(one), { "data-zone": one.zone.id, "data-lap": one.lap })));
    const fold = el("details", { class: "fold", ...(rows.length <= OPEN_WHEN_FEW ? { open: "" } : {}) }, el("summary", {}, `${capital(lap)} · ${name} `, el("span", { class: "count" }, `${here.length}`)), list);
    return fold;
  });
}

/** @param {Row[]} open @param {any} catalogue */
function departments(open, catalogue) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const marker of open) {
    const department = marker.department ?? catalogue.methods[catalogue.kinds[marker.kind]?.method]?.chain?.[0]?.department ?? "inspection";
    if (marker.severity !== "S5") counts.set(department, (counts.get(department) ?? 0) + 1);
  }
  return el("ul", { class: "stack" }, ...[...counts].map(([key, count]) => el("li", {}, _("%(department)s first: %(n)s", { department: catalogue.departments[key]?.label ?? key, n: count }))));
}

/** @param {number} open @param {Row} unit */
function openNext(open, unit) {
  const floor = el("a", { class: "btn btn-main", href: "/" }, _("To the floor"));
  const other = el("a", { class: "btn", href: `/sign-off/${unit.id}` }, _("To the sign-off"));
  const words = open > 0 ? _("Its markers are on their way to the departments. You will be asked to look again when they come back.") : _("Nothing is open. The unit can go on to its sign-off.");
  openDialog(_("The walk is finished"), [dialogBody(el("p", {}, words)), dialogFoot(...(open > 0 ? [other, floor] : [floor, other]))], { close: _("Stay here") });
}
