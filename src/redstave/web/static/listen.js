// Hearing some bars: every tone is a sum of partials at the levels of the analysis. An estimate: no
// bow, no breath, no hall; it lets the balance be heard, not the orchestra.

import { get } from "./ask.js";

const ATTACK_S = 0.025;
const RELEASE_S = 0.06;
const LOUDEST = 0.4; // of the loudest moment of the piece; peaks of many partials lie far above
let playing = null;

export function isPlaying() {
  return playing !== null;
}

export function stop() {
  playing?.close();
  playing = null;
}

// Play bars (indices) of an entry; resolves with the data when the sound has begun.
export async function listen(code, first, last, onEnd) {
  stop();
  const sound = await get(`/entries/${code}/tones/${first}/${last}`);
  const context = new AudioContext();
  playing = context;
  const out = context.createGain();
  out.gain.value = LOUDEST;
  out.connect(context.destination);
  const start = context.currentTime + 0.08;
  sound.tones.forEach((tone) => sing(context, out, tone, start, sound.reference_db));
  setTimeout(() => {
    if (playing === context) stop();
    onEnd?.();
  }, (sound.seconds + 0.5) * 1000);
  return sound;
}

function sing(context, out, tone, start, reference) {
  const [begin, end] = [start + tone.start, start + Math.max(tone.stop, tone.start + 0.05)];
  const gain = context.createGain();
  gain.connect(out);
  const [from, to] = tone.gain_db.map(amplitude);
  gain.gain.setValueAtTime(0, begin);
  gain.gain.linearRampToValueAtTime(from, begin + ATTACK_S);
  gain.gain.exponentialRampToValueAtTime(to, end);
  gain.gain.linearRampToValueAtTime(0, end + RELEASE_S);
  for (const source of sources(context, tone.partials, reference)) {
    source.connect(gain);
    source.start(begin);
    source.stop(end + RELEASE_S);
  }
}

function amplitude(db) {
  return Math.max(10 ** (db / 20), 1e-4);
}

// Harmonic partials make one wave; others sound one by one.
function sources(context, partials, reference) {
  const base = Math.min(...partials.map(([hz]) => hz));
  const numbers = partials.map(([hz]) => hz / base);
  const harmonic = numbers.every((one) => Math.abs(one - Math.round(one)) < 0.02 * one && one < 64.5);
  if (!harmonic) return partials.map(([hz, db]) => tone(context, hz, [0, amplitude(db - reference)]));
  const wave = new Array(Math.round(Math.max(...numbers)) + 1).fill(0);
  partials.forEach(([, db], at) => (wave[Math.round(numbers[at])] = amplitude(db - reference)));
  return [tone(context, base, wave)];
}

function tone(context, hz, wave) {
  const source = context.createOscillator();
  const sine = Float32Array.from(wave);
  source.setPeriodicWave(context.createPeriodicWave(new Float32Array(sine.length), sine, { disableNormalization: true }));
  source.frequency.value = hz;
  return source;
}
