// Saving the work and the files that go out of it.

import { byId, calm, download, tellSaved, untell } from "../dom.js";
import { fileStem } from "../names.js";
import { fetchFile } from "../server.js";
import { sent, session } from "../state.js";
import { busy } from "../waiting.js";

export const FILES = [
  ["musicxml", "Marked score", "Your score as it was, with the grips under the notes that need one, and a list of these marks to keep beside it."],
  ["report", "Report", "One HTML file to look at and to print: the music, every note's grips, the worst changes, tuning."],
  ["stand", "File for the stand", "One HTML file for a tablet: the music, grips to look up and to hear, half-page turns. It needs no network."],
  ["csv", "Table of grips", "Every note with its grip and figures, as CSV for a spreadsheet."],
  ["player", "Player file", "Your flute, dials and bans, to open here on another machine."],
  ["tuner", "Tuner's list", "The readings of your tuner, as the list this page and a player file read."],
  ["decisions", "Decisions", "The grips you have pinned, place by place, to open here again with the same score."],
];

export function saveSession() {
  const named = `${fileStem()}-gripway.json`;
  download(new Blob([JSON.stringify(session())], { type: "application/json" }), named);
  tellSaved([named]);
}

/** Save a file; with a marked score the list of its marks, if it has any. The button of the menu says at once that it is made. */
export async function saveFile(kind) {
  const saved = [], button = byId("save"), words = "Writing the file…";
  untell();
  button.setAttribute("aria-busy", "true");
  button.textContent = "Writing…";
  try {
    for (const each of kind === "musicxml" ? [kind, "marks"] : [kind]) {
      const { blob, name: ending } = await busy(fetchFile(`/download/${each}`, { wishes: sent() }), words);
      if (!blob.size) continue;
      saved.push(`${fileStem()}-${ending}`);
      download(blob, saved.at(-1));
    }
  } finally {
    button.removeAttribute("aria-busy");
    button.textContent = "Save";
  }
  calm();
  tellSaved(saved);
}
