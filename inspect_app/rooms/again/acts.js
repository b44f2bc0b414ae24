/** What an inspector does on a second look. The walk begins with the first of them, so that merely opening the page changes nothing. */

import { uuid7 } from "../../client/ids.js";
import { keep } from "../../client/outbox.js";
import { actsOn } from "../../client/marking/acts.js";

/** @typedef {ReturnType<typeof againActs>} AgainActs */

/**
 * @param {string} unit
 * @param {() => string | null} underWay id of the second look under way, if any
 */
export function againActs(unit, underWay) {
  const walking = actsOn(unit);
  const stream = `unit:${unit}`;
  /** @type {Promise<string> | null} the walk this page has begun; two quick taps begin one */
  let begun = null;
  /** Join the walk under way or begin one. @returns {Promise<string>} */
  const walk = async () => {
    const found = underWay();
    if (found) return found;
    begun ??= walking.startWalk("again").catch((fault) => {
      begun = null;
      throw fault;
    });
    return begun;
  };
  /** @param {string} type @param {Record<string, any>} body */
  const act = (type, body) => keep({ type, stream, body });
  return {
    ...walking,
    newId: uuid7,
    walk,
    /** @param {string} marker */
    clear: async (marker) => act("marker_cleared", { marker, walk: await walk() }),
    /** @param {string} marker @param {string} reason */
    sendBack: async (marker, reason) => act("marker_sent_back", { marker, walk: await walk(), reason }),
    /** @param {string} marker @param {boolean} agreed */
    noFlaw: (marker, agreed) => act("no_flaw_decided", { marker, agreed }),
    /** @param {string} question @param {string} answer */
    answer: (question, answer) => act("question_answered", { question, answer }),
    /** @param {{zone: string, lap: string, found: number}} body */
    lookAgain: async (body) => walking.look({ ...body, walk: await walk() }),
    /** @param {Record<string, any>} body of marker_made; the walk is put in here */
    markNew: async (body) => walking.mark({ ...body, walk: await walk() }),
    /** @param {string[]} walks */
    finishAll: async (walks) => {
      for (const one of walks) await walking.finish(one);
      begun = null;
    },
  };
}
