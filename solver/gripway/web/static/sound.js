// The passage as a plain flute-like tone: a few partials and a little breath, in the browser alone.

import { state } from "./state.js";

const PARTIALS = [1, 0.42, 0.16, 0.05];
const LOUD = { pp: 0.35, p: 0.5, mp: 0.65, mf: 0.8, f: 0.95, ff: 1 };
const AHEAD_S = 0.25, LOOK_MS = 60;
const CONCERT_A = 440, NOTE_A = 69;

let context = null, out = null, wave = null, breath = null;
let playing = null;

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

/** Volume from 0 to 100; the middle of the range is still quiet. */
export function setVolume(percent) {
  if (out) out.gain.setTargetAtTime((percent / 100) ** 2 * 0.5, context.currentTime, 0.02);
}

export async function play({ from, speed, volume, withCents, onNote, onEnd }) {
  stop();
  prepare();
  await context.resume();
  setVolume(volume);
  const notes = state.route.notes;
  const run = { next: from, start: context.currentTime + 0.12, from: notes[from].onset_ms, speed: speed / 100, shown: -1, sources: new Set() };
  const ends = notes.at(-1);
  const at = (ms) => run.start + (ms - run.from) / 1000 / run.speed;
  const tick = () => {
    while (run.next < notes.length && at(notes[run.next].onset_ms) < context.currentTime + AHEAD_S) {
      sing(notes[run.next], at(notes[run.next].onset_ms), notes[run.next].length_ms / 1000 / run.speed, withCents, run);
      run.next += 1;
    }
    let shown = run.shown;
    while (shown + 1 < run.next && at(notes[Math.max(from, shown + 1)].onset_ms) <= context.currentTime) shown = Math.max(from, shown + 1);
    if (shown !== run.shown && shown >= 0) onNote(notes[(run.shown = shown)]);
    if (run.next >= notes.length && context.currentTime > at(ends.onset_ms + ends.length_ms) + 0.2) stop();
  };
  run.timer = setInterval(tick, LOOK_MS);
  run.onEnd = onEnd;
  playing = run;
  tick();
}

export function stop() {
  if (!playing) return;
  clearInterval(playing.timer);
  for (const source of playing.sources) source.stop();
  const { onEnd } = playing;
  playing = null;
  onEnd();
}

function sing(note, start, length, withCents, run) {
  const loud = LOUD[note.dynamic] ?? 0.8;
  const end = start + Math.max(0.05, length * (note.slurred ? 1 : 0.94));
  const tone = context.createOscillator();
  tone.setPeriodicWave(wave);
  tone.frequency.value = CONCERT_A * 2 ** ((note.number + state.route.sounds_semitones - NOTE_A) / 12);
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
