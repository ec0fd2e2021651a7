// The works this browser keeps: saving the one that is open, and the list to go on from.

import { byId, el, say, sure, warn } from "../dom.js";
import * as kept from "./kept.js";
import { title } from "../names.js";
import { session, state } from "../state.js";

const SHOWN = 10;
let act = {};
export const whenAsked = (acts) => (act = acts);

let held = null; // {keeping, said, line}: the work that is open, what was kept of it last, saves in their order

/** From now on this work is the one that is kept; `keeping` as kept.js gives it. */
export function hold(keeping) {
  held = { keeping, said: keeping?.at ? said() : "", line: Promise.resolve() };
  if (!keeping?.at) return;
  showSaved(keeping.at);
  act.saved(keeping.id);
  kept.reopened(keeping.id).catch(() => {}); // only the order of the list
}

export const holding = () => held;
export function letBack(before) {
  held = before;
  if (held?.keeping?.at) act.saved(held.keeping.id);
}

const said = () => JSON.stringify([state.wishes, state.past, state.future]);

/** Keep what is open now, after all that was said before; nothing is written twice. */
export function remember() {
  const mine = held;
  if (!mine || mine.said === said()) return mine?.line;
  mine.said = said();
  const { pins } = state.wishes;
  const shot = { session: session(), title: title(), about: act.about(), pins: pins.length, steps: state.past.length + state.future.length + pins.length };
  mine.line = mine.line.then(async () => {
    try {
      const now = await kept.keep((mine.keeping ??= await kept.fresh(shot.session.source)), shot);
      mine.keeping = now;
      if (mine !== held) return;
      if (now.apart) say("Another tab has gone on with this work: what you do here is kept as a work of its own.");
      showSaved(now.at);
      act.saved(now.id);
    } catch {
      mine.said = "";
      if (mine === held) showUnsaved();
    }
  });
  return mine.line;
}

/** Whether everything of the open work is kept. */
export async function isKept() {
  await remember();
  return Boolean(held?.said);
}

function showSaved(at) {
  const place = byId("saved");
  place.className = "saved";
  place.textContent = `saved ${when(at)}`;
  place.title = "Kept in this browser, on this machine";
}

function showUnsaved() {
  const place = byId("saved");
  place.className = "saved problem";
  place.textContent = "not saved";
  place.title = "This browser keeps nothing here: save the work as a file";
}

/** `12:04`, with the day where it is not today. */
function when(at) {
  const time = new Date(at), two = (value) => String(value).padStart(2, "0");
  const clock = `${two(time.getHours())}:${two(time.getMinutes())}`;
  const today = time.toDateString() === new Date().toDateString();
  return today ? clock : `${time.toLocaleDateString(undefined, { day: "numeric", month: "short" })} ${clock}`;
}

/** The works to go on with, on the start page. */
export async function show(most = SHOWN) {
  let works = [];
  await held?.line;
  try { works = await kept.list(); } catch { /* nothing is kept here: the list is empty */ }
  byId("kept").hidden = !works.length;
  byId("kept-works").replaceChildren(...works.slice(0, most).map(entry));
  byId("kept-all").replaceChildren(works.length > most
    ? el("button", { type: "button", class: "link", text: `Show all ${works.length}`, on: { click: () => show(Infinity) } }) : "");
}

function entry(work) {
  const pins = work.pins ? `${work.pins} pin${work.pins === 1 ? "" : "s"}` : "no pins";
  const about = work.about ? `, ${work.about}` : "";
  return el("li", {},
    el("button", { type: "button", class: "go-on", on: { click: () => goOn(work.id) } },
      el("span", { text: "Continue: " }), el("strong", { text: work.title }), el("span", { class: "unseen", text: ", " }), el("span", { class: "about", text: `${work.about ? `${work.about}, ` : ""}${pins}, ${when(kept.lastUsed(work))}` })),
    el("button", { type: "button", class: "link", text: "Forget", "aria-label": `Forget ${work.title}${about}, ${pins}, ${when(kept.lastUsed(work))}`, on: { click: () => forget(work) } }));
}

async function goOn(id) {
  try { await act.goOn(id); } catch (problem) { warn(problem); }
}

async function forget(work) {
  const loses = work.steps ? "Its pins and steps are gone then, unless you saved it as a file." : "You have changed nothing in it yet.";
  if (!(await sure(`Forget ${work.title}?`, loses, "Forget it", "Keep it"))) return;
  if (held?.keeping?.id === work.id) held.keeping = null;
  await kept.forget(work.id);
  await show();
}
