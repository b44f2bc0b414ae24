/**
 * What has reached the server and what has not, on every screen; behind it the list of what was flagged or refused.
 *
 * Writes into `[data-sent]` (words, and data-state: sent, waiting, away, refused) and opens the list from
 * `[data-sent-button]`.
 */

import { emit, on } from "./bus.js";
import { dialogBody, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { keptWords } from "./kept_words.js";
import { answers, dismiss, forManager, waiting } from "./outbox.js";
import { saving } from "./saving.js";
import { dismissPhoto, photosWaiting } from "./photos_out.js";
import { flush, lookForServer, syncStatus } from "./sync.js";

/** @typedef {import("./sync.js").Status} Status */
/** @typedef {{id: string, kind: "event" | "photo", title: string, reason: string, dismiss: (() => Promise<void>) | null}} Trouble */

/** @type {Record<string, string>} */
const CALLED = {
  walk_started: _("Walk begun"), walk_finished: _("Walk finished"), zone_looked: _("Zone looked at"), look_undone: _("Look undone"), marker_made: _("Marker"),
  marker_amended: _("Change of a marker"), marker_withdrawn: _("Withdrawal"), marker_accepted: _("Acceptance"), marker_cleared: _("Clearance"),
  marker_sent_back: _("Sent back"), put_right_here: _("Put right here"), no_flaw_proposed: _("No flaw proposed"), no_flaw_decided: _("No flaw decided"),
  origin_revised: _("Department of origin"), photo_added: _("Photo"), photo_marked: _("Drawn on a photo"), photo_removed: _("Photo removed"), marks_released: _("Marks released"), job_taken: _("Job taken"),
  job_handed_back: _("Job handed back"), job_rerouted: _("Job sent to another department"), step_inserted: _("Step added"), spot_not_found: _("Spot not found"),
  waiting_for: _("Waiting for"), method_chosen: _("Another way"), spot_examined: _("Spot looked at closely"), job_pinned: _("Put first"), timer_started: _("Safety timer started"), timer_ended: _("Safety timer ended"), work_done: _("Step done"), concession_asked: _("Concession asked"), zones_absent: _("Absent zones"),
};

/**
 * The words and the state of the indicator. Pure.
 * @param {Status} status
 * @param {number} held flagged, refused or set aside
 * @returns {{state: "sent" | "waiting" | "away" | "refused", words: string}}
 */
export function sentWords({ phase, events, photos }, held) {
  const unsent = events + photos;
  if (held > 0) return { state: "refused", words: unsent > 0 ? _("%(n)s to look at · %(unsent)s not sent yet", { n: held, unsent }) : _("%(n)s to look at", { n: held }) };
  if (phase === "barred") return { state: "away", words: unsent > 0 ? _("Shut out · %(n)s kept here", { n: unsent }) : _("Shut out") };
  if (unsent === 0 && phase === "signin") return { state: "away", words: _("Not signed in") };
  if (unsent === 0) return phase === "away" ? { state: "away", words: _("Server out of reach") } : { state: "sent", words: _("All sent") };
  if (phase === "signin") return { state: "away", words: _("Sign in to send %(n)s", { n: unsent }) };
  return { state: phase === "away" ? "away" : "waiting", words: _("%(n)s not sent yet", { n: unsent }) };
}

/**
 * Keep every `[data-sent]` under `root` true.
 * @param {ParentNode} [root]
 * @returns {() => void} stops doing so
 */
export function mountStatus(root = document) {
  let last = "";
  let due = false;
  /** @type {Promise<Trouble[]> | null} */
  let held = null; // read again only when it can have changed
  /** @type {Promise<void> | null} */
  let running = null;
  // However many things happen while it reads, it reads once more.
  const show = () => {
    due = true;
    running ??= showAll().finally(() => {
      running = null;
    });
    return running;
  };
  const showAll = async () => {
    while (due) {
      due = false;
      await showNow();
    }
  };
  const showNow = async () => {
    held ??= troubles().catch((fault) => {
      held = null;
      throw fault;
    });
    const { state, words } = sentWords(syncStatus(), (await held).length);
    if (`${state} ${words}` === last) return;
    last = `${state} ${words}`;
    for (const place of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("[data-sent]"))) {
      place.dataset.state = state;
      place.textContent = words;
    }
  };
  /** @param {any} change */
  const changed = (change) => {
    if (!change?.kept) held = null; // what was just kept is held by nothing yet
    void show();
  };
  const opened = () => void openList();
  const buttons = [...root.querySelectorAll("[data-sent-button]")];
  for (const button of buttons) button.addEventListener("click", opened);
  const stops = [on("status", show), on("outbox", changed), on("store-made", changed)];
  void show();
  return () => {
    for (const stop of stops) stop();
    for (const button of buttons) button.removeEventListener("click", opened);
  };
}

/**
 * Everything that needs a person's eye, oldest first.
 * @returns {Promise<Trouble[]>}
 */
export async function troubles() {
  const [held, items, photos] = await Promise.all([answers(), waiting(), photosWaiting()]);
  return [
    ...held.map((one) => trouble(one.id, "event", nameOf(one.event), one.reason, forManager(one) && !one.savedAt ? null : () => dismiss(one.id))),
    ...items.filter((item) => item.stuck).map(({ id, event, stuck }) => trouble(id, "event", nameOf(event), _("%(why)s It is kept and tried again.", { why: stuck }), null)),
    ...photos.filter((photo) => photo.refused).map(({ photo, refused }) => trouble(photo, "photo", _("Photo"), refused ?? "", () => dismissPhoto(photo))),
  ];
}

/**
 * @param {string} id
 * @param {"event" | "photo"} kind
 * @param {string} title
 * @param {string} reason
 * @param {(() => Promise<void>) | null} drop
 * @returns {Trouble}
 */
function trouble(id, kind, title, reason, drop) {
  return { id, kind, title, reason, dismiss: drop };
}

/** @param {import("./types.js").KeptEvent} event */
function nameOf(event) {
  const name = CALLED[event.type] ?? event.type.replaceAll("_", " ");
  return event.body.tag ? _("%(what)s %(tag)s", { what: name, tag: event.body.tag }) : name;
}

/** Open the list over the work. */
export async function openList() {
  document.getElementById("sent-list")?.remove();
  const body = dialogBody();
  await fill(body);
  openDialog(_("Sent and not sent"), [body]).id = "sent-list";
}

/** @param {HTMLElement} body */
async function fill(body) {
  const { message, phase, events, photos } = syncStatus();
  const list = await troubles();
  const unsent = events + photos > 0;
  const way = phase === "away" && !unsent ? _("Try the server again") : _("Try to send now");
  const again = el("button", { type: "button", class: "btn" }, phase === "signin" ? _("Sign in") : way);
  again.addEventListener("click", () => {
    if (phase === "signin") emit("signin-needed", { message });
    else void (unsent ? flush() : lookForServer()).then(() => fill(body));
  });
  const { words } = sentWords(syncStatus(), 0);
  const items = list.map((item) => line(item, () => fill(body)));
  body.replaceChildren(el("p", {}, message ? _("%(state)s. %(more)s", { state: words, more: message }) : _("%(state)s.", { state: words })), ...items, again, ...(await saving(() => fill(body))),
    ...(await keptWords()).map((one) => el("p", { class: "hush small" }, one)));
}

/**
 * @param {Trouble} item
 * @param {() => Promise<void>} refill
 */
function line({ title, reason, dismiss: drop }, refill) {
  const inside = el("div", { class: "form" }, el("p", {}, el("b", {}, title), `. ${reason}`));
  if (drop) {
    const seen = el("button", { type: "button", class: "btn" }, _("I have seen it"));
    seen.addEventListener("click", () => void drop().then(refill));
    inside.append(seen);
  }
  return el("div", { class: "says", "data-tone": "wrong" }, inside);
}
