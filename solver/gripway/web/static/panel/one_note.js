// The note one has chosen: its grips below the music, all there is to say of it in the panel.

import { byId, say, warn } from "../dom.js";
import { fitted } from "../music/drawing.js";
import * as music from "../music/music.js";
import * as overview from "../music/overview.js";
import { fold, unfold } from "../music/unfold.js";
import * as place from "../place.js";
import { ask } from "../server.js";
import * as stand from "../stand/on_stand.js";
import { sent, state } from "../state.js";
import { closePanel, panelOpen, showPanel, waitingPanel } from "./panel.js";
import * as workList from "./work_list.js";

let noteAsked = 0;

export async function choose(index, { focus = false, panel = true, enter = false } = {}) {
  state.at = index;
  const { id } = state.route.notes[index];
  await music.bring(id);
  if (state.at !== index) return null;
  if (panel && (enter || panelOpen() || !narrow())) waitingPanel(state.route.notes[index]);
  music.select(id, { focus });
  overview.showPlace();
  place.keepPlace();
  if (!panel) return fold();
  await Promise.all([showNote(index), fitted()]);
  music.reveal(id);
  if (enter) (byId("panel").querySelector('[data-key^="pin"]') || byId("panel").querySelector('[data-key="close"]'))?.focus();
  return null;
}

/** On a narrow page the grips unfold below the music, and the panel comes only where it is asked for. */
const narrow = () => stand.onStand() || matchMedia("(max-width: 899px)").matches;

/** All there is to say of the chosen note, where only its grips are unfolded. */
export async function more() {
  waitingPanel(state.route.notes[state.at]);
  await Promise.all([showNote(state.at), fitted()]);
  byId("panel").querySelector('[data-key="close"]')?.focus();
  music.reveal(state.route.notes[state.at].id);
}

/** The next place of the work list, or of one kind. */
export async function walk(by, kind, { focus = true } = {}) {
  const index = workList.step(by, kind);
  if (index === null) return say("There is none.");
  return choose(index, { focus });
}

export async function showNote(index) {
  const mine = (noteAsked += 1);
  try {
    const answer = await ask("/note", { wishes: sent(), index });
    if (mine === noteAsked && state.at === index) {
      if (panelOpen()) showPanel(answer);
      unfold(answer);
    }
    return answer;
  } catch (problem) { if (problem.code !== "stopped") warn(problem); }
  return null;
}

export const stepNote = (by) => choose(state.byNote.get(music.neighbour(state.route.notes[state.at].id, by))[0]);

export const indexOf = (id) => {
  const times = state.byNote.get(id);
  return times.includes(state.at) ? state.at : times[0];
};

/** Away with the panel and the unfolded grips; the list of places stands there again. */
export async function backToNote() {
  const { back } = place.hold();
  closePanel();
  fold();
  await fitted();
  await back();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { focus: true });
}
