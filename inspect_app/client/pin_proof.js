/**
 * A PIN's proof, kept with a ticket so that its owner can be told from others while the server is away.
 *
 * PBKDF2 with SHA-256 is what browsers bring (Web Crypto; not argon2), and only to pages on https or localhost. It slows
 * a thief who copies the store; it does not stop one, for a PIN has few digits: docs/tablets.md says what that means.
 */

const ROUNDS = 600_000; // what was advised for SHA-256 in 2023 (from memory); about a quarter of a second on a desk computer

/** @typedef {{salt: ArrayBuffer, rounds: number, hash: ArrayBuffer}} PinProof */

/** Whether this browser, at this address, can make and check proofs. */
export function canProve() {
  return Boolean(globalThis.crypto?.subtle);
}

/**
 * @param {string} pin
 * @returns {Promise<PinProof | null>} null where it cannot be made
 */
export async function proofOf(pin) {
  if (!canProve()) return null;
  const salt = crypto.getRandomValues(new Uint8Array(16)).buffer;
  return { salt, rounds: ROUNDS, hash: await stretched(pin, salt, ROUNDS) };
}

/**
 * @param {PinProof} proof
 * @param {string} pin
 * @returns {Promise<boolean>}
 */
export async function fits({ salt, rounds, hash }, pin) {
  const [wanted, found] = [new Uint8Array(hash), new Uint8Array(await stretched(pin, salt, rounds))];
  return wanted.length === found.length && wanted.every((byte, i) => byte === found[i]);
}

/**
 * @param {string} pin
 * @param {ArrayBuffer} salt
 * @param {number} rounds
 */
async function stretched(pin, salt, rounds) {
  const key = await crypto.subtle.importKey("raw", new TextEncoder().encode(pin), "PBKDF2", false, ["deriveBits"]);
  return crypto.subtle.deriveBits({ name: "PBKDF2", hash: "SHA-256", salt, iterations: rounds }, key, 256);
}
