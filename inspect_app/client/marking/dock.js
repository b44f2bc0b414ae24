/** The kind dock: five everyday kinds in fixed places on the side away from the finger, all others by group. */

import { dialogBody, openDialog } from "../dialogs.js";
import { el } from "../elements.js";
import { _ } from "../gettext.js";
import { pic } from "../pictograms.js";
import { pressButton } from "../pieces.js";

/** @typedef {{key: string, label: string, group: string, everyday: number | null, retired?: boolean, pictogram: string, describe: string, order: number}} Kind */

const RING = 20; // px: half a ring and a little

/**
 * Where the dock stands so that neither the finger nor the ring is under it. Pure.
 * @param {{x: number, y: number}} ring px within the board
 * @param {{width: number, height: number}} board
 * @param {boolean} flat lies along the top or bottom (portrait) and not along a side
 * @param {import("../this_tablet.js").Side} [wish] where this tablet wants it, unless the ring lies there
 * @returns {"left" | "right" | "top" | "bottom"}
 */
export function sideAway(ring, board, flat, wish = "away") {
  const under = RING + (flat ? Math.min(board.width * 0.36, 180) + 8 : 148 + 16); // as in dock.css
  if (wish !== "away") return (wish === "left" ? ring.x > under : ring.x >= board.width - under) ? "left" : "right";
  if (flat) return ring.y > board.height * 0.6 ? "top" : "bottom";
  return ring.x > board.width * 0.55 ? "left" : "right";
}

/** The dock of one board. */
export class Dock {
  /**
   * @param {HTMLElement} place
   * @param {any} catalogue
   * @param {(kind: string) => void} choose
   * @param {() => void} shut closed without a kind
   */
  constructor(place, catalogue, choose, shut) {
    this.place = place;
    this.catalogue = catalogue;
    this.choose = choose;
    const kinds = offered(catalogue);
    const everyday = kinds.filter((kind) => kind.everyday != null).sort((a, b) => (a.everyday ?? 0) - (b.everyday ?? 0));
    this.everyday = everyday.map((kind) => kind.key);
    const more = pressButton(_("More kinds"), () => this.openAll(), { class: "kind kind-more" });
    place.replaceChildren(...everyday.map((kind) => kindButton(kind, () => choose(kind.key))), more);
    place.addEventListener("keydown", (event) => {
      if (event.key === "Escape") shut();
    });
  }

  get open() {
    return !this.place.hidden;
  }

  /**
   * @param {"left" | "right" | "top" | "bottom"} side
   * @param {boolean} byKey opened with the keyboard, so the focus goes there
   */
  show(side, byKey) {
    this.place.dataset.side = side;
    this.place.hidden = false;
    if (byKey) this.place.querySelector("button")?.focus();
  }

  hide() {
    this.place.hidden = true;
  }

  /** @param {string} key of the keyboard @returns {boolean} whether it chose something */
  pressed(key) {
    const kind = /^[1-9]$/.test(key) ? this.everyday[Number(key) - 1] : undefined;
    if (!this.open || !kind) return false;
    this.choose(kind);
    return true;
  }

  openAll() {
    pickKind(_("What is it?"), this.catalogue, (kind) => this.choose(kind));
  }
}

/** @param {any} catalogue @returns {Kind[]} those that are not retired */
function offered(catalogue) {
  return /** @type {Kind[]} */ (Object.values(catalogue.kinds)).filter((kind) => !kind.retired);
}

/**
 * All kinds by group, in a sheet over the work.
 * @param {string} title
 * @param {any} catalogue
 * @param {(kind: string) => void} choose
 */
export function pickKind(title, catalogue, choose) {
  const groups = /** @type {{key: string, label: string, order: number}[]} */ (Object.values(catalogue.groups)).sort((a, b) => a.order - b.order);
  const kinds = offered(catalogue).sort((a, b) => a.order - b.order);
  const sections = groups.map((group) => section(group.label, kinds.filter((kind) => kind.group === group.key), (kind) => {
    made.close();
    choose(kind);
  }));
  const made = openDialog(title, [dialogBody(...sections)], { wide: true });
}

/**
 * @param {string} label
 * @param {Kind[]} kinds
 * @param {(kind: string) => void} choose
 */
function section(label, kinds, choose) {
  const grid = el("div", { class: "kinds" }, ...kinds.map((kind) => kindButton(kind, () => choose(kind.key))));
  return el("section", {}, el("h3", {}, label), grid);
}

/** @param {Kind} kind @param {() => void} press */
function kindButton(kind, press) {
  const made = pressButton("", press, { class: "kind", "data-kind": kind.key, title: kind.describe }, pic(kind.pictogram));
  made.append(el("span", {}, kind.label));
  return made;
}
