// All bars in one strip, each as high as its worst load; a click or the arrow keys go there.

import { byId, el } from "../dom.js";
import { state } from "../state.js";
import { HARD, LATE, VERY_LATE } from "../words.js";

const FULL = 1.6; // the load of a bar of full height
let act = {}, bars = [];
export const whenAsked = (acts) => (act = acts);

/** The strip as the route is now; none for a single bar. */
export function showOverview() {
  const found = new Map();
  for (const note of state.route.notes) {
    if (!found.has(note.bar)) found.set(note.bar, { bar: note.bar, first: note.index, load: 0 });
    const bar = found.get(note.bar), load = state.route.changes.get(note.index)?.load ?? 0;
    if (load > bar.load) Object.assign(bar, { load, worst: note.index });
  }
  bars = [...found.values()];
  byId("overview").hidden = bars.length < 2;
  byId("overview").replaceChildren(...bars.map(({ load }) => {
    const one = el("span", { class: load > VERY_LATE ? "very" : load > LATE ? "late" : load >= HARD ? "hard" : "" });
    one.style.height = `${Math.max(8, Math.min(100, (100 * load) / FULL)).toFixed(0)}%`;
    return one;
  }));
  byId("overview").setAttribute("aria-valuemin", 1);
  byId("overview").setAttribute("aria-valuemax", bars.length);
  showPlace();
}

/** Which bar the chosen note is in. */
export function showPlace() {
  const here = state.at >= 0 ? bars.findIndex((bar) => bar.bar === state.route.notes[state.at].bar) : -1;
  byId("overview").querySelectorAll("span").forEach((one, k) => one.classList.toggle("here", k === here));
  const bar = bars[Math.max(0, here)];
  byId("overview").setAttribute("aria-valuenow", Math.max(0, here) + 1);
  byId("overview").setAttribute("aria-valuetext", bar ? `bar ${bar.bar}, worst load ${bar.load.toFixed(2)}` : "");
}

const go = (k) => bars[k] && act.choose(bars[k].worst ?? bars[k].first);

export function wire() {
  const strip = byId("overview");
  const at = (event) => {
    const box = strip.getBoundingClientRect();
    return Math.min(bars.length - 1, Math.max(0, Math.floor(((event.clientX - box.left) / box.width) * bars.length)));
  };
  strip.addEventListener("click", (event) => go(at(event)));
  strip.addEventListener("pointermove", (event) => { const bar = bars[at(event)]; strip.title = bar ? `bar ${bar.bar}: worst load ${bar.load.toFixed(2)}` : ""; });
  strip.addEventListener("keydown", (event) => {
    const here = Number(strip.getAttribute("aria-valuenow")) - 1;
    const to = { ArrowRight: here + 1, ArrowUp: here + 1, ArrowLeft: here - 1, ArrowDown: here - 1, Home: 0, End: bars.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    go(Math.min(bars.length - 1, Math.max(0, to)));
  });
}
