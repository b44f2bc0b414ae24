/** Everything the walk writes, each as one event in the outbox. Nothing here waits for the server. */

import { uuid7 } from "../ids.js";
import { keep } from "../outbox.js";
import { addPhoto } from "../photo.js";

/** Empty fields are left out: the server's forms know "not said", not "said nothing". @param {Record<string, any>} body */
function said(body) {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== null && value !== undefined));
}

/** @typedef {ReturnType<typeof actsOn>} Acts */

/**
 * The acts of a walk on one unit. Each resolves once it is durably kept on this tablet.
 * @param {string} unit
 */
export function actsOn(unit) {
  const stream = `unit:${unit}`;
  /**
   * @param {string} type
   * @param {Record<string, any>} body
   * @param {Record<string, any> | null} [hidden] words that can be forgotten later
   * @param {() => void} [handed]
   */
  const act = (type, body, hidden = null, handed = undefined) => keep({ type, stream, body: said(body), private: hidden }, null, handed);
  return {
    /** @param {string} purpose @returns {Promise<string>} the walk's id */
    startWalk: async (purpose) => {
      const walk = uuid7();
      await act("walk_started", { walk, purpose });
      return walk;
    },
    /** @param {string} walk */
    finish: (walk) => act("walk_finished", { walk }),
    /** @param {string} walk */
    release: (walk) => act("marks_released", { walk }),
    /** @param {{walk: string, zone: string, lap: string, found: number}} body */
    look: (body) => act("zone_looked", body),
    /** @param {{walk: string, zone: string, lap: string}} body */
    undoLook: (body) => act("look_undone", body),
    /** @param {string[]} zones @param {"not_fitted" | "off" | "present"} why */
    absent: (zones, why) => act("zones_absent", { zones, why }),
    /** @param {Record<string, any>} body @param {() => void} [handed] as in keep */
    mark: (body, handed) => act("marker_made", body, null, handed),
    /** @param {string} marker @param {Record<string, any>} change */
    amend: (marker, change) => act("marker_amended", { marker, ...change }),
    /** @param {string} marker @param {string} note */
    note: (marker, note) => act("marker_amended", { marker }, { note }),
    /** @param {string} marker @param {string} reason */
    withdraw: (marker, reason) => act("marker_withdrawn", { marker, reason }),
    /** @param {string} marker a double @param {string} into the marker it doubles */
    join: (marker, into) => act("marker_joined", { marker, into }),
    /** @param {string} marker */
    accept: (marker) => act("marker_accepted", { marker }),
    /** @param {string} marker @param {string} how */
    putRight: (marker, how) => act("put_right_here", { marker, how }),
    /** @param {string} marker @param {string} origin */
    origin: (marker, origin) => act("origin_revised", { marker, origin }),
    /** @param {string} marker @param {File} file */
    photo: (marker, file) => addPhoto(file, { unit, marker, role: "found" }),
    /** @param {string} photo @param {string} reason */
    removePhoto: (photo, reason) => act("photo_removed", { photo, reason }),
  };
}
