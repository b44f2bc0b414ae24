/**
 * Sends what waits: events in order, then the photos whose events the server has.
 *
 * Nothing here decides that something is done; only an answer that names an event or a photo does. This module knows
 * neither pages nor widgets, so that a service worker may run it as it is.
 */

import { ApiError, ask } from "./api.js";
import { pause } from "./backoff.js";
import { emit, on } from "./bus.js";
import { observe } from "./clock.js";
import { alone } from "./flush_lock.js";
import { _ } from "./gettext.js";
import { dropSpentTickets, forgetMe, settleSwitch, tokensFor, whoAmI } from "./identity.js";
import { howManyWait, nextBatch, setAside, settle } from "./outbox.js";
import { nextPhoto, photoHeld, photoStored } from "./photos_out.js";
import { settings } from "./settings.js";
import { readMeta } from "./store.js";

/**
 * @typedef {object} Status
 * @property {"idle" | "sending" | "away" | "signin" | "barred"} phase  barred: a manager has shut this tablet out
 * @property {number} events  not answered yet
 * @property {number} photos  not answered yet
 * @property {string | null} message  what keeps us from sending, in one sentence
 */

/** @type {Status} */
let status = { phase: "idle", events: 0, photos: 0, message: null };
let failures = 0;
/** the network came back, maybe while a try was under way that still fails of its absence */
let anew = false;
/** @type {string | null} why we are not let in; null while the server knows us */
let shutOut = null;
/** @type {{message: string | null} | null} the server was not reached by whoever asked last; null while it answers */
let unreached = null;
let limit = settings.batch;
/** @type {Promise<void> | null} */
let running = null;
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
/** @type {Promise<any>} the count that is under way */
let counting = Promise.resolve();
/** @type {Promise<Status> | null} the count that was asked for and has not begun */
let due = null;
/** @type {Set<() => void>} */
const afterSending = new Set();

/** @returns {Status} */
export function syncStatus() {
  return status;
}

/**
 * The server no longer knows who is here, whatever it was asked. The sign-in is asked for once: a panel that was put off
 * does not come back by itself. Whoever has left the plant is forgotten: nothing more is kept under their name. Not so
 * when somebody else goes on here of whom the server has not heard yet.
 * @param {ApiError} fault
 * @returns {Promise<void>}
 */
export async function signedOut({ code, message }) {
  const news = shutOut === null;
  shutOut = message;
  const left = news && code === "has_left" && !(await readMeta("switched"));
  if (left) await forgetMe();
  await report("signin", message);
  if (news) emit("signin-needed", { message, left });
}

/**
 * The server was asked something and not reached. Where nothing waits no sending would find that out, and "All sent"
 * would be all that the page says.
 * @param {ApiError} fault
 * @returns {Promise<void>}
 */
export async function outOfReach({ kind, message }) {
  unreached = { message: ["away", "silent"].includes(kind) ? null : message }; // of those the word on the strip tells all
  if (status.phase === "idle") await report("away", unreached.message);
}

/**
 * Look whether the server is there and knows us, for a page where nothing waits to be sent.
 * @returns {Promise<void>} never rejects
 */
export async function lookForServer() {
  try {
    await ask("/me", { timeout: settings.pollTimeout });
    [unreached, shutOut] = [null, null];
  } catch (fault) {
    if (fault instanceof ApiError && fault.away) await outOfReach(fault);
    else unreached = null; // it answered, if only to refuse
    if (fault instanceof ApiError && fault.status === 401) await signedOut(fault);
  }
  await flush();
}

/** The server has answered and knows us, perhaps again: then what waits may go. */
export function recognised() {
  if (shutOut === null && unreached === null) return;
  shutOut = null;
  unreached = null;
  void flush();
}

on("identity", (detail) => {
  if (!detail?.person || shutOut === null) return; // of whom it hears nothing while it is away
  shutOut = null;
  void flush();
});

/**
 * Call `hook` each time the server has answered something.
 * @param {() => void} hook
 * @returns {() => void} stops calling
 */
export function onSent(hook) {
  afterSending.add(hook);
  return () => void afterSending.delete(hook);
}

/**
 * Send what waits. Calls while one is running are folded into one more round after it.
 * @returns {Promise<void>} when this round is over, well or badly; never rejects
 */
export function flush() {
  again = true;
  running ??= rounds().finally(() => {
    running = null;
    if (again) void flush(); // asked for while the last round was closing
  });
  return running;
}

/**
 * The network is back: send what waits, and begin anew with how long is waited after a try in vain.
 * @returns {Promise<void>}
 */
export function backInReach() {
  anew = true;
  return flush();
}

async function rounds() {
  clearTimeout(timer);
  while (again) {
    again = false;
    try {
      if (!(await nothingToSend()) && !(await alone(sendAll))) return later(settings.retryBase); // another tab is sending
      failures = 0;
      anew = false;
    } catch (fault) {
      return stumble(fault);
    }
  }
  await schedule();
}

/** Then the server need not be asked, nor the other tabs: so it is on most pages as they open. */
async function nothingToSend() {
  const { events, photos } = await howManyWait();
  return events + photos === 0 && !(await readMeta("switched"));
}

/** @param {number} ms */
function later(ms) {
  clearTimeout(timer);
  timer = setTimeout(flush, ms);
}

/** When items were set aside, come back for them. */
async function schedule() {
  const phase = unreached === null ? "idle" : "away";
  const { events, photos } = await report(shutOut === null ? phase : "signin", shutOut ?? unreached?.message ?? null);
  if (events + photos > 0) later(settings.setAside);
}

/** @param {any} fault */
async function stumble(fault) {
  again = false;
  failures = anew ? 1 : failures + 1;
  anew = false;
  const signin = fault instanceof ApiError && fault.status === 401;
  const known = fault instanceof Error && (fault instanceof ApiError || fault.name === "StoreError");
  const message = known ? fault.message : _("Sending failed; it is tried again by itself. Your work is kept.");
  const barred = fault instanceof ApiError && fault.code === "shut_out";
  await (signin ? signedOut(fault) : report(barred ? "barred" : "away", message));
  later(pause(failures, { base: settings.retryBase, cap: settings.retryCap }));
}

/**
 * @param {Status["phase"]} phase
 * @param {string | null} message
 * @returns {Promise<Status>}
 */
async function report(phase, message) {
  const counted = await howManyWait().catch(() => ({ events: status.events, photos: status.photos }));
  status = { phase, message, ...counted };
  emit("status", status);
  return status;
}

/**
 * Count again and tell; called after each keep so that "not sent yet" is true at once. Whoever asks while a count is
 * under way gets the next one, which they share.
 * @returns {Promise<Status>}
 */
export function recount() {
  due ??= counting.then(() => {
    due = null;
    return report(status.phase, status.message);
  });
  counting = due.catch(() => undefined);
  return due;
}

async function sendAll() {
  await settleSwitch();
  if (await sendEvents()) for (const hook of afterSending) hook();
  if (await sendPhotos()) for (const hook of afterSending) hook();
}

/** While the server does not know us a try is no sending: it would take the word "sign in" off the page for a moment. */
function begun() {
  return report(shutOut === null ? "sending" : "signin", shutOut);
}

/** @returns {Promise<boolean>} whether anything was answered */
async function sendEvents() {
  let any = false;
  for (let batch = await nextBatch(limit, Date.now()); batch.length > 0; batch = await nextBatch(limit, Date.now())) {
    await begun();
    try {
      await sendBatch(batch);
      any = true;
      limit = Math.min(settings.batch, limit * 2);
    } catch (fault) {
      if (!isIndigestible(fault)) throw fault;
      await lighten(batch, /** @type {ApiError} */ (fault));
    }
  }
  if (any) await dropSpentTickets(Date.now());
  return any;
}

/** @param {import("./types.js").OutboxItem[]} batch */
async function sendBatch(batch) {
  const [me, tickets] = await Promise.all([whoAmI(), tokensFor(batch.map((item) => item.event.ticket))]);
  const pending = status.events - batch.length + status.photos; // what stays here after this one
  const json = { tablet: me?.tablet ?? null, pending, tickets, events: batch.map((item) => item.event) };
  const { data, askedAt, heardAt } = await ask("/sync", { method: "POST", json, timeout: settings.syncTimeout });
  shutOut = null;
  unreached = null;
  await observe(data?.now, askedAt, heardAt);
  const said = Array.isArray(data?.answers) ? data.answers : [];
  await settle(said, heardAt);
  const ours = new Set(batch.map((item) => item.id));
  if (said.some((/** @type {any} */ answer) => ours.has(answer?.id))) return;
  throw new ApiError("not_ours", _("The server answered but named none of our events; it is tried again by itself. Your work is kept."));
}

/** @param {any} fault */
function isIndigestible(fault) {
  return fault instanceof ApiError && [400, 413, 422].includes(fault.status);
}

/**
 * Too much, or one of them cannot be read: halve, and when one is left set it aside so that it does not block the rest.
 * @param {import("./types.js").OutboxItem[]} batch
 * @param {ApiError} fault
 */
async function lighten(batch, fault) {
  limit = Math.max(1, Math.ceil(batch.length / 2));
  const [only] = batch;
  if (batch.length > 1 || !only) return;
  await setAside(only.seq, fault.message, Date.now() + settings.setAside);
  limit = settings.batch;
}

/** @returns {Promise<boolean>} whether anything was answered */
async function sendPhotos() {
  let any = false;
  for (let photo = await nextPhoto(Date.now()); photo !== null; photo = await nextPhoto(Date.now())) {
    await begun();
    any = (await sendPhoto(photo)) || any;
  }
  return any;
}

/**
 * @param {import("./types.js").OutPhoto} photo
 * @returns {Promise<boolean>}
 */
async function sendPhoto({ photo, data: bytes, type }) {
  try {
    const { data } = await ask(`/photos/${photo}`, { method: "PUT", bytes, type, timeout: settings.photoTimeout });
    if (data?.photo !== photo) throw new ApiError("not_ours", _("The server did not say that it has the photo; it is tried again by itself."));
    if (data.state === "refused") await photoHeld(photo, { refused: data.reason || _("The server would not take this photo.") });
    else await photoStored(photo);
    return true;
  } catch (fault) {
    if (!(fault instanceof ApiError) || fault.kind !== "http" || fault.passing || fault.status === 401) throw fault;
    if (fault.code === "removed") {
      await photoStored(photo); // taken back meanwhile: nobody wants it any more
      return true;
    }
    const forGood = [400, 413, 415, 422].includes(fault.status);
    await photoHeld(photo, forGood ? { refused: fault.message } : { retryAt: Date.now() + settings.setAside });
    return forGood;
  }
}
