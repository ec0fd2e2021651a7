// Pins and bans: set, taken back, the same in all same figures.

import { say, tell, warn } from "../dom.js";
import { ask } from "../server.js";
import { pinOf, sent, showPin, state } from "../state.js";
import { name, pinWords, placesOf, plural } from "../words.js";
import { tryWish } from "./wishing.js";

export const pin = (note, grip) => {
  const others = state.wishes.pins.filter((one) => one.note !== note.id);
  const gone = pinOf(note.id)?.grip === grip.grip;
  return tryWish({ pins: gone ? others : [...others, { note: note.id, grip: grip.grip }] }, gone ? `Taken back: ${pinWords(note)}.` : (moved) => tellPinned(note, moved.filter(({ id }) => id !== note.id)), gone ? null : () => showPin(note, grip));
};

/** What a pin has done: seen where other notes go with it. */
function tellPinned(note, moved) {
  const words = `Pinned ${placesOf([note])}`;
  if (moved.length) tell(`${words}; ${placesOf(moved)} ${moved.length > 1 ? "follow" : "follows"} it.`);
  else say(`${words}.`);
}

export const ban = (note, grip) => {
  const made = { pitch: note.pitch, grip: grip.row_grip };
  const pins = state.wishes.pins.filter((one) => !(one.note === note.id && one.grip === grip.grip));
  return tryWish({ bans: [...state.wishes.bans, made], pins }, `${name(note.pitch)} ${grip.short} banned.`);
};

export const allow = (note, grip) => tryWish({ bans: state.wishes.bans.filter((one) => !(one.grip === grip.grip && one.pitch === note.pitch)) }, "Allowed again.");

/** Take a ban of the wishes back. */
export const unban = (ban) => tryWish({ bans: state.wishes.bans.filter((one) => one !== ban) }, "Allowed again.");

export const unpin = (one) => {
  const times = state.byNote.get(one.note);
  return tryWish({ pins: state.wishes.pins.filter((other) => other !== one) }, times ? `Taken back: ${pinWords(state.route.notes[times[0]])}.` : "Pin taken away.");
};

/** The same grip for every note of the same figure. */
export async function pinAll(one) {
  try {
    const { notes } = await ask("/same", { wishes: sent(), note: one.note });
    const more = notes.filter((id) => !pinOf(id)).map((note) => ({ note, grip: one.grip }));
    if (!more.length) return say("No other note has this figure without a pin.");
    return await tryWish({ pins: [...state.wishes.pins, ...more] }, `${plural(more.length, "more note")} pinned.`);
  } catch (problem) { return warn(problem); }
}
