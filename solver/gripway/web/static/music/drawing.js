// Asking for the engraved music and drawing it: for the width there is, for another size, for paper.

import { warn } from "../dom.js";
import { title } from "../names.js";
import * as place from "../place.js";
import { ask } from "../server.js";
import { hasWork, sent, state } from "../state.js";
import * as music from "./music.js";
import * as near from "./near_view.js";
import * as paper from "./paper.js";

let drawnWidth = 0;

/** Ask for the music, the chunk in view first; gives what draws it. */
export async function drawMusic(chunk = 0) {
  const [wishes, width_mm] = [sent(), (drawnWidth = music.widthMm())];
  const fetch = (place) => ask("/engraving", { wishes, width_mm, chunk: place });
  const sheet = await fetch(chunk);
  return () => music.draw(sheet, fetch);
}

/** Whether the music is drawn for the width there is. */
export const fits = () => music.widthMm() === drawnWidth;

/** Where the panel stands beside the music of a low page, the music is drawn for the width that is left. */
export const fitted = () => (fits() ? null : redraw());

export async function redraw() {
  if (!hasWork()) return;
  music.stretch();
  try {
    const wide = music.widthMm(), draw = await drawMusic(place.hold().chunk);
    if (wide !== drawnWidth) return; // another size was chosen since
    const { back } = place.hold(), focus = document.activeElement.classList.contains("spot");
    await draw();
    await back();
    if (state.at >= 0) music.select(state.route.notes[state.at].id, { scroll: false, focus });
  } catch (problem) { warn(problem); }
}

/** Print: all the music, engraved for paper and not for the screen; then the page as it was. */
export async function onPaper() {
  const { back } = place.hold();
  paper.begin(title());
  try {
    await redraw();
    await near.bringAll();
    await paper.printed();
  } catch (problem) { warn(problem); }
  paper.end();
  await redraw();
  await back();
  return near.tidy();
}
