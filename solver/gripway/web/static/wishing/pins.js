// Pins and bans: set, taken back, the same in all same figures.

import { say, tell, warn } from "../dom.js";
import { ask } from "../server.js";
import { pinOf, sent, showPin, state } from "../state.js";
import { name, pinWords, placesOf, plural, thumbOf } from "../words.js";
import { tryWish } from "./wishing.js";

export const pin = (note, grip) => {
  const others = state.wishes.pins.filter((one) => one.note !== note.id);
  const gone = pinOf(note.id)?.grip === grip.grip;
  return tryWish({ pins: gone ? others : [...others, { note: note.id, grip: grip.grip }] }, gone ? `Taken back: ${pinWords(note)}.` : (moved) => tellPinned(note, moved.filter(({ id }) => id !== note.id)), gone ? null : () => showPin(note, grip));
};

/** What a pin has done: seen where other notes go with it. */
function tellPinned(note, moved) {
  const span = thumbOn(note.index);
  const onLever = (one) => span !== null && one.index >= span.from && one.index <= span.to && thumbOf(one.grip) === "Tb";
  const others = moved.filter((one) => !onLever(one));
  const parts = [`Pinned ${placesOf([note])}`, thumbWords(note, span, moved.filter(onLever).at(-1)), others.length ? `${placesOf(others)} ${others.length > 1 ? "change" : "changes"} with it` : ""].filter(Boolean);
  if (parts.length > 1) tell(`${parts.join("; ")}.`);
  else say(`${parts[0]}.`);
}

/** From where the thumb is on the B-flat lever for a pin, and up to which other note it stays there; empty where only the pin has it. */
function thumbWords(note, span, last) {
  const at = (one) => `${name(one.pitch)}${one.bar ? ` (bar ${one.bar})` : ""}`;
  const from = span && span.from < note.index ? `is on the B-flat lever already from ${at(state.route.notes[span.from])} on` : "";
  const to = last && last.index > note.index ? `stays ${from ? "there" : "on the B-flat lever"} up to ${at(last)}` : "";
  return from || to ? `the thumb ${[from, to].filter(Boolean).join(" and ")}` : "";
}

/** The notes, from first to last, in which the thumb stays on the B-flat lever around this one; null where it is not there. */
function thumbOn(index) {
  const from = [...state.thumb.keys()].filter((at) => at <= index).at(-1);
  if (state.thumb.get(from) !== "Tb") return null;
  return { from, to: ([...state.thumb.keys()].find((at) => at > index) ?? state.route.count) - 1 };
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
