// On paper: music engraved for the sheet and not for the screen, the title and the caution on every page.

import { byId } from "../dom.js";
import { zoomTo } from "./music.js";

const WIDTH_MM = 178; // of the music on A4 and on Letter, within the margins of print.css
const GIVEN_UP_MS = 1500; // a browser that does not say when it has printed

let sheet = null;

const quoted = (text) => `"${text.replace(/[^\p{L}\p{N} .,:;()-]/gu, (sign) => `\\${sign.codePointAt(0).toString(16)} `)}"`;

/** From now on the music is drawn for paper. */
export function begin(title) {
  sheet = new CSSStyleSheet();
  sheet.replaceSync(`@page { @bottom-center { content: ${quoted(byId("caution").textContent)}; font: 7.5pt "Gripway Sans", sans-serif; white-space: nowrap; } } @page { @top-left { content: ${quoted(title)}; } } @page :first { @top-left { content: none; } }`);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  document.body.classList.add("for-paper");
  zoomTo(1, WIDTH_MM);
}

/** Ends when the browser has taken the pages, or nobody knows. */
export function printed() {
  const done = new Promise((over) => addEventListener("afterprint", over, { once: true }));
  print();
  return Promise.race([done, new Promise((over) => setTimeout(over, GIVEN_UP_MS))]);
}

/** Back to the screen. */
export function end() {
  document.adoptedStyleSheets = document.adoptedStyleSheets.filter((each) => each !== sheet);
  document.body.classList.remove("for-paper");
  zoomTo(null);
}
