// The grips of the chosen note side by side below its system, to pin one or to hear it.

import { el } from "../dom.js";
import { state } from "../state.js";
import { cents, LATE, loadWord, name, SURE } from "../words.js";
import { ringed } from "./lane.js";
import { systemOf } from "./music.js";

const SHOWN = 8;
let act = {}, box = null;

/**
 * What is done: `pick` with a grip; `group` says so, and `verb(grip)` for each. Pinned grips are pressed where
 * `presses`. `acts` are the buttons below: `[words, name, does]`.
 */
export const whenAsked = (acts) => (act = acts);

export const isUnfolded = () => box !== null;

export function fold() {
  box?.remove();
  box = null;
}

/** Unfold the answer about a note: all its grips, the least effort first. */
export function unfold({ note, grips }) {
  const system = systemOf(note.id);
  if (!system) return fold();
  const held = box?.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  const before = state.route.notes[note.index - 1]?.grip;
  const hint = act.group[0].toUpperCase() + act.group.slice(1);
  const made = el("div", { class: "unfold", role: "group", "aria-label": `Grips of ${name(note.pitch)}${note.bar ? `, bar ${note.bar}` : ""}: ${act.group}` },
    el("ol", {}, grips.slice(0, SHOWN).map((grip, place) => entry(note, grip, place, before))),
    el("p", { class: "quiet unfold-hint", "aria-hidden": "true", text: `${hint}.` }, el("span", { class: "unfold-signs", text: " To, from: the change to this note, and on from it." })),
    el("div", { class: "unfold-acts" }, act.acts.map(([text, key, does]) => el("button", { type: "button", class: key, text, data: { key }, on: { click: does } }))));
  fold();
  box = made;
  system.append(box);
  if (held) box.querySelector(`[data-key="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
  return box;
}

function entry(note, grip, place, before) {
  const figures = [...costOf(grip), ...changes(grip), ...leanOf(grip), ["sure", SURE[grip.confidence] ?? "", SURE[grip.confidence] ?? ""]];
  const mine = grip.pinned ? "pinned" : grip.chosen ? "chosen" : "";
  return el("li", {}, el("button", {
    type: "button", class: `pick ${mine}`, "aria-pressed": act.presses ? String(grip.pinned) : null, data: { key: `pick${place}` },
    "aria-label": [`${act.verb(grip)} ${name(note.pitch)} ${grip.short}`, mine, ...figures.map(([, , said]) => said)].filter(Boolean).join(", "),
    on: { click: () => act.pick(note, grip) },
  },
    ringed(grip.picture, before, grip.grip),
    el("strong", { text: grip.short }),
    figures.map(([key, text]) => el("span", { class: `figure ${key}`, text })),
    mine ? el("span", { class: "badge strong", text: mine }) : ""));
}

/** What the grip takes more than the least, where that is known. */
function costOf({ effort_more: more }) {
  if (typeof more !== "number") return [];
  return [["cost", more > 0 ? `+${more.toFixed(2)}` : "least", more > 0 ? `takes about ${more.toFixed(2)} more effort` : "least effort"]];
}

/** The lean, where one is known. */
const leanOf = (grip) => (grip.cents === null ? [] : [["cents", cents(grip.cents).replace(" cents", " ct"), cents(grip.cents, grip.cents_spread)]]);

/** What the grip makes of the change into the note and out of it. */
function changes(grip) {
  const sides = [["to", grip.load_into], ["from", grip.load_out]].filter(([, load]) => load !== null);
  return sides.map(([side, load]) => [`load${load > LATE ? " late" : ""}`, `${side}: ${loadWord(load)}`, `the change ${side} it ${loadWord(load)}`]);
}
