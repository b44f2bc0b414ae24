/**
 * Talking to the server. Every fault becomes an ApiError with one sentence a person can act on.
 *
 * A redirect or an answer that is not JSON is never taken for success: it may be a sign-in page, or the shop's Wi-Fi
 * asking for a coin.
 */

import { _ } from "./gettext.js";

/** @typedef {"away" | "silent" | "redirect" | "not_ours" | "http"} FaultKind */

/** Something did not work; `message` is for people, the rest for code. */
export class ApiError extends Error {
  /**
   * @param {FaultKind} kind
   * @param {string} message
   * @param {{status?: number, code?: string, field?: string | null}} [more]
   */
  constructor(kind, message, { status = 0, code = kind, field = null } = {}) {
    super(message);
    this.name = "ApiError";
    this.kind = kind;
    this.status = status;
    this.code = code;
    this.field = field;
  }

  /** True when no server of ours has answered. */
  get away() {
    return this.kind !== "http";
  }

  /** True when waiting may heal it. */
  get passing() {
    return this.away || this.status >= 500 || this.status === 408 || this.status === 429;
  }
}

/**
 * @typedef {object} Ask
 * @property {string} [method]
 * @property {any} [json]  sent as JSON
 * @property {ArrayBuffer} [bytes]  sent as they are
 * @property {string} [type]  media type of the bytes
 * @property {string | null} [etag]
 * @property {number} [timeout]  ms
 *
 * @typedef {object} Heard
 * @property {number} status
 * @property {any} data  null with 204 and 304
 * @property {string | null} etag
 * @property {number} askedAt
 * @property {number} heardAt
 */

/**
 * Ask the server for JSON, or tell it some.
 * @param {string} path
 * @param {Ask} [ask]
 * @returns {Promise<Heard>}
 * @throws {ApiError}
 */
export async function ask(path, { method = "GET", json, bytes, type, etag = null, timeout = 20000 } = {}) {
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json", "X-Lampwalk": "1" };
  if (etag) headers["If-None-Match"] = etag;
  if (json !== undefined) headers["Content-Type"] = "application/json";
  if (bytes !== undefined) headers["Content-Type"] = type ?? "application/octet-stream";
  const body = json !== undefined ? JSON.stringify(json) : bytes;
  const { signal, stop } = deadline(timeout);
  const askedAt = Date.now();
  try {
    const response = await fetch(path, { method, headers, body, signal, redirect: "manual", credentials: "same-origin", cache: "no-store" });
    const data = await read(response);
    return { status: response.status, data, etag: response.headers.get("ETag"), askedAt, heardAt: Date.now() };
  } catch (fault) {
    throw fault instanceof ApiError ? fault : unreached(signal.aborted);
  } finally {
    stop();
  }
}

/** @param {boolean} timedOut */
function unreached(timedOut) {
  return timedOut
    ? new ApiError("silent", _("The server does not answer. Your work is kept on this tablet and goes out as soon as it does."))
    : new ApiError("away", _("The server is out of reach. Your work is kept on this tablet and goes out as soon as it is back."));
}

/**
 * Fetch a file, such as a picture.
 * @param {string} path
 * @param {number} timeout ms
 * @returns {Promise<Response>} good, and from where it was asked
 * @throws {ApiError}
 */
export async function fetchFile(path, timeout) {
  const { signal, stop } = deadline(timeout);
  try {
    const response = await fetch(path, { signal, headers: { "X-Lampwalk": "1" } });
    if (!response.ok || response.redirected) throw new ApiError("http", _("The server did not send this."), { status: response.status });
    return new Response(await response.arrayBuffer(), { headers: response.headers });
  } catch (fault) {
    throw fault instanceof ApiError ? fault : unreached(signal.aborted);
  } finally {
    stop();
  }
}

/**
 * A timer of our own and not only AbortSignal.timeout, which older tablets lack.
 * @param {number} ms
 */
function deadline(ms) {
  if (typeof AbortSignal.timeout === "function") return { signal: AbortSignal.timeout(ms), stop: () => undefined };
  const controller = new AbortController();
  const timer = setTimeout(() => controller.abort(), ms);
  return { signal: controller.signal, stop: () => clearTimeout(timer) };
}

/**
 * @param {Response} response
 * @returns {Promise<any>}
 */
async function read(response) {
  if (response.type === "opaqueredirect" || response.redirected || (response.status >= 300 && response.status < 400 && response.status !== 304)) {
    throw new ApiError("redirect", _("Something between this tablet and the server sends us elsewhere; check the Wi-Fi. Your work is kept."));
  }
  if (response.status === 204 || response.status === 304) return null;
  const data = isJson(response) ? await parsed(response) : undefined;
  if (!response.ok) throw refusal(response.status, data);
  if (data === undefined) {
    throw new ApiError("not_ours", _("The answer did not come from Lampwalk; check the Wi-Fi and the address. Your work is kept."), { status: response.status });
  }
  return data;
}

/** @param {Response} response */
function isJson(response) {
  return /^application\/(json|[a-z.+-]+\+json)\b/i.test(response.headers.get("Content-Type") ?? "");
}

/**
 * @param {Response} response
 * @returns {Promise<any>} undefined when it is not JSON after all, e.g. cut off half-way
 */
async function parsed(response) {
  const text = await response.text();
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** What we say when the server could not say it itself. @type {Record<number, string>} */
const PLAIN = {
  401: _("You are no longer signed in. Your work is kept; sign in to send it."),
  403: _("You may not do this; ask someone who may, or sign in as yourself."),
  404: _("The server does not know this; reload the page."),
  409: _("This was changed by someone else meanwhile; look at it again."),
  413: _("This is too large for the server."),
  422: _("The server could not read this; reload the page and do it again."),
};

/**
 * @param {number} status
 * @param {any} data
 * @returns {ApiError}
 */
function refusal(status, data) {
  const error = data?.error;
  const said = typeof error?.message === "string" && error.message !== "" ? error.message : null;
  const fallback = PLAIN[status] ?? _("The server has a fault (%(status)s). Your work is kept and is sent again by itself.", { status });
  return new ApiError("http", said ?? fallback, { status, code: error?.code ?? `http_${status}`, field: error?.field ?? null });
}
