// What this tab works on. Wishes are plain values: undo and redo are lists of them.

import { HARD, thumbOf } from "./words.js";

export const NO_WISHES = {
  part: null, bars: null, tempo: null, flute: null, parts: [], dials: {}, pins: [], bans: [], limits: [], tempo_percent: 100,
  choose: "effort", keep_fingerings: false, learn: null, cents: [],
};
const MOST_STEPS = 200;

export const state = {
  source: null,      // {name, data} or {notes, unit, tempo}
  opened: null,      // what the server said of it
  wishes: { ...NO_WISHES },
  past: [],
  future: [],
  keptWishes: null,  // for comparing
  route: null,       // {revision, notes, changes: Map, hardest, ...}
  byNote: new Map(), // note id -> indices as played
  thumb: new Map(),  // index -> Tb where the thumb goes to the B-flat lever, T where it goes back to its own key
  pictures: new Map(),
  known: null,       // flutes, dials, words
  at: -1,            // index of the chosen note
};

export const hasWork = () => state.opened !== null;

export function wish(change) {
  state.past.push(state.wishes);
  if (state.past.length > MOST_STEPS) state.past.shift();
  state.future = [];
  state.wishes = { ...state.wishes, ...change };
}

export function stepBack() {
  if (!state.past.length) return false;
  state.future.push(state.wishes);
  state.wishes = state.past.pop();
  return true;
}

export function stepForward() {
  if (!state.future.length) return false;
  state.past.push(state.wishes);
  state.wishes = state.future.pop();
  return true;
}

let seen = null;

/** What is on the page now goes with these wishes and steps. */
export const keepSeen = () => (seen = { wishes: state.wishes, past: [...state.past], future: [...state.future] });

/** The wishes that go with what is on the page. */
export const seenWishes = () => seen?.wishes ?? state.wishes;

/** Back to what is on the page, steps and all: the server could not follow what was wished since. */
export function unwish() {
  if (seen) Object.assign(state, { wishes: seen.wishes, past: [...seen.past], future: [...seen.future] });
}

/** What another score keeps of the wishes: flute, dials, bans and tuner readings, which are the player's. */
export const playersOwn = ({ flute, parts, dials, bans, cents } = state.wishes) => ({ flute, parts, dials, bans, cents });

export const otherMusic = (a, b) => a.part !== b.part || a.bars !== b.bars;
export const otherPlaces = (a, b) => otherMusic(a, b) || a.tempo !== b.tempo || a.tempo_percent !== b.tempo_percent;

/** The indices of the notes that are pinned by one of two wishes and not by the other: a grip need not change with its pin. */
export function otherPins(a, b) {
  const [before, now] = [a, b].map(({ pins }) => new Set(pins.map(({ note }) => note)));
  return [...before, ...now].filter((id) => before.has(id) !== now.has(id)).flatMap((id) => state.byNote.get(id) || []);
}

/** The wishes as they are sent: only what differs from no wish at all. */
export function sent(wishes = state.wishes) {
  const kept = Object.entries(wishes).filter(([key, value]) => JSON.stringify(value) !== JSON.stringify(NO_WISHES[key]));
  return Object.fromEntries(kept);
}

let stood = []; // what stands in the route where a pin shows before its answer: [index, note or change, whether a change]

/** A pin on the page before the server has said what follows from it: its grip, and the changes around it. */
export function showPin(note, grip) {
  const { notes, changes, instrument } = state.route, { short, kind, cents } = grip;
  if (grip.picture) state.pictures.set(`${instrument.id} ${instrument.parts} ${grip.grip}`, grip.picture);
  const times = state.byNote.get(note.id), late = [[note.index, grip.load_into], [note.index + 1, grip.load_out]];
  for (const index of times) {
    stood.push([index, notes[index], false]);
    notes[index] = { ...notes[index], grip: grip.grip, short, kind, cents, plain: false, lean: null, needs_help: false };
  }
  for (const [to, load] of late.filter(([index, known]) => known !== null && changes.has(index))) {
    stood.push([to, changes.get(to), true]);
    changes.set(to, { ...changes.get(to), load });
  }
  return [...times, note.index + 1];
}

/** What stood there before such pins, the last one first; gives the indices of their notes. */
export function unshowPin() {
  const back = stood.reverse();
  stood = [];
  for (const [index, value, change] of back) {
    if (change) state.route.changes.set(index, value);
    else state.route.notes[index] = value;
  }
  return back.map(([index]) => index);
}

/** Where the thumb comes down on another key than the last time; it begins on its own. */
function thumbPlaces(notes) {
  const found = new Map();
  let on = "T";
  for (const note of notes) {
    const now = thumbOf(note.grip) ?? on; // up, it stays where it was
    if (now !== on) found.set(note.index, now);
    on = now;
  }
  return found;
}

/** Put an answer of the server into the route; gives the indices of the notes that changed. */
export function takeRoute(answer) {
  const old = state.route, shown = unshowPin();
  const partly = answer.since !== null && old && answer.since === old.revision;
  const notes = partly ? old.notes : new Array(answer.count);
  const changes = partly ? old.changes : new Map();
  for (const note of answer.notes) notes[note.index] = note;
  for (const to of answer.no_change) changes.delete(to);
  for (const change of answer.changes) changes.set(change.to, change);
  for (const [grip, sentPicture] of Object.entries(answer.pictures)) state.pictures.set(`${answer.instrument.id} ${answer.instrument.parts} ${grip}`, sentPicture);
  const hardest = answer.hardest.filter((to) => changes.get(to)?.load >= HARD);
  state.route = { ...answer, notes, changes, hardest };
  if (!partly) {
    state.byNote = new Map();
    for (const note of notes) {
      if (!state.byNote.has(note.id)) state.byNote.set(note.id, []);
      state.byNote.get(note.id).push(note.index);
    }
  }
  const thumbs = state.thumb;
  state.thumb = thumbPlaces(notes);
  const thumbed = [...new Set([...thumbs.keys(), ...state.thumb.keys()])].filter((index) => thumbs.get(index) !== state.thumb.get(index));
  const touched = new Set([...shown, ...thumbed, ...answer.notes.map((note) => note.index)]);
  for (const change of answer.changes) touched.add(change.to);
  return partly ? [...touched] : null;
}

export const pictureOf = (grip) => {
  const { id, parts } = state.route.instrument;
  return state.pictures.get(`${id} ${parts} ${grip}`);
};

export const pinOf = (id) => state.wishes.pins.find((pin) => pin.note === id);

export function session() {
  return {
    format: "gripway-session", version: 1, source: state.source,
    wishes: sent(), past: state.past.map(sent), future: state.future.map(sent),
  };
}
