/**
 * What has reached the server and what has not, on every screen; behind it the list of what was flagged or refused.
 *
 * Writes into `[data-sent]` (words, and data-state: sent, waiting, away, refused) and opens the list from
 * `[data-sent-button]`.
 */

import { emit, on } from "./bus.js";
import { dialogBody, openDialog } from "./dialogs.js";
import { el } from "./elements.js";
import { keptWords } from "./kept_words.js";
import { answers, dismiss, forManager, waiting } from "./outbox.js";
import { saving } from "./saving.js";
import { dismissPhoto, photosWaiting } from "./photos_out.js";
import { flush, syncStatus } from "./sync.js";

/** @typedef {import("./sync.js").Status} Status */
/** @typedef {{id: string, kind: "event" | "photo", title: string, reason: string, dismiss: (() => Promise<void>) | null}} Trouble */

/** @type {Record<string, string>} */
const CALLED = {
  walk_started: "Walk begun", walk_finished: "Walk finished", zone_looked: "Zone looked at", look_undone: "Look undone", marker_made: "Marker",
  marker_amended: "Change of a marker", marker_withdrawn: "Withdrawal", marker_accepted: "Acceptance", marker_cleared: "Clearance",
  marker_sent_back: "Sent back", put_right_here: "Put right here", no_flaw_proposed: "No flaw proposed", no_flaw_decided: "No flaw decided",
  origin_revised: "Department of origin", photo_added: "Photo", photo_marked: "Drawn on a photo", photo_removed: "Photo removed", marks_released: "Marks released", job_taken: "Job taken",
  job_handed_back: "Job handed back", job_rerouted: "Job sent to another department", step_inserted: "Step added", spot_not_found: "Spot not found",
  waiting_for: "Waiting for", work_done: "Step done", concession_asked: "Concession asked", zones_absent: "Absent zones",
};

/**
 * The words and the state of the indicator. Pure.
 * @param {Status} status
 * @param {number} held flagged, refused or set aside
 * @returns {{state: "sent" | "waiting" | "away" | "refused", words: string}}
 */
export function sentWords({ phase, events, photos }, held) {
  const unsent = events + photos;
  if (held > 0) return { state: "refused", words: unsent > 0 ? `${held} to look at · ${unsent} not sent yet` : `${held} to look at` };
  if (phase === "barred") return { state: "away", words: unsent > 0 ? `Shut out · ${unsent} kept here` : "Shut out" };
  if (unsent === 0 && phase === "signin") return { state: "away", words: "Not signed in" };
  if (unsent === 0) return phase === "away" ? { state: "away", words: "Server out of reach" } : { state: "sent", words: "All sent" };
  if (phase === "signin") return { state: "away", words: `Sign in to send ${unsent}` };
  return { state: phase === "away" ? "away" : "waiting", words: `${unsent} not sent yet` };
}

/**
 * Keep every `[data-sent]` under `root` true.
 * @param {ParentNode} [root]
 * @returns {() => void} stops doing so
 */
export function mountStatus(root = document) {
  let last = "";
  const show = async () => {
    const { state, words } = sentWords(syncStatus(), (await troubles()).length);
    if (`${state} ${words}` === last) return;
    last = `${state} ${words}`;
    for (const place of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("[data-sent]"))) {
      place.dataset.state = state;
      place.textContent = words;
    }
  };
  const opened = () => void openList();
  const buttons = [...root.querySelectorAll("[data-sent-button]")];
  for (const button of buttons) button.addEventListener("click", opened);
  const stops = [on("status", show), on("outbox", show)];
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
    ...items.filter((item) => item.stuck).map(({ id, event, stuck }) => trouble(id, "event", nameOf(event), `${stuck} It is kept and tried again.`, null)),
    ...photos.filter((photo) => photo.refused).map(({ photo, refused }) => trouble(photo, "photo", "Photo", refused ?? "", () => dismissPhoto(photo))),
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
  return event.body.tag ? `${name} ${event.body.tag}` : name;
}

/** Open the list over the work. */
export async function openList() {
  document.getElementById("sent-list")?.remove();
  const body = dialogBody();
  await fill(body);
  openDialog("Sent and not sent", [body]).id = "sent-list";
}

/** @param {HTMLElement} body */
async function fill(body) {
  const { message, phase } = syncStatus();
  const list = await troubles();
  const again = el("button", { type: "button", class: "btn" }, phase === "signin" ? "Sign in" : "Try to send now");
  again.addEventListener("click", () => {
    if (phase === "signin") emit("signin-needed", { message });
    else void flush().then(() => fill(body));
  });
  const items = list.map((item) => line(item, () => fill(body)));
  body.replaceChildren(el("p", {}, sentWords(syncStatus(), 0).words + (message ? `. ${message}` : ".")), ...items, again, ...(await saving(() => fill(body))),
    ...(await keptWords()).map((words) => el("p", { class: "hush small" }, words)));
}

/**
 * @param {Trouble} item
 * @param {() => Promise<void>} refill
 */
function line({ title, reason, dismiss: drop }, refill) {
  const inside = el("div", { class: "form" }, el("p", {}, el("b", {}, title), `. ${reason}`));
  if (drop) {
    const seen = el("button", { type: "button", class: "btn" }, "I have seen it");
    seen.addEventListener("click", () => void drop().then(refill));
    inside.append(seen);
  }
  return el("div", { class: "says", "data-tone": "wrong" }, inside);
}
