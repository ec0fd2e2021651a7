// The lane below a system: diagrams to read, a dot where a grip stays, moving fingers ringed, held ones tied.
// Lengths are the server's: hundredths of a millimetre of paper.

import { el, parsed, picture } from "../dom.js";
import { THUMB_KEY } from "../words.js";

const NS = "http://www.w3.org/2000/svg";
export const DIAGRAM = 2050; // height of a diagram
const GAP = 120;             // between rows of diagrams, and around a diagram
const RING = 20;             // how far a ring stands off its touch, in the drawing's own numbers

export const touchesOf = (grip) => (grip || "").split(/[\s|]+/).filter(Boolean);

/** The touches by which two grips differ. */
export function moversOf(before, after) {
  const [a, b] = [new Set(touchesOf(before)), new Set(touchesOf(after))];
  return [...a].filter((touch) => !b.has(touch)).concat([...b].filter((touch) => !a.has(touch)));
}

/** A diagram whose touches that moved since the grip before are ringed. */
export function ringed(sent, before, after) {
  const copy = picture(sent);
  if (before) for (const touch of moversOf(before, after)) ring(copy, touch);
  return copy;
}

function ring(drawing, touch) {
  const box = boxOf(drawing, touch);
  if (!box) return;
  drawing.querySelector(`[data-touch="${CSS.escape(touch)}"]`).classList.add("moved");
  const around = document.createElementNS(NS, "rect");
  const sizes = { x: box.x - RING, y: box.y - RING, width: box.width + 2 * RING, height: box.height + 2 * RING, rx: Math.min(box.width, box.height) / 2 + RING };
  for (const [key, value] of Object.entries(sizes)) around.setAttribute(key, value);
  around.setAttribute("class", "ring");
  drawing.append(around);
}

/** Where a touch stands in a diagram, in its own numbers; null where it is not drawn. */
function boxOf(drawing, touch) {
  const shape = drawing.querySelector(`[data-touch="${CSS.escape(touch)}"]`);
  const number = (key) => Number(shape.getAttribute(key));
  if (shape?.localName === "circle") return { x: number("cx") - number("r"), y: number("cy") - number("r"), width: 2 * number("r"), height: 2 * number("r") };
  if (shape?.localName === "rect") return { x: number("x"), y: number("y"), width: number("width"), height: number("height") };
  return null;
}

/** The diagram of a trilled note, and a smaller one beside it of what it goes to and fro with, its movers ringed. */
function trilled(main, { grip, trill }) {
  return el("span", { class: "trill-pair" }, main, ringed(trill.sent, grip, trill.grip));
}

const OTHER = 0.72; // width and height of that smaller diagram

/**
 * Lay the diagrams of a system. `notes` are `{x, grip, sent, trill, thumb}` from left to right, `sent` null where no
 * diagram is wanted, `trill` the other grip of a trill, `thumb` the key it goes to here. Gives for each note its
 * element, its top and a key of what it shows (null for none), the height of the lane and its ties.
 */
export function lay(notes, width) {
  const ends = []; // right end of the last diagram in each row
  const laid = notes.map((note, k) => {
    if (!note.sent) return null;
    const wide = ratio(note.sent) + (note.trill ? OTHER * ratio(note.trill.sent) : 0);
    const half = (DIAGRAM * wide) / 2 + GAP / 4;
    const before = notes[k - 1];
    if (!note.trill && (ends[0] ?? -Infinity) > note.x - half && before?.sent && before.grip === note.grip) return { row: 0, stays: true };
    let row = ends.findIndex((end) => end <= note.x - half);
    if (row < 0) row = ends.length;
    ends[row] = note.x + half;
    return { row, stays: false };
  });
  const from = (k) => (laid[k - 1] ? notes[k - 1].grip : notes[k].thumb && thumbBefore(notes[k]));
  const elements = laid.map((place, k) => {
    if (!place) return null;
    if (place.stays) return el("span", { class: "stays" });
    const drawn = ringed(notes[k].sent, from(k), notes[k].grip);
    return notes[k].trill ? trilled(drawn, notes[k]) : drawn;
  });
  const height = ends.length ? ends.length * DIAGRAM + (ends.length + 1) * GAP : 0;
  return { places: laid.map((place, k) => place && { element: elements[k], key: `${notes[k].grip} ${place.stays} ${from(k) ?? ""} ${notes[k].trill?.grip ?? ""}`, top: GAP + place.row * (DIAGRAM + GAP) }), height, ties: ties(notes, laid, elements, width, height) };
}

/** The same grip with the thumb where it was: what is ringed where the note before has no diagram is the thumb. */
const thumbBefore = ({ grip, thumb }) => grip.replace(THUMB_KEY, thumb === "Tb" ? "T" : "Tb");

const ratios = new Map();

function ratio(sent) {
  if (!ratios.has(sent.svg)) {
    const [, , width, height] = picture(sent).getAttribute("viewBox").split(" ").map(Number);
    ratios.set(sent.svg, width / height);
  }
  return ratios.get(sent.svg);
}

/** A line from each finger that stays down to where it is in the next diagram. */
function ties(notes, laid, elements, width, height) {
  const lines = notes.flatMap((note, k) => {
    const before = laid[k - 1], here = laid[k];
    if (!before || !here || before.stays || here.stays || before.row !== here.row || notes[k - 1].trill || note.trill) return [];
    const up = new Set(moversOf(notes[k - 1].grip, note.grip));
    return touchesOf(note.grip).filter((touch) => !up.has(touch)).map((touch) => {
      const [from, to] = [boxOf(elements[k - 1], touch), boxOf(elements[k], touch)];
      if (!from || !to) return "";
      const [, , wide, high] = elements[k].getAttribute("viewBox").split(" ").map(Number);
      const scale = DIAGRAM / high;
      const y = GAP + here.row * (DIAGRAM + GAP) + (to.y + to.height / 2) * scale;
      const [x1, x2] = [notes[k - 1].x + (from.x + from.width - wide / 2) * scale, note.x + (to.x - wide / 2) * scale];
      return x2 > x1 ? `M${x1.toFixed(0)} ${y.toFixed(0)}H${x2.toFixed(0)}` : "";
    });
  }).join("");
  const drawing = parsed(`<svg xmlns="${NS}" viewBox="0 0 ${width} ${height || 1}" aria-hidden="true"><path d="${lines}"/></svg>`);
  drawing.setAttribute("class", "ties");
  return drawing;
}
