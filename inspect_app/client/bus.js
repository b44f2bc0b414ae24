/**
 * What the client modules tell each other, in this tab and, for changes of stored things, in the other tabs too.
 *
 * - `outbox`: something was kept, answered or dismissed
 * - `rows`: cached rows of a scope changed; detail {scope}
 * - `identity`: who is signed in changed
 * - `status`: sending state changed; detail is sync.js's Status
 * - `signin-needed`: the server no longer knows us; everything is kept
 * - `store-made`: this tablet's store was not there and has been made anew
 * - `app`: a newer Lampwalk has come, or what is kept for the time without a server has changed
 */

/** @typedef {"outbox" | "rows" | "identity" | "status" | "signin-needed" | "store-made" | "app"} Topic */

/** @type {Map<string, Set<(detail: any) => void>>} */
const listeners = new Map();
const SHARED = new Set(["outbox", "rows", "identity"]);
const channel = typeof BroadcastChannel === "function" ? new BroadcastChannel("lampwalk") : null;
channel?.addEventListener("message", (event) => deliver(event.data?.topic, event.data?.detail));

/**
 * Listen to a topic; the returned function stops listening.
 * @param {Topic} topic
 * @param {(detail: any) => void} listener
 * @returns {() => void}
 */
export function on(topic, listener) {
  const set = listeners.get(topic) ?? new Set();
  listeners.set(topic, set.add(listener));
  return () => void set.delete(listener);
}

/**
 * Tell this tab, and the others where the topic is about stored things.
 * @param {Topic} topic
 * @param {any} [detail] must be cloneable
 */
export function emit(topic, detail = null) {
  deliver(topic, detail);
  if (SHARED.has(topic)) channel?.postMessage({ topic, detail });
}

/**
 * One listener's fault must not silence the others, so it is thrown later, where the page reports it.
 * @param {string} topic
 * @param {any} detail
 */
function deliver(topic, detail) {
  for (const listener of [...(listeners.get(topic) ?? [])]) {
    try {
      listener(detail);
    } catch (fault) {
      setTimeout(() => {
        throw fault;
      });
    }
  }
}
