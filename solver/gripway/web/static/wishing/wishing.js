// Saying a wish, and taking it back where the server cannot follow it.

import { calm, say, untell, warn } from "../dom.js";
import * as music from "../music/music.js";
import * as kept from "../opening/kept.js";
import { otherMusic, otherPlaces, playersOwn, seenWishes, state, unshowPin, unwish, wish } from "../state.js";
import { pinWords, plural } from "../words.js";
import { showChoices, showFault, showSteps } from "./fields.js";
import { latest, renew, since } from "./renewing.js";

/** Say a wish, and show what it changes. Throws what the server refuses; the wish is then taken back. */
export async function wished(change, words = "", atOnce = null) {
  untell();
  performance.clearMarks("gripway-wish");
  performance.mark("gripway-wish");
  wish(change);
  if (atOnce) {
    music.mark(atOnce());
    requestAnimationFrame(() => since("gripway-pinned"));
  }
  await followed(words);
}

/** Show what the wishes now are; what the server refuses, or the person stops, is taken back whole. */
async function followed(words) {
  const before = seenWishes(), mine = latest() + 1;
  try {
    await renew({ music: otherPlaces(before, state.wishes), engrave: otherMusic(before, state.wishes), words });
    if (mine === latest() && JSON.stringify(playersOwn(before)) !== JSON.stringify(playersOwn())) kept.keepOwn({ player: playersOwn() });
  } catch (problem) {
    if (mine !== latest()) return; // a newer wish holds this one, too
    unwish();
    music.mark(unshowPin());
    showSteps();
    showChoices();
    throw problem.code === "stopped" ? { code: "stopped", what: "Stopped: the last change is taken back", next_step: "The music is as it was" } : problem;
  }
}

export const tryWish = (change, words, atOnce = null) => { calm(); return wished(change, words, atOnce).catch(warn); };

/** Another part of the score; the pins of this one wait until it is chosen again. */
export async function otherPart(part) {
  await tryWish({ part, bars: null }, "Another part.");
  const waiting = state.wishes.pins.filter((one) => !state.byNote.has(one.note)).length;
  if (waiting) say(`Another part. ${plural(waiting, "pin")} of the other ${waiting === 1 ? "waits" : "wait"} there.`);
}

/** A wish written into a field. What is refused stays in it, with the words beside it. */
export async function fieldWish(field, change, words) {
  const text = field.value;
  calm();
  try {
    if (field.validity.badInput) throw { code: "request", what: "this is no number", next_step: field.id === "percent" ? "Write percent, such as 80" : "Write quarter notes a minute, such as 96" };
    await wished(change, words);
  } catch (problem) {
    if (problem.code !== "request") return warn(problem);
    if (!field.validity.badInput) field.value = text;
    showFault(field, [problem.what, problem.next_step].filter(Boolean).join(". "));
  }
  return null;
}

export async function step(goes, words) {
  const before = state.wishes;
  if (!goes()) return;
  calm();
  untell();
  await followed(`${words}${stepWords(before, state.wishes)}.`).catch(warn);
}

/** What a step goes between, in words: a pin set or taken away, else nothing. */
function stepWords(before, after) {
  const only = (a, b) => a.pins.filter((one) => !b.pins.some((other) => other.note === one.note && other.grip === one.grip));
  const changed = [...only(before, after), ...only(after, before)], times = changed.length && state.byNote.get(changed[0].note);
  if (!times || new Set(changed.map(({ note }) => note)).size > 1) return "";
  return `: ${pinWords(state.route.notes[times[0]])}`;
}
