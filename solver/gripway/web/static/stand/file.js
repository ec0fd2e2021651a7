// The file for the stand: the music with its diagrams, grips to look up and to hear, no server behind it.

import { byId, el } from "../dom.js";
import * as music from "../music/music.js";
import * as sound from "../music/sound.js";
import { fold, isUnfolded, unfold, whenAsked } from "../music/unfold.js";
import { state, takeRoute } from "../state.js";
import { isDark, look } from "../theme.js";
import { bar, follow, settle, SIZES, STAND_ZOOM, stayAwake, wire } from "./turning.js";

const WIDEST_ZOOM = 2.1; // on a wide screen the music does not grow over it
const VOLUME = 60;

const data = JSON.parse(byId("stand-data").textContent);
let drawn = null;

/** The engraving that fills the screen with the least music too large: they stand from narrow to wide. */
function fitting() {
  const width = byId("pages").clientWidth, size = SIZES[byId("size").value];
  const sheet = data.sheets.findLast((one) => one.width_mm * music.PX_PER_MM * STAND_ZOOM * size <= width) ?? data.sheets[0];
  return { sheet, zoom: Math.min(WIDEST_ZOOM * size, width / (sheet.width_mm * music.PX_PER_MM)) };
}

async function draw() {
  const { sheet, zoom } = fitting();
  const key = `${sheet.width_mm} ${zoom.toFixed(3)}`;
  if (key === drawn) return;
  drawn = key;
  const seen = topNote();
  fold();
  music.zoomTo(zoom);
  await music.draw({ systems: sheet.systems, glyphs: data.glyphs, font: data.font });
  music.mark();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { scroll: false });
  if (seen) music.systemOf(seen)?.scrollIntoView({ block: "start", behavior: "instant" });
}

/** The first note that is in view where one has turned on: it stays there when the tablet is turned round. */
function topNote() {
  if (scrollY < 1) return null;
  return [...document.querySelectorAll(".spot")].find((spot) => spot.getBoundingClientRect().bottom > 0)?.dataset.note;
}

const gripOf = ([fact, into, out]) => ({ ...data.facts[fact], load_into: into, load_out: out, picture: data.route.pictures[data.facts[fact].grip] });

/** Choose a note: its grips unfold below it; the same note again folds them. */
function choose(id) {
  const times = state.byNote.get(id);
  const again = times.includes(state.at) && isUnfolded();
  if (!times.includes(state.at)) state.at = times[0];
  music.select(id, { focus: true, scroll: false });
  if (again) return fold();
  const note = state.route.notes[state.at];
  const grips = data.grips[state.at].map(gripOf).map((grip, place) => ({ ...grip, chosen: place === 0 && note.grip !== null, pinned: place === 0 && data.pinned.includes(state.at) }));
  unfold({ note, grips });
  return music.reveal(id);
}

function close() {
  fold();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { focus: true, scroll: false });
}

/** Play from the chosen note, or from the first in view; stop what plays. */
function listen() {
  if (sound.isPlaying()) return sound.stop();
  fold();
  const top = topNote();
  byId("hear").textContent = "Stop";
  return sound.play({
    from: state.at >= 0 ? sound.runUp(state.at) : top ? state.byNote.get(top)[0] : 0,
    speed: Number(byId("speed").value), volume: VOLUME, withCents: false,
    onNote: (note) => music.sound(note.id, follow),
    onEnd: () => { byId("hear").textContent = "Hear it"; music.sound(null); },
  });
}

function keys(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.("select, input, summary")) return;
  const by = { j: 1, k: -1 }[event.key.toLowerCase()];
  if (by) {
    const id = state.at < 0 ? music.firstNote() : music.neighbour(state.route.notes[state.at].id, by);
    state.at = state.byNote.get(id)[0];
    fold();
    music.bring(id).then(() => music.select(id, { focus: true }));
  } else if (event.key === "Escape" && isUnfolded()) close();
  else if (event.key === " " && !event.target.closest?.("button:not(.spot)")) listen();
  else return;
  event.preventDefault();
}

const choice = (id, words, options, chosen) => el("label", {}, words, " ", el("select", { id }, options.map(([value, text]) => el("option", { value, text, selected: value === chosen }))));

const foot = () => bar(
  el("button", { type: "button", id: "hear", class: "main-action", text: "Hear it", on: { click: listen } }),
  choice("speed", "Heard at", [40, 55, 70, 85, 100].map((percent) => [String(percent), `${percent} %`]), "70"));

/** What is set once, before one plays. */
function settings() {
  const theme = el("button", { type: "button", id: "theme", text: "Dark", "aria-pressed": String(isDark()), on: { click: () => look(!isDark(), theme) } });
  return [choice("size", "Size", [["small", "small"], ["medium", "medium"], ["large", "large"]], "medium"), choice("show", "Show", [["unusual", "grips that are not plain"], ["all", "every grip"], ["none", "no grips"]], "unusual"), theme];
}

async function begin() {
  document.body.classList.add("on-stand");
  document.body.append(foot());
  byId("settings").append(...settings());
  takeRoute(data.route);
  state.wishes = { ...state.wishes, pins: data.pinned.map((index) => ({ note: state.route.notes[index].id, grip: state.route.notes[index].grip })) };
  music.whenChosen(choose);
  whenAsked({
    pick: (note, grip) => sound.sounds(note, grip.cents, VOLUME),
    group: "tap a card to hear it", verb: () => "Hear",
    acts: [["Hear from here", "unfold-hear", listen], ["Close", "unfold-close", close]],
  });
  wire({ active: () => true, tapped: () => isUnfolded() && (close(), true) });
  document.addEventListener("keydown", keys);
  byId("show").addEventListener("change", () => music.mark());
  byId("size").addEventListener("change", () => draw().then(settle));
  let resizing = 0;
  addEventListener("resize", () => {
    clearTimeout(resizing);
    resizing = setTimeout(draw, 150);
  });
  await draw();
  settle();
  stayAwake(true);
  document.documentElement.dataset.ready = "yes";
}

begin();
