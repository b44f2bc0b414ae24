/** What a tap in the pane does: clear, send back, agree, answer, look, finish. */

import { dismiss } from "../../client/outbox.js";
import { askWhy } from "../../client/ask_why.js";
import { openConcession } from "../../client/ask_concession.js";
import { capital, sentence } from "../../client/in_words.js";

const QUIET = 700; // ms in which a second tap on the same place means nothing: the button there is another one now

/** The decisions of one second look. */
export class Deciding {
  /** @param {import("./again.js").Again} again */
  constructor(again) {
    this.again = again;
    this.quietUntil = 0;
    again.place("pane").addEventListener("click", (event) => this.clicked(event));
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const pressed = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-act]"));
    if (!pressed) return;
    if (performance.now() < this.quietUntil && pressed.closest(".pane-foot")) return;
    const { act = "", ...given } = pressed.dataset;
    /** @type {Record<string, (given: any) => unknown>} */
    const deeds = {
      overview: () => this.again.closeMarker(),
      ring: ({ marker }) => this.again.openMarker(marker),
      clear: ({ marker }) => this.clear(marker),
      concede: ({ marker }) => this.concede(marker),
      sendback: ({ marker }) => this.sendBack(marker),
      agree: ({ marker }) => this.noFlaw(marker, true),
      decline: ({ marker }) => this.noFlaw(marker, false),
      answer: ({ question }) => this.answer(question),
      zone: ({ zone, lap }) => this.again.choose(this.again.outline.zone(zone), { near: true }, lap),
      look: ({ zone, lap }) => this.look(zone, lap),
      backon: ({ zone }) => this.again.acts.absent([zone], "present"),
      finish: () => this.finish(),
      dismiss: ({ held }) => dismiss(held),
    };
    Promise.resolve(deeds[act]?.(given)).catch((fault) => this.again.fault(fault));
  }

  /** Kept: back to what is left. @param {string} words */
  over(words) {
    this.quietUntil = performance.now() + QUIET;
    this.again.after.tell(words, null);
    this.again.closeMarker();
  }

  /** @param {string} marker */
  async clear(marker) {
    const tag = this.again.marker(marker)?.tag ?? "";
    await this.again.acts.clear(marker);
    this.over(`${tag} is cleared.`);
  }

  /** @param {string} id */
  concede(id) {
    const marker = this.again.marker(id);
    if (marker) openConcession({ unit: marker.unit, marker: /** @type {any} */ (marker) });
  }

  /** @param {string} id */
  sendBack(id) {
    const marker = this.again.marker(id);
    if (!marker) return;
    askWhy({
      title: `Send ${marker.tag} back`, send: "Send it back", wrong: true, label: "Or in your words",
      lead: "It is open again, its returns are counted, and its department finds it on its list with your reason.",
      reasons: ["Still to be seen", "Still to be felt", "Swirls or haze around it", "Colour or gloss is off", "Edge or mask line shows", "New damage beside it"],
    }, async ({ reason = "" }) => {
      await this.again.acts.sendBack(id, reason);
      this.over(`${marker.tag} goes back: ${sentence(reason)}`);
    });
  }

  /** @param {string} id @param {boolean} agreed */
  async noFlaw(id, agreed) {
    const tag = this.again.marker(id)?.tag ?? "";
    await this.again.acts.noFlaw(id, agreed);
    this.over(agreed ? `${tag} is no flaw.` : `${tag} is a flaw and goes to rework.`);
  }

  /** @param {string} id */
  answer(id) {
    const question = this.again.standing?.questions.find((one) => one.id === id);
    if (!question) return;
    const lost = question.cause === "spot_not_found";
    askWhy({
      title: "Answer", lead: `${question.text}`, send: "Keep the answer", why: "In one tap", label: "Or in your words",
      reasons: lost ? ["Ringed anew with wax", "It is where the drawing says", "Higher than the ring shows", "Lower than the ring shows"] : ["Looked at: as it is now", "The earlier decision stands", "Nothing to do"],
    }, async ({ reason = "" }) => {
      await this.again.acts.answer(id, reason);
      this.over(lost ? "Answered; the marker goes back to its department with your answer." : "Answered.");
    });
  }

  /** @param {string} id @param {string} lap */
  async look(id, lap) {
    const { again } = this;
    const zone = again.outline.zone(id);
    if (!zone) return;
    const found = again.markedIn(id, lap);
    const spots = again.standing?.spots.filter((spot) => !spot.off) ?? [];
    const here = spots.findIndex((spot) => spot.zone.id === id && spot.lap === lap);
    const next = spots[here + 1] ?? spots.find((spot) => spot.zone.id !== id || spot.lap !== lap);
    await again.acts.lookAgain({ zone: id, lap, found });
    again.after.tell(`${capital(zone.label)}, ${again.catalogue.laps[lap]?.label}: ${found > 0 ? `done here, ${found} marked` : "nothing found"}.`, async () => {
      await again.acts.undoLook({ walk: await again.acts.walk(), zone: id, lap });
      again.choose(zone, { near: true }, lap);
    });
    if (next) again.choose(next.zone, { near: true }, next.lap);
  }

  async finish() {
    const walks = this.again.standing?.walks.map((walk) => walk.id) ?? [];
    const all = walks.length > 0 ? walks : [await this.again.acts.walk()];
    await this.again.acts.finishAll(all);
    this.over("The second look is finished.");
  }
}
