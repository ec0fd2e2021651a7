// The trill explorer: pairs of grips for two notes, ranked, seen and heard.

import { byId, dialog, el, picture, problemLine, showProblem } from "./dom.js";
import { hearButton } from "./music/hear_button.js";
import * as sound from "./music/sound.js";
import { ask } from "./server.js";
import { state } from "./state.js";
import { cents, movers, name, numberOf, said } from "./words.js";

const SHAKES_A_SECOND = 9; // a quick trill, judgement: no pair is played faster
const OCTAVE = 12, MIDDLE = 5; // semitones; the octave of a note that names none

/** The chosen note and the next one of another pitch, the lower first; the chosen one alone where that lies too far. */
function chosenTwo() {
  if (state.at < 0 || !state.route) return [];
  const chosen = state.route.notes[state.at], next = state.route.notes.slice(state.at + 1).find(({ number }) => number !== chosen.number);
  if (!next || Math.abs(next.number - chosen.number) > OCTAVE) return [chosen];
  return [chosen, next].sort((a, b) => a.number - b.number);
}

/** A note as it is meant: without an octave in the middle one, or above the lower note. */
function meant(text, above = null) {
  const written = text.trim().replace(/^[a-g]/, (letter) => letter.toUpperCase());
  if (!/^[A-G](#|b|x|♯|♭)?$/.test(written)) return written;
  const octave = above === null ? MIDDLE : [...Array(8).keys()].find((each) => numberOf(`${written}${each}`) > numberOf(above)) ?? MIDDLE;
  return `${written}${octave}`;
}

/** The pairs of grips of two notes, ranked, each with its diagrams; those of the chosen note and the next at once. */
export function trills() {
  const low = el("input", { id: "trill-low", size: 5, autocomplete: "off", value: "F6", "aria-label": "Lower note" });
  const high = el("input", { id: "trill-high", size: 5, autocomplete: "off", value: "G6", "aria-label": "Upper note" });
  const own = state.wishes.flute || state.opened?.flute || (state.known?.usual_flute ?? "");
  const flute = el("select", { id: "trill-flute", on: { change: () => low.value && high.value && form.requestSubmit() } }, (state.known?.flutes ?? []).map((one) => el("option", { value: one.id, text: one.title })));
  flute.value = own;
  const two = chosenTwo();
  if (two.length) [low.value, high.value] = [two[0].pitch, two[1]?.pitch ?? ""];
  const problem = problemLine();
  const found = el("div", { id: "trill-found", "aria-live": "polite" });
  const form = el("form", { class: "stack", on: { submit: async (event) => {
    event.preventDefault();
    problem.hidden = true;
    low.value = meant(low.value);
    high.value = meant(high.value, low.value);
    sound.stop();
    found.replaceChildren(el("p", { class: "quiet", text: "Looking (the first time takes some seconds)…" }));
    try {
      const { parts } = state.wishes;
      const wishes = { ...(flute.value ? { flute: flute.value } : {}), ...(parts.length && flute.value === own ? { parts } : {}) };
      showTrills(found, await ask("/trill", { low: low.value.trim(), high: high.value.trim(), wishes }));
    } catch (refusal) { found.replaceChildren(); showProblem(problem, refusal); }
  } } },
    el("div", { class: "row" }, el("label", {}, "From ", low), el("label", {}, " to ", high), el("label", {}, " on ", flute), el("button", { class: "main-action", text: "Show the pairs" })),
    el("p", { class: "quiet", text: "Two written notes up to an octave apart, such as F6 and G6; a letter alone is taken in the middle octave. The best pair of grips comes first." }),
    problem, found);
  const box = dialog("Trills and tremolos", form, { wide: true, name: "trill" });
  box.addEventListener("close", sound.stop);
  (two.length === 1 ? high : low).focus();
  if (two.length === 2) form.requestSubmit();
}

function showTrills(place, answer) {
  const known = answer.pairs.some((pair) => pair.lower_cents !== null || pair.upper_cents !== null);
  const pairs = answer.pairs.map((pair) => el("li", { class: "pair" },
    picture(pair.lower_picture), picture(pair.upper_picture),
    el("div", {},
      el("p", { class: "grip-name" }, el("strong", { text: `${name(answer.lower)} ${pair.lower_short}` }), " and ", el("strong", { text: `${name(answer.upper)} ${pair.upper_short}` }),
        el("span", { class: "unseen", text: `. ${pair.lower_picture.alt} ${pair.upper_picture.alt}` })),
      el("p", { class: "grip-facts" }, el("span", { class: "badge", text: PAIR_KIND[pair.kind] || pair.kind }),
        el("span", { text: `${movers(pair.moves)}${pair.notes_per_s ? `, up to ${pair.notes_per_s} a second` : ""}` })),
      !known ? "" : el("p", { class: "grip-facts", text: `lower ${cents(pair.lower_cents, pair.lower_cents_spread)} · upper ${cents(pair.upper_cents, pair.upper_cents_spread)}${pair.interval ? ` · together ${pair.interval}` : ""}` }),
      pair.remark ? el("p", { class: "grip-facts", text: said(pair.remark) }) : "",
      pair.requires.length ? el("p", { class: "grip-facts", text: `needs ${pair.requires.join(", ")}` }) : "",
      pair.flags.length ? el("p", { class: "grip-facts warn", text: said(pair.flags.join("; ")) }) : "",
      hearIt(answer, pair))));
  place.replaceChildren(
    ...(answer.problem ? [el("p", { class: "problem", text: answer.problem })] : []),
    ...answer.remarks.map((remark) => el("p", { class: "quiet", text: remark })),
    el("p", { text: pairs.length ? `${pairs.length} pairs on the ${state.known?.flutes.find(({ id }) => id === answer.instrument)?.title ?? "flute"}, the best first${known ? "" : "; how they lean in tuning is not known on this flute"}` : "No pair." }),
    el("ol", { class: "pairs" }, pairs),
  );
}

const PAIR_KIND = { printed: "in a table of trills", known: "two known grips", found: "known from a model only" };

/** A button that plays the pair as it is expected to sound, up to its own speed. */
function hearIt(answer, pair) {
  return hearButton(`${name(answer.lower)} ${pair.lower_short} and ${name(answer.upper)} ${pair.upper_short}`, (onEnd) => sound.shake({
    notes: [{ number: numberOf(answer.lower), cents: pair.lower_cents }, { number: numberOf(answer.upper), cents: pair.upper_cents }],
    aSecond: Math.min(pair.notes_per_s || SHAKES_A_SECOND, SHAKES_A_SECOND), sounds: answer.sounds_semitones, volume: Number(byId("volume").value), onEnd,
  }));
}
