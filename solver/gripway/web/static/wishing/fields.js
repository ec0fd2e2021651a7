// The fields and buttons above the music, as the wishes are now.

import { byId, el } from "../dom.js";
import { state } from "../state.js";
import * as tempo from "./tempo.js";

export function showSteps() {
  byId("undo").disabled = !state.past.length;
  byId("redo").disabled = !state.future.length;
}

export function showChoices() {
  const { wishes, opened } = state;
  const part = byId("part");
  part.replaceChildren(...opened.parts.map((one) => el("option", { value: one.number, text: one.name })));
  part.value = wishes.part || opened.part;
  part.closest("label").hidden = opened.parts.length < 2;
  for (const id of ["bars", "tempo", "percent"]) showFault(byId(id), "");
  byId("bars").value = wishes.bars || "";
  tempo.showTempo();
}

export function showFault(field, words) {
  field.setAttribute("aria-invalid", String(Boolean(words)));
  byId(`${field.id}-problem`).textContent = words && words[0].toUpperCase() + words.slice(1);
  byId(`${field.id}-problem`).hidden = !words;
}
