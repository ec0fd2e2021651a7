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
  const box = dialog("Practise today", el("div", { class: "stack" }, el("label", { class: "row" }, "Your time ", minutes), problem, place), { wide: true, name: "practice" });
  box.addEventListener("close", sound.stop);
  async function show() {
    sound.stop();
    problem.hidden = true;
    place.replaceChildren(el("p", { class: "quiet", text: "Planning…" }));
    try {
      const width_mm = place.clientWidth / PX_PER_MM;
      const day = await ask("/practice", { wishes: sent(), minutes: Number(minutes.value), width_mm, log: log.before(score) });
      place.replaceChildren(...page(day, score));
    } catch (refusal) {
      place.replaceChildren();
      if (refusal.code !== "stopped") showProblem(problem, refusal);
    }
  }
  await show();
}

function page(day, score) {
  return [
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
  el("input", { type: "checkbox", checked: log.isTicked(score, entry), on: { change: ({ target }) => log.tick(score, entry, target.checked, day.day_entry) } }), el("span", { text: words }));

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
  const heading = `${block.label} ${block.title}`, next = () => steps.find(({ entry }) => !log.isTicked(score, entry)) ?? steps.at(-1);
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
