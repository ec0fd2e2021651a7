// The tempo all is worked out at: one number, or so many percent of several that are marked.

import { byId } from "../dom.js";
import * as near from "../music/near_view.js";
import { state } from "../state.js";

const WHOLE = 100; // percent

const marked = () => state.opened.tempi;
const isSeveral = () => new Set(marked().map(([, quarters]) => quarters)).size > 1;

/** Whether a share of the marked tempos is asked for, and not one number. */
export const isShare = () => state.wishes.tempo === null && (isSeveral() || state.wishes.tempo_percent !== WHOLE);

const taken = (quarters) => (quarters * state.wishes.tempo_percent) / WHOLE;

/** Quarters a minute at a note. */
export function quartersAt(id) {
  const written = marked().findLast(([from]) => near.ordinal(from) <= near.ordinal(id)) ?? marked()[0];
  return taken(state.wishes.tempo ?? written?.[1] ?? state.opened.tempo ?? 96);
}

/** A tempo as it stands in the music where that counts halves or dotted quarters: ` (half = 72)`. */
const inBeats = (tempos) => {
  const { beat } = state.opened;
  return !beat || beat.quarters === 1 || !tempos.length ? "" : ` (${beat.name} = ${[...new Set(tempos.map((each) => Math.round(each / beat.quarters)))].join(", ")})`;
};

const equals = (tempos) => {
  const sorted = [...new Set(tempos.map((each) => Math.round(each)))].sort((a, b) => a - b);
  return `♩ = ${sorted.length > 3 ? `${sorted[0]} to ${sorted.at(-1)}` : sorted.join(", ")}`;
};

/** `at ♩ = 126`, `at 80 % of the marked tempos (♩ = 48, 106)`; empty where nothing tells. */
export function tempoWords() {
  if (isShare()) return `at ${state.wishes.tempo_percent === WHOLE ? "" : `${state.wishes.tempo_percent} % of `}the marked tempos (${equals(marked().map(([, quarters]) => taken(quarters)))})`;
  const tempo = state.wishes.tempo ?? state.opened.tempo;
  return tempo ? `at ${equals([tempo])}${inBeats([tempo])}` : "";
}

/** A tempo of the person's own, with the one that is written. */
export function ownTempo() {
  const { wishes, opened } = state;
  if (wishes.tempo === null) return "";
  const says = opened.written_tempo === null ? "the score says none" : isSeveral() ? "the score has several" : `the score says ${Math.round(opened.written_tempo)}`;
  return ` · worked out at ♩ = ${wishes.tempo}${inBeats([wishes.tempo])} (${says})`;
}

/** The field that fits, with what holds. */
export function showTempo() {
  byId("tempo-several").hidden = byId("tempo-here").hidden = !isShare();
  byId("tempo-one").hidden = isShare();
  byId("tempo").value = state.wishes.tempo ?? "";
  byId("tempo").placeholder = isSeveral() ? "as marked" : state.opened.written_tempo ? String(Math.round(state.opened.written_tempo)) : state.opened.tempo ? `${Math.round(state.opened.tempo)} (assumed)` : "";
  byId("tempo").classList.toggle("wide", byId("tempo").placeholder.length > 9);
  byId("percent").value = state.wishes.tempo_percent;
  showHere();
}

/** What the share is in the bars in view. */
function showHere() {
  if (byId("tempo-here").hidden || !state.route) return;
  const seen = near.inView().map(near.ordinal), [first, last] = [Math.min(...seen), Math.max(...seen)];
  const holds = marked().filter(([from], k, all) => near.ordinal(from) <= last && (k === all.length - 1 || near.ordinal(all[k + 1][0]) > first));
  byId("tempo-here").textContent = holds.length ? `in view ${equals(holds.map(([, quarters]) => taken(quarters)))}` : "";
}

/** `wished` with a field, the wish that stands in it, and words for it. */
export function wire(wished) {
  const number = (field) => (field.value === "" ? null : Number(field.value));
  byId("tempo").addEventListener("change", ({ target }) => wished(target, { tempo: number(target), tempo_percent: WHOLE }, "Another tempo."));
  byId("percent").addEventListener("change", ({ target }) => wished(target, { tempo: null, tempo_percent: number(target) ?? WHOLE }, "Another tempo."));
  let waits = 0;
  const later = () => {
    cancelAnimationFrame(waits);
    waits = requestAnimationFrame(showHere);
  };
  addEventListener("scroll", later, { passive: true });
  new ResizeObserver(later).observe(byId("pages")); // other music, or the same drawn anew
}
