/** What a tap in the pane does: clear, send back, agree, answer, look, finish. */

import { _ } from "../../client/gettext.js";
import { once } from "../../client/once.js";
import { dismiss } from "../../client/outbox.js";
import { askWhy } from "../../client/ask_why.js";
import { openConcession } from "../../client/ask_concession.js";
import { capital, sentence } from "../../client/in_words.js";

const LINGER = 400; // ms: by then the pane shows what was kept; a look may be undone and taken again sooner
const TWICE = { ms: 350, px: 24 }; // a second tap so soon and so close is the same tap: what now lies there has moved up under the finger
const QUIET = 700; // ms in which a second tap on the same place means nothing: the button there is another one now

/** The decisions of one second look. */
export class Deciding {
  /** @param {import("./again.js").Again} again */
  constructor(again) {
    this.again = again;
    this.quietUntil = 0;
    /** @type {MouseEvent | null} the last press that kept something */
    this.last = null;
    again.place("pane").addEventListener("click", (event) => this.clicked(event));
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const pressed = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-act]"));
    if (!pressed) return;
    if (performance.now() < this.quietUntil && pressed.closest(".pane-foot")) return;
    if (this.twice(event)) return;
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
    const keeps = ["clear", "agree", "decline", "look", "backon", "finish"].includes(act);
    if (keeps) this.last = event;
    const doing = keeps ? once(JSON.stringify(pressed.dataset), () => deeds[act]?.(given), act === "look" ? 0 : LINGER) : Promise.resolve(deeds[act]?.(given));
    doing.catch((fault) => this.again.fault(fault));
  }

  /** Whether a press is the second of a double tap, whatever lies there by now; keys have no place. @param {MouseEvent} event */
  twice(event) {
    const { last } = this;
    if (!last || last.detail === 0 || event.detail === 0 || event.timeStamp - last.timeStamp > TWICE.ms) return false;
    return Math.hypot(event.clientX - last.clientX, event.clientY - last.clientY) <= TWICE.px;
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
    this.over(_("%(tag)s is cleared.", { tag }));
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
      title: _("Send %(tag)s back", { tag: marker.tag }), send: _("Send it back"), wrong: true, label: _("Or in your words"),
      lead: _("It is open again, its returns are counted, and its department finds it on its list with your reason."),
      reasons: [_("Still to be seen"), _("Still to be felt"), _("Swirls or haze around it"), _("Colour or gloss is off"), _("Edge or mask line shows"), _("New damage beside it")],
    }, async ({ reason = "" }) => {
      await this.again.acts.sendBack(id, reason);
      this.over(_("%(tag)s goes back: %(reason)s", { tag: marker.tag, reason: sentence(reason) }));
    });
  }

  /** @param {string} id @param {boolean} agreed */
  async noFlaw(id, agreed) {
    const tag = this.again.marker(id)?.tag ?? "";
    await this.again.acts.noFlaw(id, agreed);
    this.over(agreed ? _("%(tag)s is no flaw.", { tag }) : _("%(tag)s is a flaw and goes to rework.", { tag }));
  }

  /** @param {string} id */
  answer(id) {
    const question = this.again.standing?.questions.find((one) => one.id === id);
    if (!question) return;
    const lost = question.cause === "spot_not_found";
    askWhy({
      title: _("Answer"), lead: `${question.text}`, send: _("Keep the answer"), why: _("In one tap"), label: _("Or in your words"),
      reasons: lost ? [_("Ringed anew with wax"), _("It is where the drawing says"), _("Higher than the ring shows"), _("Lower than the ring shows")] : [_("Looked at: as it is now"), _("The earlier decision stands"), _("Nothing to do")],
    }, async ({ reason = "" }) => {
      await this.again.acts.answer(id, reason);
      this.over(lost ? _("Answered; the marker goes back to its department with your answer.") : _("Answered."));
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
    const looked = { zone: capital(zone.label), lap: again.catalogue.laps[lap]?.label, n: found };
    again.after.tell(found > 0 ? _("%(zone)s, %(lap)s: done here, %(n)s marked.", looked) : _("%(zone)s, %(lap)s: nothing found.", looked), async () => {
      this.last = null; // taken back, it may be pressed at the same place at once
      await again.acts.undoLook({ walk: await again.acts.walk(), zone: id, lap });
      again.choose(zone, { near: true }, lap);
    });
    if (next) again.choose(next.zone, { near: true }, next.lap);
  }

  async finish() {
    const walks = this.again.standing?.walks.map((walk) => walk.id) ?? [];
    const all = walks.length > 0 ? walks : [await this.again.acts.walk()];
    await this.again.acts.finishAll(all);
    this.over(_("The second look is finished."));
  }
}
