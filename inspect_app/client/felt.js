/** What is felt and heard when a marker is kept: a short buzz and a short, quiet tone, as this tablet wishes. */

import { thisTablet } from "./this_tablet.js";

const BUZZ_MS = 18;
const TONE = { hertz: 740, seconds: 0.07, loud: 0.06 };

/** @type {AudioContext | null} */
let air = null;

/** Browsers make a sound only for a page that was touched: call it from a tap. */
export function ready() {
  if (!thisTablet().sound || typeof AudioContext !== "function") return;
  air ??= new AudioContext();
  if (air.state === "suspended") void air.resume().catch(() => undefined);
}

/** Let it be felt. Nothing depends on it, so nothing that goes wrong here is said. */
export function tell() {
  const { buzz, sound } = thisTablet();
  try {
    if (buzz) navigator.vibrate?.(BUZZ_MS);
    if (sound) tone();
  } catch {
    // a tablet without a loudspeaker, or one that is asleep
  }
}

function tone() {
  ready();
  if (!air) return;
  const [voice, volume] = [air.createOscillator(), air.createGain()];
  const end = air.currentTime + TONE.seconds;
  voice.frequency.value = TONE.hertz;
  volume.gain.setValueAtTime(TONE.loud, air.currentTime);
  volume.gain.exponentialRampToValueAtTime(0.001, end);
  voice.connect(volume).connect(air.destination);
  voice.start();
  voice.stop(end);
}
