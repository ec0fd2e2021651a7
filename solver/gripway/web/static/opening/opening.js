// Opening a score, a session or a kept work, and the start page.

import { byId, say, sure, warn } from "../dom.js";
import * as likes from "../likes.js";
import { fitted, redraw } from "../music/drawing.js";
import { loopAt } from "../music/player.js";
import * as overview from "../music/overview.js";
import * as sound from "../music/sound.js";
import { fold } from "../music/unfold.js";
import { title } from "../names.js";
import { closePanel } from "../panel/panel.js";
import * as place from "../place.js";
import { ask, setToken } from "../server.js";
import { hasWork, NO_WISHES, playersOwn, sent, session, state } from "../state.js";
import { busy } from "../waiting.js";
import { renew } from "../wishing/renewing.js";
import { plural } from "../words.js";
import * as kept from "./kept.js";
import * as shelf from "./shelf.js";

/** Open something else; gives false where the person would rather stay. A session may have its keeping. */
export async function openSource(source, { session: from = null, keeping = null } = {}) {
  if (hasWork() && !(await shelf.isKept()) && !(await mayLose())) return false;
  const earlier = source && (await kept.sameScore(source).catch(() => null));
  if (earlier && !(await sure("Go on with what you did?", `You have worked on ${earlier.title} before: ${plural(earlier.pins, "pin")}, and all steps back are kept.`, "Begin anew beside it", "Go on with it"))) return goOn(earlier.id);
  const own = from ? {} : (kept.own().player ?? (hasWork() ? playersOwn() : {}));
  const answer = await busy(from ? ask("/open", { session: from }) : openedAs(source, own));
  sound.stop();
  const old = { ...state }, before = shelf.holding();
  try { await show(source, answer, own, keeping); } catch (problem) {
    Object.assign(state, old);
    shelf.letBack(before);
    setToken(old.opened?.work || "", again);
    await atStart(!hasWork());
    if (hasWork()) await redraw();
    throw problem.code === "stopped" ? { what: "Stopped: it is not opened" } : problem;
  }
  if (!(await place.goBack(keeping?.id))) scrollTo(0, 0);
  overview.showPlace();
  byId("music").focus({ preventScroll: true });
  say(`${title()} is open: ${state.route.count} notes.`);
  if (answer.cut) warn({ what: answer.cut, next_step: "Write other bars above the music to go on" });
  return true;
}

/** A score under the person's own flute, dials and bans; without them where they are what is refused. */
async function openedAs(source, own) {
  const asked = sent({ ...NO_WISHES, ...own });
  try { return await ask("/open", { ...source, wishes: asked }); } catch (problem) {
    if (problem.code !== "request" || !Object.keys(asked).length) throw problem;
    const answer = await ask("/open", { ...source, wishes: {} });
    Object.keys(own).forEach((key) => delete own[key]);
    kept.keepOwn({ player: null });
    return answer;
  }
}

const mayLose = () => sure("Open something else?",
  `This browser keeps nothing here: ${plural(state.wishes.pins.length, "pin")}, bars, tempo, limits and all steps back would be gone. Flute, dials and bans stay. Save the session first if you want to come back.`,
  "Open it, leave them", "Stay here");

/** Go on with a work that this browser keeps. */
export async function goOn(id) {
  const found = await kept.take(id);
  if (!found) throw { what: "This work is not kept any more", next_step: "Open its score again" };
  return openSource(null, found);
}

async function show(source, answer, own, keeping) {
  fold();
  Object.assign(state, {
    source: answer.source || source, opened: answer,
    wishes: { ...NO_WISHES, ...own, ...(answer.wishes || {}) },
    past: (answer.past || []).map(whole), future: (answer.future || []).map(whole),
    route: null, at: -1, keptWishes: null,
  });
  setToken(answer.work, again);
  closePanel();
  atStart(false);
  byId("saved").textContent = "";
  shelf.hold(keeping);
  const left = keeping?.id && kept.place(keeping.id);
  likes.hearAt(left?.speed);
  loopAt(left?.loop);
  await renew({ music: true, look: false });
}

/** The start page with the kept works, or the music. */
export function atStart(start) {
  byId("start").hidden = !start;
  for (const id of ["work", "choices", "fold", "player"]) byId(id).hidden = start;
  for (const id of ["undo", "redo", "save"]) byId(id).hidden = start;
  byId("open").hidden = start;
  document.body.classList.toggle("at-start", start);
  byId("start-back").hidden = !hasWork();
  byId("start-back").textContent = hasWork() ? `Back to ${title()}` : "";
  byId("practise").disabled = byId("record").disabled = byId("compare").disabled = byId("stand").disabled = byId("save").disabled = !hasWork();
  if (start) {
    sound.stop();
    scrollTo(0, 0);
    return shelf.show();
  }
  if (state.route) fitted();
  return null;
}

const whole = (wishes) => ({ ...NO_WISHES, ...wishes });

/** The server has let the score go: open it again under a new token, wishes and all. */
async function again() {
  const answer = await ask("/open", { session: session() });
  setToken(answer.work, again);
  state.opened = { ...state.opened, work: answer.work };
  noteTab();
}

export const noteTab = (id = kept.tab().id) => kept.keepTab({ id, token: state.opened.work });

/** After a reload the tab goes on with its work; the server lets the old copy go. */
export async function restore() {
  const { id, token } = kept.tab();
  if (!id) return atStart(true);
  setToken(token || "", null);
  try { await goOn(id); } catch (problem) {
    await atStart(true);
    if (problem.code) warn(problem);
  }
  return null;
}
