/** A double tap does a thing once. */

/** @type {Set<unknown>} */
const going = new Set();

/**
 * Do what was asked, unless just that is being done already, or its button has not yet made way for what came of it.
 * @param {unknown} key which button of which sheet, or what it says it does
 * @param {() => unknown} deed
 * @param {number} [lingers] ms for which the button may still be there when it is done
 */
export async function once(key, deed, lingers = 0) {
  if (going.has(key)) return;
  going.add(key);
  const doing = (async () => deed())();
  const over = () => going.delete(key);
  await doing.finally(lingers > 0 ? () => void setTimeout(over, lingers) : over);
}
