// A button that plays something and, while it sounds, stops it.

import { el } from "../dom.js";
import * as sound from "./sound.js";

const HEAR = "Hear it", STOP = "Stop";

/** `play` begins it, and calls what it is given at the end. */
export function hearButton(about, play) {
  const button = el("button", { type: "button", class: "hear", text: HEAR, "aria-label": `Hear ${about}`, on: { click: () => {
    if (button.textContent === STOP) return sound.stop();
    button.textContent = STOP;
    return play(() => (button.textContent = HEAR));
  } } });
  return button;
}
