/** Where a person goes on with a unit, as rooms/units/words.py says it on the server. Pure. */

import { _ } from "./gettext.js";

/** @type {Record<string, string>} */
export const STAGES = {
  to_walk: _("waits for its first walk"),
  walking: _("is being walked"),
  in_rework: _("in rework"),
  to_look_again: _("waits for its second look"),
  to_sign: _("ready to sign"),
  signed: _("signed"),
};

/**
 * @param {Record<string, any>} unit a row of units
 * @param {string[]} roles
 * @returns {{href: string, words: string}}
 */
export function nextStep(unit, roles) {
  const { id, stage } = unit;
  const inspects = roles.includes("inspector");
  if (inspects && ["to_walk", "walking"].includes(stage)) return { href: `/walk/${id}`, words: stage === "to_walk" ? _("Walk") : _("Go on with the walk") };
  if (inspects && (stage === "to_look_again" || (stage === "in_rework" && unit.reworked))) return { href: `/again/${id}`, words: _("Look again") };
  if (stage === "to_sign" && (inspects || roles.includes("manager"))) return { href: `/sign-off/${id}`, words: _("Sign off") };
  if (roles.includes("technician") && stage === "in_rework") return { href: "/rework", words: _("Rework") };
  return { href: `/units/${id}`, words: _("Card") };
}
