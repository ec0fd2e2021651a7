// On the music stand: turns by half a view, whole lines only, by pedal or key, tap, swipe and button; the screen stays awake.

import { byId, el } from "../dom.js";
import * as music from "../music/music.js";
import { lastBarOf } from "../music/near_view.js";
import { fold, isUnfolded } from "../music/unfold.js";
import { state } from "../state.js";

/** How much larger than on paper the music stands there: the plates of a diagram are 12 CSS pixels wide then. */
export const STAND_ZOOM = 1.55;

/** The sizes one chooses, against that one. */
export const SIZES = { small: 0.7, medium: 1, large: 1.3 };

const KEYS = { PageDown: 1, ArrowRight: 1, ArrowDown: 1, PageUp: -1, ArrowLeft: -1, ArrowUp: -1 };
const EDGE_PX = 24;                     // a tap so near to the side turns, over a note, too
const SWIPE_PX = 48, SWIPE_SLOPE = 1.5; // a swipe is as long, and so much longer across than down
const BACK_SHARE = 1 / 3;               // taps on this share of the width, from the left, turn back
const STILL_MS = 150;                   // after so long a finger that moved the music has let it go

/** How far the view reaches, without the bar at the foot. */
const viewHeight = () => innerHeight - (document.querySelector(".stand-bar:not([hidden])")?.offsetHeight ?? 0);

/** The systems from top to bottom, in pixels of the whole page. */
const systems = () => [...document.querySelectorAll(".system")].map((box) => {
  const { top, bottom } = box.getBoundingClientRect();
  return { box, top: Math.round(top + scrollY), end: Math.floor(bottom + scrollY) };
});

/**
 * The places one turns to, half a view apart, each at the top of a system: the first at the top of the page, where the
 * title stands. A system higher than the view has places within.
 */
function stops(boxes, view) {
  const found = [0];
  if (!boxes.length) return found;
  const last = boxes.length - 1;
  let first = 0, top = 0;
  for (;;) {
    const whole = boxes.findLastIndex(({ end }) => end <= top + view) - first + 1;
    if (whole > 0 && first + whole > last) return found;
    if (whole > 0) first += Math.max(1, Math.ceil(whole / 2));
    else if (top < boxes[first].top) top = boxes[first].top; // the title alone fills the view
    else {
      for (let within = top + view / 2; within + view / 2 < boxes[first].end; within += view / 2) found.push(Math.round(within));
      if (first === last) return found;
      first += 1;
    }
    top = boxes[first].top;
    found.push(top);
  }
}

/** Half a view on (1) or back (-1). */
export function turn(by) {
  fold();
  const boxes = systems(), here = Math.round(scrollY), view = viewHeight(), all = stops(boxes, view);
  const to = by > 0 ? all.find((top) => top > here + 1) : all.findLast((top) => top < here - 1);
  if (to === undefined) return;
  const unread = boxes.find(({ end }) => end > here + view);
  go(to);
  document.querySelector(".system.fresh")?.classList.remove("fresh");
  if (by > 0 && scrollY > here) unread?.box.classList.add("fresh");
}

let went = null; // where we have scrolled to ourselves

function go(top) {
  makeRoom();
  scrollTo({ top, behavior: "instant" });
  went = Math.round(scrollY);
  settle();
}

/** Room below the last system, so that the last place, too, can be at the top of the view. */
function makeRoom() {
  const pages = byId("pages"), view = viewHeight();
  pages.style.paddingBottom = "";
  const missing = stops(systems(), view).at(-1) + innerHeight - document.documentElement.scrollHeight;
  if (missing > 0) pages.style.paddingBottom = `${Math.ceil(missing)}px`;
}

/** Hide what is in view only in part, and say which place this is of how many. */
export function settle() {
  const boxes = systems(), here = Math.round(scrollY), view = viewHeight(), all = stops(boxes, view);
  const isWhole = ({ top, end }) => top >= here - 1 && end <= here + view + 1, some = boxes.some(isWhole) && !isUnfolded();
  for (const each of boxes) each.box.classList.toggle("cut", some && !isWhole(each) && each.end > here && each.top < here + view);
  const place = all.findLastIndex((top) => top <= here + 1) + 1;
  const whole = boxes.filter(isWhole), seen = barWords(whole.length ? whole : boxes.filter(({ top, end }) => end > here && top < here + view));
  for (const words of document.querySelectorAll(".stand-place")) {
    words.replaceChildren(...seen);
    Object.assign(words.dataset, { place, places: all.length });
  }
}

/** `bars 169–175 of 242`, of the systems in view, as elements; none where no bar has a number, or none is known yet. */
function barWords(boxes) {
  const bars = boxes.flatMap(({ box }) => barsOf(box)), last = lastBarOf();
  if (!bars.length || !last) return [];
  const [from, to] = [bars[0], bars.at(-1)];
  return [el("span", { class: "place-word", text: from === to ? "bar " : "bars " }), `${from === to ? from : `${from}\u2013\u2060${to}`} of\u00a0${last}`];
}

/** The numbers of all bars of a system, empty ones as well. */
const barsOf = (box) => box.dataset.bars.split(" ").filter(Boolean);

const boxWith = (bar) => [...document.querySelectorAll(".system")].find((box) => barsOf(box).includes(bar));

/** Turn to the system in which a bar stands; false where there is no such bar. */
async function toBar(bar) {
  const note = boxWith(bar) ? null : state.route.notes.find((each) => each.bar === bar); // of music that is not there yet
  if (note) await music.bring(note.id);
  const box = boxWith(bar);
  if (!box) return false;
  fold();
  go(Math.round(box.getBoundingClientRect().top + scrollY));
  return true;
}

const uncut = () => document.querySelectorAll(".system.cut").forEach((box) => box.classList.remove("cut"));

/** All systems as they are, where the music is not on the stand. */
export function unsettle() {
  uncut();
  byId("pages").style.paddingBottom = "";
}

/** A finger has moved the music: on to the nearest top of a system, so that none is cut. */
function letGo() {
  if (isUnfolded()) return settle();
  const here = Math.round(scrollY), view = viewHeight(), boxes = systems();
  if (boxes.some(({ top, end }) => end - top > view && top < here && end > here + view)) return settle(); // inside a high one
  const tops = [0, ...boxes.map(({ top }) => top)];
  return go(tops.reduce((nearest, top) => (Math.abs(top - here) < Math.abs(nearest - here) ? top : nearest)));
}

/** Turn to the system of a note that is heard, unless all of it is in view. */
export function follow(id) {
  const box = document.querySelector(`.spot[data-note="${CSS.escape(id)}"]`).closest(".system").getBoundingClientRect();
  if (box.top < 0 || box.bottom > viewHeight()) go(Math.round(box.top + scrollY));
}

/** The bar at the foot: back, what stands between, which place of how many, on. */
export function bar(...between) {
  const button = (text, name, by) => el("button", { type: "button", class: "turn", id: name, text, "aria-label": by > 0 ? "Half a page on" : "Half a page back", on: { click: () => turn(by) } });
  const field = el("input", { size: 4, autocomplete: "off", inputmode: "numeric", class: "to-bar", "aria-label": "Go to bar", placeholder: "bar" });
  const problem = el("span", { class: "jump-problem", role: "alert", hidden: true });
  const tell = (words) => {
    field.setAttribute("aria-invalid", String(Boolean(words)));
    problem.textContent = words;
    problem.hidden = !words;
  };
  field.addEventListener("input", () => tell(""));
  const jump = el("form", { class: "jump-bar", on: { submit: async (event) => {
    event.preventDefault();
    const wanted = field.value.trim();
    if (!wanted) return;
    const found = await toBar(wanted);
    tell(found ? "" : `no bar ${wanted}`);
    if (!found) return;
    field.value = "";
    field.blur();
  } } }, field, el("button", { text: "Go" }), problem);
  return el("section", { class: "stand-bar", "aria-label": "Turn and hear" }, button("‹", "turn-back", -1), between, jump, el("span", { class: "stand-place" }), button("›", "turn-on", 1));
}

/**
 * Listen to keys, taps and swipes. `active` says whether the music is on the stand now; `tapped` is asked first for a
 * tap beside the notes, and gives true where it did something with it.
 */
export function wire({ active, tapped }) {
  let down = null, swiped = false, waits = 0;
  document.addEventListener("keydown", (event) => {
    if (!active() || !(event.key in KEYS) || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    if (event.target.closest?.("select, input, textarea, dialog")) return;
    event.preventDefault();
    event.stopPropagation();
    turn(KEYS[event.key]);
  }, true);
  addEventListener("scroll", () => {
    if (!active() || Math.round(scrollY) === went) return;
    went = null;
    uncut();
    clearTimeout(waits);
    waits = setTimeout(() => active() && letGo(), STILL_MS);
  }, { passive: true });
  new ResizeObserver(() => active() && letGo()).observe(byId("pages"));
  document.addEventListener("pointerdown", (event) => {
    swiped = false;
    down = active() && event.isPrimary && !event.target.closest?.(".stand-bar, .unfold, dialog") ? [event.clientX, event.clientY] : null;
  });
  document.addEventListener("pointerup", (event) => {
    if (!down || !active()) return;
    const [across, along] = [event.clientX - down[0], event.clientY - down[1]];
    swiped = Math.abs(across) >= SWIPE_PX && Math.abs(across) > SWIPE_SLOPE * Math.abs(along);
    if (swiped) turn(across < 0 ? 1 : -1);
  });
  document.addEventListener("click", (event) => {
    if (!active()) return;
    if (swiped) {
      swiped = false;
      event.preventDefault();
      event.stopPropagation();
    } else if (down && atEdge(event.clientX) && !isUnfolded()) {
      event.preventDefault();
      event.stopPropagation();
      turn(event.clientX < EDGE_PX ? -1 : 1);
    } else if (down && !event.target.closest?.("button, a, input, select, label, .stand-bar, .unfold, dialog") && !tapped()) {
      turn(event.clientX < innerWidth * BACK_SHARE ? -1 : 1);
    }
  }, true);
}

const atEdge = (x) => x < EDGE_PX || x > document.documentElement.clientWidth - EDGE_PX;

let wanted = false, lock = null;

/** Keep the screen awake, or let it sleep again; where the browser cannot, nothing happens. */
export async function stayAwake(on) {
  wanted = on;
  const held = lock;
  lock = null;
  await held?.release().catch(() => {});
  if (!on || document.visibilityState !== "visible") return;
  try { lock = (await navigator.wakeLock?.request("screen")) ?? null; } catch { lock = null; /* a low battery, or not allowed */ }
}

document.addEventListener("visibilitychange", () => wanted && document.visibilityState === "visible" && stayAwake(true));
