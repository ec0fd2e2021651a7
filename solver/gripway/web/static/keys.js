// The keys: from note to note, pins and bans by hand, undo.

import { byId, warn } from "./dom.js";
import * as music from "./music/music.js";
import { isUnfolded } from "./music/unfold.js";
import { panelOpen } from "./panel/panel.js";
import { onStand } from "./stand/on_stand.js";
import { ask } from "./server.js";
import { hasWork, sent, state } from "./state.js";

const WALKS = { j: [1], k: [-1], h: [1, "hard"], u: [1, "unusual"] }; // forward or back, through which list

let act = {};
export const whenAsked = (acts) => (act = acts);

function musicKey(event) {
  if (!hasWork() || !state.route || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest(".unfold")) return noteKey(event, state.at);
  const focused = event.target.closest(".spot")?.dataset.note;
  const id = focused || (state.at >= 0 ? state.route.notes[state.at].id : music.firstNote());
  const steps = { ArrowRight: 1, ArrowLeft: -1, Home: -Infinity, End: Infinity };
  const systems = { ArrowDown: 1, ArrowUp: -1 };
  if (event.key in steps) {
    event.preventDefault();
    const next = focused ? music.neighbour(id, steps[event.key]) : id;
    act.choose(state.byNote.get(next)[0], { focus: true, panel: panelOpen() || isUnfolded() });
  } else if (event.key in systems && focused) {
    event.preventDefault();
    act.choose(state.byNote.get(music.across(id, systems[event.key]))[0], { focus: true, panel: panelOpen() || isUnfolded() });
  } else if (event.key === "Enter") {
    event.preventDefault();
    act.choose(act.indexOf(id), { enter: true });
  } else if (event.key === " ") {
    event.preventDefault();
    act.listen();
  } else noteKey(event, act.indexOf(id));
}

async function noteKey(event, index) {
  const key = event.key.toLowerCase();
  if (!/^[pb1-9]$/.test(key) || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  state.at = index;
  const answer = await ask("/note", { wishes: sent(), index }).catch((problem) => warn(problem));
  if (!answer) return;
  const grip = /\d/.test(key) ? answer.grips[Number(key) - 1] : answer.grips.find((one) => one.chosen);
  if (!grip) return;
  if (key === "b") await act.ban(answer.note, grip);
  else await act.pin(answer.note, grip);
}

function pageKey(event) {
  const key = event.key.toLowerCase();
  const writing = event.target.matches?.("input:not([type=range], [type=checkbox], [type=radio]), textarea");
  const atWork = hasWork() && byId("start").hidden && !document.querySelector("dialog[open]");
  if ((event.ctrlKey || event.metaKey) && !event.altKey && "zysp".includes(key) && atWork && (!writing || "sp".includes(key))) {
    event.preventDefault();
    if (key === "s") act.save();
    else if (key === "p") act.onPaper();
    else if (key === "y" || event.shiftKey) act.redo();
    else act.undo();
  } else if (event.key === "Escape" && onStand() && !isUnfolded()) act.stand();
  else if (event.key === "Escape" && state.at >= 0 && atWork) act.backToNote();
  else if (key === "s" && atWork && !writing && !event.altKey && !event.target.matches?.("select")) act.stand();
  else if (key in WALKS && atWork && !writing && !event.ctrlKey && !event.metaKey && !event.altKey && !event.target.matches?.("select")) {
    event.preventDefault();
    const [by, kind] = WALKS[key];
    act.walk(event.shiftKey ? -by : by, kind);
  }
}

function panelKey(event) {
  if (state.at >= 0 && !event.target.matches("input, select, textarea")) noteKey(event, state.at);
}

export function wire() {
  byId("music").addEventListener("keydown", musicKey);
  byId("panel").addEventListener("keydown", panelKey);
  document.addEventListener("keydown", pageKey);
  for (const [event, by] of [["keydown", "keys"], ["pointerdown", "pointer"]]) {
    addEventListener(event, () => (document.documentElement.dataset.by = by), true);
  }
}
