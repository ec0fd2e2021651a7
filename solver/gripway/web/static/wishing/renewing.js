// From the wishes to a new answer on the page.

import { showAll } from "../answer.js";
import { byId, calm, el, warn } from "../dom.js";
import { drawMusic } from "../music/drawing.js";
import * as music from "../music/music.js";
import { fold, isUnfolded } from "../music/unfold.js";
import * as shelf from "../opening/shelf.js";
import * as learning from "../panel/learning.js";
import { showNote } from "../panel/one_note.js";
import { closePanel, panelOpen } from "../panel/panel.js";
import * as place from "../place.js";
import { ask } from "../server.js";
import { keepSeen, otherPins, seenWishes, sent, state, takeRoute } from "../state.js";
import { busy } from "../waiting.js";

let asked = 0;

/** The number of the answer asked for last. */
export const latest = () => asked;

export async function renew({ music: other = false, engrave = other, look = other, words = "" } = {}) {
  const mine = (asked += 1);
  const body = { wishes: sent() };
  if (!other && state.route) body.since = state.route.revision;
  const looking = look ? ask("/look", { wishes: sent() }) : null;
  const early = engrave && !state.route; // nothing is there yet: the music stands first, its grips follow
  if (early) body.at_once = true;
  const drawing = engrave ? drawMusic().then((draw) => (early && mine === asked ? draw() : draw)) : null;
  looking?.catch(() => {});
  drawing?.catch(() => {});
  waits(true);
  let answer;
  try { answer = await busy(ask("/route", body)); } finally { if (mine === asked) waits(false); }
  if (mine !== asked) return;
  if (looking) state.opened = { ...state.opened, ...(await looking), work: state.opened.work };
  if (answer.since !== null && answer.since !== state.route?.revision) return renew({ music: true, engrave: false, words });
  const chosen = place.placeOf(state.at), { back } = place.hold();
  const moved = movedIn(answer), touched = takeRoute(answer), repinned = otherPins(seenWishes(), state.wishes);
  state.at = place.placed(chosen);
  keepSeen();
  calm();
  shelf.remember();
  const draw = await drawing;
  if (!early) await draw?.();
  if (early) music.markFirst();
  else if (touched === null) music.mark();
  else music.mark([...touched, ...repinned, ...hardestBefore, ...state.route.hardest]);
  hardestBefore = [...state.route.hardest];
  showAll(words, moved);
  await back();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { scroll: false });
  learning.wait();
  requestAnimationFrame(() => since("gripway-shown"));
  if (state.at >= 0 && (panelOpen() || isUnfolded())) await showNote(state.at);
  else { fold(); closePanel(); }
  requestAnimationFrame(() => since("gripway-panel"));
  if (mine === asked) (state.route.first ? least : showCurve)(mine); // by nobody awaited
}

/** After the first grips of a long part the least route; where it is stopped, a button for it stands there. */
async function least(mine) {
  try { await renew(); } catch (problem) {
    if (asked !== mine + 1) return; // a newer wish is under way
    byId("summary").append(el("p", {}, el("button", { type: "button", text: "Work out which special fingerings pay", on: { click: () => least(asked) } })));
    if (problem.code !== "stopped") warn(problem);
  }
}

/** The notes that have another grip than before, each once; null where all is new. */
function movedIn({ since, notes }) {
  if (since === null || !state.route) return null;
  const found = notes.filter((note) => state.route.notes[note.index].grip !== note.grip);
  return [...new Map(found.map((note) => [note.id, note])).values()];
}

/** The learning curve comes after the route: it may take longer, and a newer wish has its own. */
async function showCurve(mine) {
  try {
    const answer = await ask("/curve", { wishes: sent() });
    if (mine === asked) learning.showCurve(answer);
  } catch (problem) {
    if (problem.code !== "stopped" && mine === asked) byId("curve-part").hidden = true;
  }
}

/** What is told of the route goes with the last answer: it says so while the next one is awaited. */
const waits = (on) => ["summary", "rest"].forEach((id) => byId(id).setAttribute("aria-busy", String(on)));

/** How long ago the last wish was said, for the browser's own timeline: read by the bench. */
export const since = (what) => performance.getEntriesByName("gripway-wish").length && performance.measure(what, "gripway-wish");

let hardestBefore = [];
