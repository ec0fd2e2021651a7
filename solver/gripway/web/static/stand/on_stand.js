// The page on the music stand: music and diagrams only, as large as there, turned by half pages.

import { byId, calm, el, say, untell } from "../dom.js";
import * as music from "../music/music.js";
import * as near from "../music/near_view.js";
import { fold, isUnfolded } from "../music/unfold.js";
import { title } from "../names.js";
import { bar, settle, SIZES, STAND_ZOOM, stayAwake, unsettle, wire as wireTurning } from "./turning.js";

let act = {}, foot = null, heading = null;

export const onStand = () => document.body.classList.contains("on-stand");

/** On the stand, or away from it again. */
export async function toggle() {
  const goes = !onStand();
  if (goes) act.enter();
  calm();
  untell();
  heading.textContent = title();
  document.body.classList.toggle("on-stand", goes);
  foot.hidden = !goes;
  music.zoomTo(goes ? STAND_ZOOM * SIZES[byId("size").selectedOptions[0].text] : null);
  stayAwake(goes);
  fold();
  unsettle();
  await act.redraw();
  act.seen();
  if (goes) {
    settle();
    near.bringAll().then(near.tidy, act.failed); // how many places there are is known when all of it is there
  }
  say(goes ? "On the stand: arrow keys and Page Up and Down turn by half pages, Escape leaves." : "Back at the desk.");
}

/** `enter` makes room, `redraw` engraves for it, `seen` shows the chosen note, `failed` says why music did not come, `listen` plays or stops. */
export function wire(acts) {
  act = acts;
  heading = el("h1", { class: "stand-title" });
  foot = bar(
    el("button", { type: "button", id: "stand-hear", class: "main-action", text: "Hear it", on: { click: () => act.listen() } }),
    el("button", { type: "button", id: "stand-leave", text: "Leave", on: { click: toggle } }),
    heading);
  foot.hidden = true;
  byId("main").append(foot);
  wireTurning({ active: onStand, tapped: () => isUnfolded() && (act.close(), true) });
}
