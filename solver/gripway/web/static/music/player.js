// The player at the foot: from the chosen note, in a loop of bars, after a bar counted in.

import { byId } from "../dom.js";
import * as music from "./music.js";
import * as sound from "./sound.js";
import { onStand } from "../stand/on_stand.js";
import { follow } from "../stand/turning.js";
import { state } from "../state.js";
import { quartersAt } from "../wishing/tempo.js";

const MOST_BEATS = 8;

const say = (words) => document.querySelectorAll("#play, #stand-hear").forEach((button) => (button.textContent = words));

/** Play, or stop what plays. */
export function listen() {
  if (sound.isPlaying()) { sound.stop(); return; }
  const loop = byId("loop").checked ? looped() : null;
  const from = state.at >= 0 ? sound.runUp(state.at) : 0;
  say("Stop");
  sound.play({
    from, loop, countIn: byId("count-in").checked ? beats(loop ? loop[0] : from) : [],
    speed: Number(byId("speed").value), volume: Number(byId("volume").value), withCents: byId("with-cents").checked,
    onNote: (note) => music.sound(note.id, onStand() ? follow : undefined),
    onEnd: () => { say("Hear it"); music.sound(null); },
  });
}

let good = ""; // the bars of the loop that were written last and are here

/** The first and the last note of bars as they are written, of all without any; null where there is no such bar. */
function notesIn(text) {
  const [first, last = first] = text.split(/\s*[-\u2013]\s*/);
  const { notes } = state.route;
  const from = text ? notes.findIndex((note) => note.bar === first) : 0;
  const to = text ? notes.findLastIndex((note) => note.bar === last) : notes.length - 1;
  return from >= 0 && to >= from ? [from, to] : null;
}

/** The loop that is heard: that of the field, or the one before where no such bars are here, which the field says. */
function looped() {
  const field = byId("loop-bars"), text = field.value.trim(), found = notesIn(text);
  if (found) good = text;
  else if (!notesIn(good)) good = "";
  byId("loop-problem").textContent = found ? "" : `No such bars here: ${good ? `still ${good}` : "all are played"}. Write bars such as 3-4`;
  byId("loop-problem").hidden = Boolean(found);
  field.setAttribute("aria-invalid", String(!found));
  return found ?? notesIn(good);
}

/** The loop of a work that is opened: as it was left there, or none. */
export function loopAt(loop) {
  good = loop?.bars ?? "";
  byId("loop").checked = Boolean(loop?.on);
  byId("loop-bars").value = good;
  byId("loop-problem").hidden = true;
  byId("loop-bars").setAttribute("aria-invalid", "false");
}

/** The loop as it is kept with the place in a work. */
export const loopNow = () => ({ on: byId("loop").checked, bars: good });

/** The beats of a bar to count before a note, in milliseconds each: the bar's length from note to note, in quarters. */
function beats(index) {
  const { notes } = state.route;
  const quarter = 60_000 / quartersAt(notes[index].id);
  const starts = notes.filter((note, k) => k === 0 || note.bar !== notes[k - 1].bar).map((note) => note.onset_ms);
  const here = starts.findLastIndex((ms) => ms <= notes[index].onset_ms);
  const length = (starts[here + 1] ?? starts[here] + 4 * quarter) - starts[here];
  return new Array(Math.min(MOST_BEATS, Math.max(2, Math.round(length / quarter)))).fill(quarter);
}

/** `changed` is told of another loop. */
export function wire(changed) {
  byId("play").addEventListener("click", listen);
  byId("volume").addEventListener("input", (event) => sound.setVolume(Number(event.target.value)));
  for (const id of ["loop", "loop-bars"]) {
    byId(id).addEventListener("change", () => {
      if (id === "loop-bars" && byId(id).value.trim()) byId("loop").checked = true;
      if (id === "loop" && byId(id).checked && state.at >= 0 && !byId("loop-bars").value.trim()) byId("loop-bars").value = state.route.notes[state.at].bar ?? "";
      if (byId("loop").checked) looped();
      sound.stop();
      changed();
    });
  }
  const field = byId("loop-bars");
  let fresh = false; // the click that comes to the field leaves its text selected, as the key does
  field.addEventListener("focus", () => { fresh = true; field.select(); });
  field.addEventListener("click", () => { if (fresh) field.select(); fresh = false; });
}
