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
  const loop = byId("loop").checked ? bars() : null;
  if (byId("loop").checked && !loop) return;
  const from = state.at >= 0 ? sound.runUp(state.at) : 0;
  say("Stop");
  sound.play({
    from, loop, countIn: byId("count-in").checked ? beats(loop ? loop[0] : from) : [],
    speed: Number(byId("speed").value), volume: Number(byId("volume").value), withCents: byId("with-cents").checked,
    onNote: (note) => music.sound(note.id, onStand() ? follow : undefined),
    onEnd: () => { say("Hear it"); music.sound(null); },
  });
}

/** The first and the last note of the bars in the field, of all without any; null where there is no such bar. */
function bars() {
  const text = byId("loop-bars").value.trim();
  const [first, last = first] = text.split(/\s*[-\u2013]\s*/);
  const { notes } = state.route;
  const from = text ? notes.findIndex((note) => note.bar === first) : 0;
  const to = text ? notes.findLastIndex((note) => note.bar === last) : notes.length - 1;
  const found = from >= 0 && to >= from;
  byId("loop-problem").textContent = found ? "" : "Write bars that are here, such as 3-4";
  byId("loop-problem").hidden = found;
  byId("loop-bars").setAttribute("aria-invalid", String(!found));
  if (!found) byId("sound-menu").matches(":popover-open") || getComputedStyle(byId("sound")).display === "none" || byId("sound-menu").showPopover();
  return found ? [from, to] : null;
}

/** The beats of a bar to count before a note, in milliseconds each: the bar's length from note to note, in quarters. */
function beats(index) {
  const { notes } = state.route;
  const quarter = 60_000 / quartersAt(notes[index].id);
  const starts = notes.filter((note, k) => k === 0 || note.bar !== notes[k - 1].bar).map((note) => note.onset_ms);
  const here = starts.findLastIndex((ms) => ms <= notes[index].onset_ms);
  const length = (starts[here + 1] ?? starts[here] + 4 * quarter) - starts[here];
  return new Array(Math.min(MOST_BEATS, Math.max(2, Math.round(length / quarter)))).fill(quarter);
}

export function wire() {
  byId("play").addEventListener("click", listen);
  byId("volume").addEventListener("input", (event) => sound.setVolume(Number(event.target.value)));
  for (const id of ["loop", "loop-bars"]) {
    byId(id).addEventListener("change", () => {
      if (id === "loop-bars" && byId(id).value.trim()) byId("loop").checked = true;
      if (id === "loop" && byId(id).checked && state.at >= 0 && !byId("loop-bars").value.trim()) byId("loop-bars").value = state.route.notes[state.at].bar ?? "";
      if (byId("loop").checked) bars();
      sound.stop();
    });
  }
}
