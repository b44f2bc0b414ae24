/** What the server flagged or refused, beside the thing it is about, until someone has seen it. */

import { _ } from "./gettext.js";
import { answers, dismiss, forManager } from "./outbox.js";
import { button, says } from "./pieces.js";

/** @typedef {import("./types.js").KeptAnswer} KeptAnswer */

/**
 * @param {(body: Record<string, any>) => boolean} about
 * @returns {Promise<KeptAnswer[]>}
 */
export async function heldAbout(about) {
  return (await answers()).filter((answer) => about(answer.event.body));
}

/** @param {KeptAnswer} answer */
export function heldLine(answer) {
  const { id, outcome, reason } = answer;
  if (forManager(answer) && !answer.savedAt) return says(_("Not taken, and kept on this tablet: %(reason)s", { reason }), "wrong");
  const seen = button(_("I have seen it"), { "data-key": `held-${id}`, "data-act": "dismiss", "data-held": id });
  return says(outcome === "refused" ? _("Not done: %(reason)s", { reason }) : _("Kept, and a person is asked: %(reason)s", { reason }), "wrong", seen);
}

export { dismiss };
