/**
 * UUIDv7 (RFC 9562, section 5.7) from `crypto.getRandomValues`, which is there on plain http too; `randomUUID` is not.
 */

let lastMs = 0;
let counter = 0;

/**
 * Make an id that sorts after every id made before it on this page.
 *
 * Within one millisecond the 12 bits of rand_a count up from a random start (RFC 9562, 6.2, method 1). When they run
 * out, or the device's clock steps back, the millisecond is lent from the future.
 *
 * @param {number} [now] device time in ms
 * @returns {string}
 */
export function uuid7(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  advance(now, (((bytes[6] ?? 0) & 0x07) << 8) | (bytes[7] ?? 0));
  let rest = lastMs;
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (counter >> 8);
  bytes[7] = counter & 0xff;
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  return dashed(bytes);
}

/**
 * @param {number} now
 * @param {number} start  random, below 2048, so that at least 2048 more fit into the millisecond
 */
function advance(now, start) {
  if (now > lastMs) {
    lastMs = now;
    counter = start;
  } else if (counter < 0xfff) {
    counter += 1;
  } else {
    lastMs += 1;
    counter = start;
  }
}

/** @param {Uint8Array} bytes */
function dashed(bytes) {
  const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
