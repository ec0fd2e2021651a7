// On the music stand: half-page turns by pedal or key, tap, swipe and button; the screen stays awake.

import { el } from "../dom.js";

/** How much larger than on paper the music stands there: the plates of a diagram are 12 CSS pixels wide then. */
export const STAND_ZOOM = 1.55;

const KEYS = { PageDown: 1, ArrowRight: 1, ArrowDown: 1, PageUp: -1, ArrowLeft: -1, ArrowUp: -1 };
const SWIPE_PX = 48, SWIPE_SLOPE = 1.5; // a swipe is as long, and so much longer across than down
const BACK_SHARE = 1 / 3;               // taps on this share of the width, from the left, turn back

/** How far the view reaches, without the bar at the foot. */
const viewHeight = () => innerHeight - (document.querySelector(".stand-bar:not([hidden])")?.offsetHeight ?? 0);

/** Half a page on (1) or back (-1), always to the top of a system where one is near. */
export function turn(by) {
  const boxes = [...document.querySelectorAll(".system")].map((box) => ({ box, top: Math.round(box.getBoundingClientRect().top + scrollY), end: box.getBoundingClientRect().bottom + scrollY }));
  const here = Math.round(scrollY), view = viewHeight();
  const unread = boxes.find(({ end }) => end > here + view);
  scrollTo({ top: goal(boxes.map(({ top }) => top), here, view, by), behavior: "instant" });
  document.querySelector(".system.fresh")?.classList.remove("fresh");
  if (by > 0 && scrollY > here) unread?.box.classList.add("fresh");
}

function goal(tops, here, view, by) {
  if (by > 0) {
    const on = tops.filter((top) => top > here + 1 && top <= here + view);
    return on.findLast((top) => top <= here + view / 2) ?? on[0] ?? here + view / 2;
  }
  const back = tops.slice(1).filter((top) => top < here - 1 && top >= here - view);
  const to = back.find((top) => top >= here - view / 2) ?? back.at(-1) ?? here - view / 2;
  return tops.length && to <= tops[0] ? 0 : to; // the title stands over the first system
}

/** Turn to the system of a note that is heard, unless all of it is in view. */
export function follow(id) {
  const box = document.querySelector(`.spot[data-note="${CSS.escape(id)}"]`).closest(".system").getBoundingClientRect();
  if (box.top < 0 || box.bottom > viewHeight()) scrollTo({ top: Math.round(box.top + scrollY), behavior: "instant" });
}

/** The bar at the foot: back, what stands between, on. */
export function bar(...between) {
  const button = (text, name, by) => el("button", { type: "button", class: "turn", id: name, text, "aria-label": by > 0 ? "Half a page on" : "Half a page back", on: { click: () => turn(by) } });
  return el("section", { class: "stand-bar", "aria-label": "Turn and hear" }, button("‹", "turn-back", -1), between, button("›", "turn-on", 1));
}

/**
 * Listen to keys, taps and swipes. `active` says whether the music is on the stand now; `tapped` is asked first for a
 * tap beside the notes, and gives true where it did something with it.
 */
export function wire({ active, tapped }) {
  let down = null, swiped = false;
  document.addEventListener("keydown", (event) => {
    if (!active() || !(event.key in KEYS) || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    if (event.target.closest?.("select, input, textarea, dialog")) return;
    event.preventDefault();
    event.stopPropagation();
    turn(KEYS[event.key]);
  }, true);
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
    } else if (down && !event.target.closest?.("button, a, input, select, label, .stand-bar, .unfold, dialog") && !tapped()) {
      turn(event.clientX < innerWidth * BACK_SHARE ? -1 : 1);
    }
  }, true);
}

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
