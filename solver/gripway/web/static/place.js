// Where one looks: the same bar stays in view, and the chosen note, through every change and until the next day.

import { byId } from "./dom.js";
import * as kept from "./opening/kept.js";
import * as music from "./music/music.js";
import { loopNow } from "./music/player.js";
import * as near from "./music/near_view.js";
import { state } from "./state.js";

const IDLE_MS = 250;

const chosenId = () => (state.at >= 0 && state.route ? state.route.notes[state.at].id : null);

/** A played note by what stays when the bars change: its id, and which time it is played. */
export const placeOf = (index) => (index < 0 || !state.route ? null : { id: state.route.notes[index].id, time: state.byNote.get(state.route.notes[index].id).indexOf(index) });

/** The index of such a note now; -1 where it is not there. */
export const placed = (place) => {
  const times = place && state.byNote.get(place.id);
  return times ? times[Math.min(place.time, times.length - 1)] : -1;
};

let last = null, frozen = null; // what was looked at last, and what stays while the width changes

/** What is looked at: while the width changes, what was looked at before; the chosen note in view; the first system there. */
function looked() {
  if (frozen) return frozen;
  const line = chosenId() && near.lineOf(chosenId()), box = line?.box.getBoundingClientRect();
  return box && box.bottom > 0 && box.top < innerHeight ? { chunk: line.chunk.place, id: chosenId(), y: box.top } : near.anchor();
}

/** Before a change: its chunk, and `back`, which has the same music as far from the top as it was. */
export function hold() {
  const anchor = looked();
  return { chunk: anchor.chunk, back: async () => {
    if (!anchor.id || !state.byNote.has(anchor.id)) return;
    await near.bring(anchor.id);
    near.backTo(anchor);
  } };
}

/** The place in a work that is kept: for the next time it is opened. */
export function keepPlace() {
  if (frozen) return;
  const { id } = kept.tab(), { id: top, y } = near.anchor();
  if (id && top && state.route) kept.keepPlace(id, { chosen: placeOf(state.at), top, y: Math.round(y), speed: byId("speed").value, loop: loopNow() });
}

/** Where the work was left; false where nobody knows. */
export async function goBack(id) {
  const was = id && kept.place(id);
  if (!was || !state.byNote.has(was.top)) return false;
  await near.bring(was.top);
  scrollTo({ top: 1, behavior: "instant" });
  near.backTo({ id: was.top, y: was.y });
  state.at = placed(was.chosen);
  if (state.at >= 0) {
    await music.bring(chosenId());
    music.select(chosenId(), { scroll: false });
  }
  return true;
}

/** The width has changed and the music is there for it: from now on one looks where one is. */
export const settled = () => {
  frozen = null;
  if (state.route) last = looked();
};

export function wire() {
  let waits = 0, wide = innerWidth;
  addEventListener("resize", () => {
    if (innerWidth !== wide) frozen ??= last;
    wide = innerWidth;
  });
  for (const event of ["keydown", "pointerdown", "wheel"]) addEventListener(event, () => (frozen = null), { capture: true, passive: true });
  history.scrollRestoration = "manual";
  addEventListener("scroll", () => {
    clearTimeout(waits);
    waits = setTimeout(() => {
      if (!frozen && state.route) last = looked();
      keepPlace();
    }, IDLE_MS);
  }, { passive: true });
  addEventListener("pagehide", keepPlace);
  byId("speed").addEventListener("change", keepPlace);
}
