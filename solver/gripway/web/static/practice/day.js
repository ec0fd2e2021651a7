// The plan of the day: cells, drills as music and sound, boxes to tick that feed the log.

import { byId, dialog, download, el, parsed, picture, problemLine, showProblem } from "../dom.js";
import * as kept from "../opening/kept.js";
import { hearButton } from "../music/hear_button.js";
import { PX_PER_MM, UNITS } from "../music/music.js";
import * as sound from "../music/sound.js";
import { fileStem } from "../names.js";
import { ask } from "../server.js";
import { sent, state } from "../state.js";
import { dayWords, listed, name, said } from "../words.js";
import * as log from "./log.js";

const NS = "http://www.w3.org/2000/svg";
const MINUTES = [10, 15, 20, 30, 45, 60, 90];

/** Today's plan for the passage that is open, in a dialog. */
export async function practiseToday() {
  const score = await log.named(), place = el("div", { class: "day" }), problem = problemLine();
  const minutes = el("select", { id: "minutes", on: { change: () => {
    kept.keepOwn({ minutes: Number(minutes.value) });
    show();
  } } }, MINUTES.map((value) => el("option", { value, text: `${value} minutes` })));
  minutes.value = kept.own().minutes ?? 20;
  let look = 0; // days from today's
  const other = (by) => { look += by; return show(); };
  const box = dialog("Practise today", el("div", { class: "stack" }, el("label", { class: "row" }, "Your time ", minutes), problem, place), { wide: true, name: "practice" });
  box.addEventListener("close", sound.stop);
  async function show() {
    sound.stop();
    problem.hidden = true;
    place.replaceChildren(el("p", { class: "quiet", text: "Planning…" }));
    try {
      const width_mm = place.clientWidth / PX_PER_MM, over = log.dates(score), date = look < 0 ? over.at(look) : log.today();
      const day = await ask("/practice", { wishes: sent(), minutes: Number(minutes.value), width_mm, ahead: Math.max(0, look), log: log.before(score, date) });
      place.replaceChildren(...page({ ...day, look, date, over: over.length }, score, other));
    } catch (refusal) {
      place.replaceChildren();
      if (refusal.code !== "stopped") showProblem(problem, refusal);
    }
  }
  await show();
}

/** Which day is looked at, and the ones beside it; only today's is there to tick. */
function days(day, other) {
  const step = (by, words, there) => el("button", { type: "button", class: "day-step", text: words, "aria-label": by < 0 ? "Day before" : "Day after", disabled: !there, on: { click: () => other(by).then(() => document.querySelector(`.day-step:${by < 0 ? "first" : "last"}-of-type:enabled, .day-step:enabled`)?.focus()) } });
  return [
    el("div", { class: "row days", role: "group", "aria-label": "Days of the plan" },
      step(-1, "◂ Before", day.look > -day.over), el("strong", { text: `Day ${day.day}: ${day.look ? (day.look < 0 ? dayWords(day.date) : "to come") : "today"}` }), step(1, "After ▸", day.look < 0 || day.day < day.last_day)),
    el("p", { class: "quiet day-words", text: day.look < 0 ? "This day is over. What was not ticked comes again." : day.look ? "As it will be if all before it goes well: to be ticked on its day." : comes(day) }),
  ];
}

/** When the next day comes. */
const comes = (day) => (day.day < day.last_day ? `Day ${day.day + 1} comes when you next practise, tomorrow or later, once something here is ticked.` : "This is the last day of the plan. Whoever goes on gets one more, day by day.");

function page(day, score, other) {
  return [
    ...days(day, other),
    el("p", { class: "answer", text: answer(day) }),
    el("ul", { class: "facts quiet" }, day.facts.split(" · ").map((fact) => el("li", { text: said(`${fact[0].toUpperCase()}${fact.slice(1)}.`) }))),
    ...day.blocks.map((block) => KINDS[block.kind](block, score, day)),
    el("details", {}, el("summary", { text: "How to practise these" }), day.hints.map((hint) => el("p", { class: "quiet", text: hint }))),
    ...day.cautions.map((caution) => el("p", { class: "quiet", text: caution })),
    el("div", { class: "row" }, el("button", { type: "button", id: "save-log", text: "Save the log", on: { click: () => saveLog(score) } }),
      el("span", { id: "log-words", class: "quiet", role: "status", text: "This browser keeps what you tick; the file is a copy to keep, and opens here again." })),
  ];
}

/** `Day 2 of 5: work on E5 F♯5 G5 and C6 D6 E6 F♯6.` */
function answer(day) {
  const cells = day.blocks.filter(({ kind }) => kind === "cell").map(({ notes }) => title(notes));
  const head = `${day.title[0].toUpperCase()}${day.title.slice(1)}`;
  return said(cells.length ? `${head}: work on ${listed(cells)}.` : `${head}.`);
}

const BEATS = { quarter: "♩", "dotted quarter": "♩." };
const beatSign = (beat) => BEATS[beat] ?? beat;

const QUARTERS = { eighth: 0.5, "dotted quarter": 1.5, half: 2 };

/** `half = 72 (♩ = 144)`: with the quarters that the page gives a tempo in. */
const goal = ({ beat, target }) => `${beatSign(beat)} = ${target}${QUARTERS[beat] ? ` (♩ = ${Math.round(target * QUARTERS[beat])})` : ""}`;

function saveLog(score) {
  const file = `${fileStem()}-log.jsonl`, lines = log.asFile(score);
  if (!lines) return (byId("log-words").textContent = "Nothing to save yet: tick what you have done, then save.");
  download(new Blob([lines], { type: "application/x-ndjson" }), file);
  byId("log-words").textContent = `Saved: ${file}, where your browser keeps downloads.`;
  return null;
}

/** A box that is ticked where its line is in today's log. */
const box = (words, score, entry, day, more = "") => el("label", { class: `tick${more}` },
  el("input", { type: "checkbox", checked: day.look <= 0 && log.isTicked(score, entry, day.date), disabled: day.look !== 0, on: { change: ({ target }) => log.tick(score, entry, target.checked, () => went(day, score)) } }), el("span", { text: words }));

/** The line that says up to which drill of each cell the day has gone, one after the other, and of which cells nothing was done. */
function went(day, score) {
  const met = { ...day.day_entry.met }, begun = new Set(), stopped = new Set();
  const drills = day.blocks.filter(({ kind }) => kind === "drill").sort((a, b) => a.counts[1] - b.counts[1]);
  for (const { counts: [notes, number], steps, label, title: what } of drills) {
    const done = (steps.length ? steps.map(({ entry }) => ({ ...entry, drill: what })) : [log.done(`${label} ${what}`)]).some((entry) => log.isTicked(score, entry));
    if (done) begun.add(notes);
    else if (number > met[notes]) stopped.add(notes);
    if (done && !stopped.has(notes)) met[notes] = Math.max(met[notes], number);
  }
  return { ...day.day_entry, met, missed: Object.keys(met).filter((notes) => !begun.has(notes)) };
}

const title = (notes) => notes.split(" ").map(name).join(" ");

const KINDS = { cell, drill, work };

function cell(block) {
  const reached = block.reached.map(([day, beats]) => `${beats} on ${dayWords(day)}`).join(", ");
  return el("section", { class: "cell" },
    el("h3", { text: `${block.number}. ${title(block.notes)}` }),
    el("div", { class: "hands" }, block.hands.map(([pitch, short, sent]) => el("figure", {}, picture(sent, { alone: true }), el("figcaption", {}, el("strong", { text: name(pitch) }), ` ${short}`)))),
    el("p", { class: "quiet", text: `${block.facts} · goal ${goal(block)}${reached ? ` · clean at ${reached}` : ""}` }),
    block.lines.length ? el("details", {}, el("summary", { text: "Why it is hard, and what helps" }), block.lines.map((line) => el("p", { text: said(line) }))) : "");
}

function drill(block, score, day) {
  const steps = block.steps.map(({ entry, ...step }) => ({ ...step, entry: { ...entry, drill: block.title } }));
  const heading = `${block.label} ${block.title}`, next = () => steps.find(({ entry }) => !log.isTicked(score, entry, day.date)) ?? steps.at(-1);
  const hear = hearButton(heading, (onEnd) => sound.line({
    notes: block.heard.map(([number, onset_ms, length_ms, slurred]) => ({ number, onset_ms, length_ms, slurred })),
    speed: next()?.speed ?? FREE_SPEED, sounds: state.route.sounds_semitones, volume: Number(byId("volume").value), onEnd,
  }));
  return el("section", { class: "drill" },
    el("h4", { text: heading }), el("span", { class: "quiet", text: block.facts }),
    music(block.music, heading),
    el("div", { class: "row" }, hear, steps.length
      ? el("div", { class: "steps-to-tick", role: "group", "aria-label": `Tempos of ${heading} that were clean` }, steps.map(({ beats, entry }) => box(`${block.beat ? `${beatSign(block.beat)} = ` : ""}${beats}`, score, entry, day)))
      : box("done", score, log.done(heading), day)));
}

const FREE_SPEED = 0.5; // of the part: what is played without a click is heard slowly (judgement)

function work(block, score, day) {
  if (!block.to_tick) return el("p", { class: "to-do", text: block.words });
  return box(block.words, score, log.done(block.words), day, " to-do");
}

/** The systems of a drill, cut off where their staff ends. */
function music(sheet, heading) {
  const glyphs = Object.entries(sheet.glyphs).map(([code, drawing]) => `<g id="glyph-${code}">${drawing}</g>`).join("");
  return el("div", { class: "drill-music", role: "img", "aria-label": `Music of ${heading}` }, sheet.systems.map(({ drawing, width, height, staff }) => {
    const wide = Math.min(width, staff[0] + staff[2] + UNITS / 2);
    const svg = parsed(`<svg xmlns="${NS}" viewBox="0 0 ${wide} ${height}" aria-hidden="true"><defs>${glyphs}</defs>${drawing}</svg>`);
    svg.setAttribute("class", "staff-lines");
    svg.style.width = `${((wide / UNITS) * PX_PER_MM).toFixed(0)}px`;
    return svg;
  }));
}
