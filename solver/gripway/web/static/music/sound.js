// The passage as a plain flute-like tone: a few partials and a little breath, in the browser alone.

import { state } from "../state.js";
import { HARD } from "../words.js";

const PARTIALS = [1, 0.42, 0.16, 0.05];
const LOUD = { pp: 0.35, p: 0.5, mp: 0.65, mf: 0.8, f: 0.95, ff: 1 };
const AHEAD_S = 0.25, LOOK_MS = 60;
const ALONE_S = 1.2; // least length of a note that is heard alone
const SHAKE_S = 3;   // length of a trill that is heard alone
const RUN_UP_MS = 750; // about a beat before a hard change, judgement
const CONCERT_A = 440, NOTE_A = 69;

let context = null, out = null, wave = null, breath = null;
let playing = null;

/** Where to begin so that a note is heard as it is come to: at a hard change a beat or so before it, else at the note. */
export function runUp(index) {
  const { notes, changes } = state.route;
  if (!((changes.get(index)?.load ?? 0) >= HARD)) return index;
  const begin = notes.findIndex(({ onset_ms }) => onset_ms >= notes[index].onset_ms - RUN_UP_MS);
  return Math.min(begin, index - 1);
}

export const isPlaying = () => playing !== null;

function prepare() {
  if (context) return;
  context = new AudioContext();
  out = context.createGain();
  out.connect(context.destination);
  wave = context.createPeriodicWave(new Float32Array(PARTIALS.length + 1), new Float32Array([0, ...PARTIALS]));
  const length = context.sampleRate;
  breath = context.createBuffer(1, length, context.sampleRate);
  const noise = breath.getChannelData(0);
  for (let k = 0; k < length; k += 1) noise[k] = Math.random() * 2 - 1;
}

/** Silence, and all that the next sound needs. */
async function ready(volume) {
  stop();
  prepare();
  await context.resume();
  setVolume(volume);
}

/** Volume from 0 to 100; the middle of the range is still quiet. */
export function setVolume(percent) {
  if (out) out.gain.setTargetAtTime((percent / 100) ** 2 * 0.5, context.currentTime, 0.02);
}

/**
 * Play from a note up to the last one. With `loop`, `[first, last]` indices, those come again and again; `countIn` are
 * the milliseconds of the beats to count before the first note, at full speed.
 */
export async function play({ from, loop = null, countIn = [], speed, volume, withCents, onNote, onEnd }) {
  await ready(volume);
  const notes = state.route.notes;
  const [first, last] = loop ?? [0, notes.length - 1];
  const begin = loop && (from < first || from > last) ? first : from;
  const ends = notes[last].onset_ms + notes[last].length_ms;
  const rate = 1000 * (speed / 100); // milliseconds of the music in a second
  const run = { next: begin, shown: null, sources: new Set(), coming: [], start: context.currentTime + 0.12, from: notes[begin].onset_ms };
  for (const [k, ms] of countIn.entries()) {
    click(run.start, k === 0, run);
    run.start += ms / rate;
  }
  const at = (ms) => run.start + (ms - run.from) / rate;
  const tick = () => {
    while (run.next <= last && at(notes[run.next].onset_ms) < context.currentTime + AHEAD_S) {
      const note = notes[run.next];
      sing(note, at(note.onset_ms), note.length_ms / rate, withCents, run);
      run.coming.push([at(note.onset_ms), note]);
      run.next += 1;
      if (loop && run.next > last) Object.assign(run, { start: at(ends), from: notes[first].onset_ms, next: first });
    }
    let now = null;
    while (run.coming.length && run.coming[0][0] <= context.currentTime) [, now] = run.coming.shift();
    if (now && now !== run.shown) onNote((run.shown = now));
    if (!loop && run.next > last && context.currentTime > at(ends) + 0.2) stop();
  };
  run.timer = setInterval(tick, LOOK_MS);
  run.onEnd = onEnd;
  playing = run;
  tick();
}

/** One note alone, as it sounds with a grip that leans so (null where nobody knows). */
export async function sounds(note, cents, volume) {
  await ready(volume);
  sing({ ...note, cents }, context.currentTime + 0.05, Math.max(ALONE_S, note.length_ms / 1000), true, { sources: new Set() });
}

/** A line of notes once, at a speed of 1 as they are; `sounds` is added to the written numbers. */
export async function line({ notes, speed = 1, sounds, volume, withCents = false, onEnd }) {
  await ready(volume);
  const run = { sources: new Set(), onEnd }, from = context.currentTime + 0.05, scale = 1000 * speed;
  for (const note of notes) sing(note, from + note.onset_ms / scale, note.length_ms / scale, withCents, run, sounds);
  const ends = from + Math.max(...notes.map((note) => note.onset_ms + note.length_ms)) / scale;
  run.timer = setInterval(() => context.currentTime > ends + 0.1 && stop(), LOOK_MS);
  playing = run;
}

/** Two notes to and fro, `aSecond` of them, some seconds long, as they lean. */
export function shake({ notes, aSecond, ...how }) {
  const length_ms = 1000 / aSecond, count = Math.round(SHAKE_S * aSecond);
  const played = Array.from({ length: count }, (_, k) => ({ ...notes[k % 2], slurred: true, onset_ms: k * length_ms, length_ms }));
  return line({ notes: played, withCents: true, ...how });
}

/** One beat that is counted, the first of them higher. */
function click(start, first, run) {
  const tone = context.createOscillator();
  tone.frequency.value = first ? 1760 : 1320;
  shape(tone, 0.25, start, start + 0.05, run);
}

export function stop() {
  if (!playing) return;
  clearInterval(playing.timer);
  for (const source of playing.sources) source.stop();
  const { onEnd } = playing;
  playing = null;
  onEnd();
}

function sing(note, start, length, withCents, run, sounds = state.route.sounds_semitones) {
  const loud = LOUD[note.dynamic] ?? 0.8;
  const end = start + Math.max(0.05, length * (note.slurred ? 1 : 0.94));
  const tone = context.createOscillator();
  tone.setPeriodicWave(wave);
  tone.frequency.value = CONCERT_A * 2 ** ((note.number + sounds - NOTE_A) / 12);
  tone.detune.value = withCents && note.cents !== null ? note.cents : 0;
  shape(tone, 0.32 * loud, start, end, run);
  const air = context.createBufferSource();
  air.buffer = breath;
  air.loop = true;
  const band = context.createBiquadFilter();
  band.type = "bandpass";
  band.frequency.value = Math.min(9000, tone.frequency.value * 2);
  band.Q.value = 1.2;
  air.connect(band);
  shape(air, 0.012 * loud, start, end, run, band);
}

function shape(source, level, start, end, run, through = source) {
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(level, start + 0.018);
  gain.gain.setValueAtTime(level, Math.max(start + 0.02, end - 0.025));
  gain.gain.linearRampToValueAtTime(0, end);
  through.connect(gain).connect(out);
  source.start(start);
  source.stop(end + 0.01);
  run.sources.add(source);
  source.addEventListener("ended", () => run.sources.delete(source));
}
