/** Before there is a walk: why is this van walked? One that is under way is joined without asking. */

import { el } from "../../client/elements.js";
import { _, inTurn, ngettext } from "../../client/gettext.js";
import { capital } from "../../client/in_words.js";
import { pressButton } from "../../client/pieces.js";
import { proposed } from "./situation.js";

/** @typedef {import("../../client/types.js").Row} Row */

/**
 * @param {{state: import("../../client/state.js").State, unit: Row, catalogue: any}} now
 * @param {(purpose: string) => void} start
 * @returns {Node[]}
 */
export function showBegin({ state, unit, catalogue }, start) {
  if (unit.state === "signed") return [signed(unit)];
  const purposes = /** @type {{key: string, label: string, laps: string[], order: number}[]} */ (Object.values(catalogue.walks)).sort((a, b) => a.order - b.order);
  const main = proposed(state, unit);
  const offered = purposes.filter(({ key }) => key !== "again" && (key !== "reopened" || unit.revision)).sort((a, b) => Number(b.key === main) - Number(a.key === main));
  const rows = offered.map(({ key, label, laps }) => {
    const made = pressButton(capital(label), () => start(key), { class: key === main ? "btn btn-main btn-large" : "btn btn-large", "data-purpose": key });
    made.append(el("small", {}, inTurn(laps.map((lap) => catalogue.laps[lap]?.label ?? lap))));
    return made;
  });
  const waiting = state.markers?.filter((marker) => marker.state === "reworked").length ?? 0;
  const again = waiting === 0 ? [] : [el("p", { class: "hush" }, ngettext("%(n)s reworked marker waits for a second look.", "%(n)s reworked markers wait for a second look.", waiting), " ", el("a", { href: `/again/${unit.id}` }, _("Look again")))];
  return [el("div", { class: "begin-sheet" }, el("h2", {}, _("Why is it walked?")), ...rows, ...again)];
}

/** @param {Row} unit */
function signed(unit) {
  return el("div", { class: "begin-sheet" }, el("h2", {}, _("Signed, revision %(revision)s", { revision: unit.revision ?? "A" })), el("p", {}, _("This unit is signed and closed. Reopen it on its sign-off page before it is walked again.")),
    el("p", {}, el("a", { class: "btn btn-main", href: `/sign-off/${unit.id}` }, _("To the sign-off"))));
}
