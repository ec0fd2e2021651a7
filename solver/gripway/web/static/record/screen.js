// "Record a grip": the standard grip, the other one, the standard one again; takes as they come, then a table to accept.

import { dialog, el, picture, problemLine, showProblem } from "../dom.js";
import * as sound from "../music/sound.js";
import { ask } from "../server.js";
import { state } from "../state.js";
import { cents, KIND, name } from "../words.js";
import { openMicrophone } from "./microphone.js";
import { decibels, notesByLevel } from "./notes_by_level.js";
import { dots, levelMeter, needle, standardMean } from "./showing.js";
import { flute, showTable } from "./table.js";
import { wavOf } from "./wav.js";

const NEEDLE_S = 0.3;
const USUAL = "F#6";
const CARE = "Protect your hearing: the high notes are loud at your right ear. Play at your usual level, the microphone an arm's length away and beside you, headphones low or off. The sound goes from this browser to gripway on this machine, and is kept by neither.";

/** Record a grip of a pitch; without them the first note in view of interest, and a choice of its grips. */
export function recordGrip(pitch = null, grip = null) {
  sound.stop();
  const run = { note: null, other: null, taken: [], refused: [], microphone: null, closed: false };
  const body = el("div", { class: "stack record" });
  const box = dialog("Record a grip", body, { wide: true, name: "record" });
  box.addEventListener("close", () => {
    run.closed = true;
    quiet(run);
  });
  begin(run, body, pitch ?? usualPitch(), grip);
}

const usualPitch = () => (state.route.notes[state.at] ?? state.route.notes.find((note) => note.grip !== null && !note.usual))?.pitch ?? USUAL;

function quiet(run) {
  run.microphone?.close();
  run.microphone = null;
}

// ---- which grip

function begin(run, body, pitch, grip) {
  const problem = problemLine();
  const note = el("input", { id: "record-pitch", size: 5, autocomplete: "off", value: pitch });
  const choice = el("select", { id: "record-grip" });
  const hands = el("div", { class: "hands" }), expected = el("p", { class: "quiet expected" });
  const start = el("button", { type: "button", class: "main-action", id: "record-start", text: "Start the microphone", disabled: true, on: { click: async () => {
    problem.hidden = true;
    try { await listen(run, body, () => begin(run, body, note.value, run.other.grip)); } catch (refusal) { showProblem(problem, refusal); }
  } } });
  const show = () => {
    run.other = run.note.others.find((one) => one.grip === choice.value);
    const about = `${run.note.pitch} ${run.other.grip} ${run.note.hz}`;
    if (about !== run.about) Object.assign(run, { about, taken: [], refused: [] });
    hands.replaceChildren(...both(run));
    expected.textContent = `Expected of the other grip: ${cents(run.other.cents, run.other.spread)}.`;
    start.textContent = run.taken.length ? `Go on with take ${run.taken.length + 1} of ${run.note.order.length}` : "Start the microphone";
    start.disabled = false;
  };
  const look = async () => {
    problem.hidden = start.disabled = true;
    try {
      run.note = await ask("/record/grips", { wishes: flute(), pitch: note.value.trim() });
      choice.replaceChildren(...run.note.others.map((one) => el("option", { value: one.grip, text: `${one.short} (${KIND[one.kind] ?? one.kind})` })));
      if (run.note.others.some((one) => one.grip === grip)) choice.value = grip;
      show();
    } catch (refusal) {
      choice.replaceChildren();
      hands.replaceChildren();
      expected.textContent = "";
      showProblem(problem, refusal);
    }
  };
  note.addEventListener("change", look);
  choice.addEventListener("change", show);
  body.replaceChildren(
    el("div", { class: "row" }, el("label", {}, "Note ", note), el("label", {}, "Grip ", choice)),
    hands, expected,
    el("p", { text: "Three takes of the standard grip, three of the other one, three of the standard one again: each two seconds, mf, with little vibrato, a breath of silence between. Each note is heard by itself; your hands stay on the flute." }),
    el("p", { class: "quiet care", text: CARE }),
    problem, el("div", { class: "row" }, start));
  return look();
}

const both = ({ note, other }) => [["standard", note.standard], ["other", other]].map(([words, one]) =>
  el("figure", { data: { hand: words } }, picture(one.picture, { alone: true }), el("figcaption", {}, el("strong", { text: words }), el("span", { text: one.short }))));

// ---- takes

async function listen(run, body, back) {
  const problem = problemLine(), words = el("p", { class: "record-now", role: "status" });
  const meter = levelMeter(), hand = needle(), takes = el("div", { class: "takes" }), hands = el("div", { class: "hands" }, both(run));
  const { note: { order, hz, pitch }, other } = run;
  let byLevel = null, recent = [], asking = false, pointed = 0, line = Promise.resolve();

  const show = () => {
    const place = run.taken.length, block = order[place], of = order.filter((each) => each === block).length;
    words.textContent = `${block === "other" ? other.short : block === "standard" ? "Standard grip" : "Standard grip again"}: take ${place - order.indexOf(block) + 1} of ${of}`;
    for (const figure of hands.children) figure.classList.toggle("due", figure.dataset.hand === (block === "other" ? "other" : "standard"));
    takes.replaceChildren(dots({ order, taken: run.taken, refused: run.refused, grip: other.short }));
    hand.from(standardMean(run.taken) === null ? "the tempered note at A = 440 Hz" : "your standard grip");
    undo.disabled = !place;
  };
  const undo = el("button", { type: "button", id: "record-back", text: "Drop the last take", on: { click: () => {
    run.taken.pop();
    problem.hidden = true;
    show();
  } } });
  const leave = async (refusal = null) => {
    quiet(run);
    await back();
    if (refusal) showProblem(body.querySelector(".problem"), refusal);
    body.querySelector("#record-start")?.focus();
  };
  const stop = el("button", { type: "button", id: "record-stop", text: "Microphone off", on: { click: () => leave() } });

  const point = async () => {
    asking = true;
    try {
      const now = await ask("/record/pitch", { pitch, hz, wav: wavOf(recent, run.microphone.rate) });
      if (now.cents === null) hand.say(now.words);
      else hand.show(now.cents - (standardMean(run.taken) ?? 0));
    } catch { hand.rest(); }
    asking = false;
  };
  const take = async (blocks, rate, ends_s) => {
    const place = run.taken.length;
    if (run.closed || place === order.length) return;
    const block = order[place], starts_s = ends_s - blocks.reduce((sum, each) => sum + each.length, 0) / rate;
    const heard = await ask("/record/take", { pitch, hz, block, wav: wavOf(blocks, rate) });
    if (place !== run.taken.length) return;
    problem.hidden = heard.refused === null;
    if (heard.refused === null) run.taken.push({ block, cents: heard.cents, start_s: starts_s + heard.start_s, end_s: starts_s + heard.end_s });
    else {
      run.refused.push({ place, words: heard.words });
      showProblem(problem, { what: `This take is not used: ${heard.words}` });
    }
    if (run.taken.length === order.length) {
      quiet(run);
      await showTable(run, body, back);
    } else show();
  };
  const onBlock = (block, seconds) => {
    if (!run.microphone) return;
    const { rate } = run.microphone;
    byLevel ??= notesByLevel(rate);
    const { sounds, note } = byLevel(block);
    meter.show(decibels(block), block.reduce((most, value) => Math.max(most, Math.abs(value)), 0), sounds);
    recent = sounds ? [...recent, block].slice(-Math.ceil((NEEDLE_S * rate) / block.length)) : [];
    if (!sounds) hand.rest();
    else if (!asking && seconds - pointed > NEEDLE_S / 2 && recent.length * block.length >= NEEDLE_S * rate) {
      pointed = seconds;
      point();
    }
    if (note) line = line.then(() => take(note, rate, seconds + run.before)).catch(leave);
  };
  const opened = await openMicrophone({ onBlock, onGone: leave });
  if (run.closed) return opened.close();
  run.before = Math.max(0, ...run.taken.map(({ end_s }) => end_s)); // takes go on after those that are there
  run.microphone = opened;
  show();
  body.replaceChildren(
    el("div", { class: "record-top" }, hands, el("div", {}, words, el("div", { class: "record-say" }, el("p", { class: "on-air", text: `Play ${name(pitch)} for two seconds, then rest.` }), problem), hand.words)),
    el("div", { class: "record-live" }, hand.scale, meter.box, takes),
    opened.changed ? el("p", { class: "quiet", text: "Your browser changes the sound of this microphone (echo, noise or level): switch that off in its settings if you can." }) : "",
    el("div", { class: "row" }, stop, undo));
  stop.focus({ preventScroll: true });
  body.closest("dialog").scrollTop = 0;
  return null;
}
