// What nine takes say, to be accepted into the session or recorded again.

import { el, problemLine, showProblem, tell } from "../dom.js";
import { today } from "../practice/log.js";
import { ask } from "../server.js";
import { state } from "../state.js";
import { cents, name, numberOf } from "../words.js";
import { dots } from "./showing.js";

let act = {};
/** What is done with the readings that are accepted: `accept(cents, words)`. */
export const whenAsked = (acts) => (act = acts);

/** The flute and the readings so far, as wishes. */
export const flute = () => {
  const { flute: mine, parts, cents: own } = state.wishes;
  return { flute: mine || state.opened.flute, parts, cents: own };
};

/** A sentence whose line never ends within a grip. */
function whole(sentence, grip) {
  const [before, ...after] = sentence.split(grip);
  return after.length ? [before, el("span", { class: "whole", text: grip }), after.join(grip)] : [before];
}

/** Show what the takes of a run say; `again` is what begins anew. */
export async function showTable(run, body, again) {
  const { note: { pitch }, other, taken } = run, problem = problemLine();
  const found = await ask("/record/table", { wishes: flute(), pitch, grip: other.grip, date: today(), takes: taken });
  const own = found.grips.find((one) => one.grip === other.grip);
  const accept = el("button", { type: "button", class: "main-action", id: "record-accept", text: "Accept", on: { click: async () => {
    problem.hidden = true;
    accept.disabled = true;
    try {
      await act.accept(withReadings(found.readings), `${name(pitch)} ${other.short} is among your readings.`);
      body.closest("dialog").close();
      tell(`${name(pitch)} ${other.short} is among your readings. Save, Tuner's list makes a file of them.`);
    } catch (refusal) {
      accept.disabled = false;
      showProblem(problem, refusal);
    }
  } } });
  const rows = [
    ["Against your standard grip", cents(own.cents_vs_standard, own.cents_vs_standard_spread ?? own.cents_spread)],
    ["In your tuner's list", cents(own.cents, own.cents_spread)],
    ["Expected so far", cents(other.cents, other.spread)],
    ["Your A4", found.reference_hz === null ? "unknown" : `${found.reference_hz.toFixed(1)} Hz`],
    ["Takes", `${taken.length} used, ${run.refused.length} not`],
  ];
  body.replaceChildren(
    el("p", { class: "record-now", role: "status", }, whole(found.sentence.replace(pitch, name(pitch)), other.short)),
    el("div", { class: "takes" }, dots({ order: run.note.order, taken, refused: run.refused, grip: other.short })),
    el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "What was measured" }, el("table", {}, el("tbody", {}, rows.map(([words, value]) => el("tr", {}, el("th", { scope: "row", text: words }), el("td", { text: value })))))),
    el("p", { class: "quiet", text: "Nothing is kept yet. Accept takes the reading into this session, and the grips are worked out anew; Undo takes it back." }),
    problem,
    el("div", { class: "row" }, accept, el("button", { type: "button", id: "record-again", text: "Record again", on: { click: () => {
      Object.assign(run, { taken: [], refused: [] });
      again();
    } } })));
  accept.focus({ preventScroll: true });
}

/** The player's readings with new ones, which stand in place of older ones of the same grip. */
function withReadings(found) {
  const same = (a, b) => a.grip === b.grip && numberOf(a.pitch) === numberOf(b.pitch);
  return [...state.wishes.cents.filter((old) => !found.some((one) => same(one, old))), ...found];
}
