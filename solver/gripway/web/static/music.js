// The engraved music with a spot over each note: one button a note, its diagram below the staff.

import { byId, el, parsed, picture } from "./dom.js";
import { LATE, pictureOf, pinOf, state, VERY_LATE } from "./state.js";
import { cents, KIND, spoken } from "./words.js";

const NS = "http://www.w3.org/2000/svg";
const PX_PER_MM = 96 / 25.4;
const UNITS = 100; // of the server's drawings in a millimetre

const spots = new Map(); // note id -> {button, x, ...}
let order = [];          // note ids in the order they stand
let onChoose = () => {};

export const whenChosen = (act) => (onChoose = act);

const zoom = () => Number(byId("size").value) / 44;

/** The width of the music in millimetres of paper, for the server. */
export const widthMm = () => Math.max(60, Math.floor(byId("pages").clientWidth / PX_PER_MM / zoom()));

export async function draw(sheet) {
  if (sheet.font) await musicFont(sheet.font);
  spots.clear();
  order = [];
  byId("pages").replaceChildren(glyphs(sheet.glyphs), ...sheet.systems.map(system));
}

async function musicFont(base64) {
  if ([...document.fonts].some((face) => face.family === "Gripway Music")) return;
  const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  try {
    document.fonts.add(await new FontFace("Gripway Music", bytes.buffer).load());
  } catch { /* signs in tempo marks fall back to the text font */ }
}

function glyphs(outlines) {
  const inner = Object.entries(outlines).map(([code, drawing]) => `<g id="glyph-${code}">${drawing}</g>`).join("");
  const svg = parsed(`<svg xmlns="${NS}" width="0" height="0" aria-hidden="true"><defs>${inner}</defs></svg>`);
  svg.setAttribute("class", "glyphs");
  return svg;
}

function system(sent) {
  const svg = parsed(`<svg xmlns="${NS}" viewBox="0 0 ${sent.width} ${sent.height}" aria-hidden="true">${sent.drawing}</svg>`);
  svg.setAttribute("class", "staff-lines");
  const box = el("div", { class: "system" });
  const scale = (PX_PER_MM * zoom()) / UNITS;
  box.style.aspectRatio = `${sent.width} / ${sent.height}`;
  box.style.maxWidth = `${sent.width * scale}px`;
  box.append(svg, ...noteSpots(sent));
  return box;
}

function noteSpots(sent) {
  const notes = Object.entries(sent.notes).filter(([id]) => state.byNote.has(id));
  notes.sort((a, b) => middle(a[1]) - middle(b[1]));
  const seen = new Map();
  return notes.flatMap(([id, note], k) => {
    const x = middle(note);
    const left = k ? (middle(notes[k - 1][1]) + x) / 2 : Math.max(sent.staff[0], x - 500);
    const right = k < notes.length - 1 ? (middle(notes[k + 1][1]) + x) / 2 : Math.min(sent.width, x + 500);
    const half = Math.min(x - left, right - x, 550) || 200;
    const top = Math.min(note.head[1], sent.staff[1]) - 60;
    const bottom = note.room ? note.room[0] + note.room[1] : sent.staff[1] + sent.staff[3] + 900;
    if (seen.has(x)) return [];
    seen.set(x, id);
    order.push(id);
    const button = el("button", { type: "button", class: "spot", tabindex: "-1", data: { note: id } });
    const percent = (value, of) => `${((100 * value) / of).toFixed(3)}%`;
    button.style.left = percent(x - half, sent.width);
    button.style.width = percent(2 * half, sent.width);
    button.style.top = percent(top, sent.height);
    button.style.height = percent(bottom - top, sent.height);
    const mark = el("span", { class: "mark" });
    const head = el("span", { class: "head" });
    const lateness = el("span", { class: "lateness" });
    const size = bottom - top;
    mark.style.height = percent(note.room ? note.room[1] * 0.96 : 850, size);
    head.style.top = percent(note.head[1] - 40 - top, size);
    head.style.height = percent(note.head[3] + 80, size);
    const from = k ? middle(notes[k - 1][1]) : Math.max(sent.staff[0], x - 900); // over a line break from the left
    lateness.style.left = percent(from - (x - half), 2 * half);
    lateness.style.right = "50%";
    lateness.style.top = percent((note.room ? note.room[0] : bottom - 900) - top - 30, size);
    button.append(head, lateness, mark);
    button.addEventListener("click", () => onChoose(id));
    spots.set(id, { button, mark, lateness, first: !k });
    return [button];
  });
}

const middle = (note) => note.head[0] + note.head[2] / 2;

/** Refresh the spots of these played notes; all without a list. */
export function mark(indices = null) {
  const ids = indices === null ? order : [...new Set(indices.map((index) => state.route.notes[index]?.id))];
  ids.forEach((id) => spots.has(id) && refresh(id));
  if (order.length && !byId("pages").querySelector('.spot[tabindex="0"]')) spots.get(order[0]).button.tabIndex = 0;
  byId("pages").dataset.refreshed = ids.length;
}

function refresh(id) {
  const { button, mark: place, lateness } = spots.get(id);
  const indices = state.byNote.get(id);
  const note = state.route.notes[indices[0]];
  const grips = new Set(indices.map((index) => state.route.notes[index].grip));
  const show = byId("show").value;
  const shown = note.grip !== null && (show === "all" || (show === "unusual" && (!note.plain || grips.size > 1)) || (show !== "none" && pinOf(id)));
  place.replaceChildren(...(shown ? [picture(pictureOf(note.grip))] : note.grip === null ? [el("span", { class: "none", text: "?" })] : []));
  button.classList.toggle("pinned", Boolean(pinOf(id)));
  button.classList.toggle("differs", grips.size > 1);
  const change = indices.map((index) => state.route.changes.get(index)).filter(Boolean).sort((a, b) => b.load - a.load)[0];
  lateness.className = "lateness" + (change && change.load > VERY_LATE ? " very" : change && change.load > LATE ? " late" : "");
  const rank = state.route.hardest.findIndex((to) => indices.includes(to));
  if (rank >= 0) button.dataset.rank = rank + 1;
  else delete button.dataset.rank;
  button.setAttribute("aria-label", label(note, change, rank, grips.size > 1));
}

function label(note, change, rank, differs) {
  const parts = [note.bar ? `bar ${note.bar}` : "", spoken(note.pitch)];
  if (note.grip === null) parts.push("no grip");
  else {
    parts.push(`${KIND[note.kind] || note.kind} grip ${note.short}`);
    if (!note.plain && note.cents !== null) parts.push(cents(note.cents));
  }
  if (differs) parts.push("another grip in the repeat");
  if (pinOf(note.id)) parts.push("pinned");
  if (change && change.load > LATE) parts.push(`late change, load ${change.load.toFixed(2)}`);
  if (rank >= 0) parts.push(`hardest change number ${rank + 1}`);
  return parts.filter(Boolean).join(", ");
}

/** Mark the note that is looked at; the one with the keyboard's place. */
export function select(id, { focus = false, scroll = true } = {}) {
  byId("pages").querySelectorAll(".spot.chosen").forEach((spot) => {
    spot.classList.remove("chosen");
    spot.removeAttribute("aria-current");
  });
  byId("pages").querySelectorAll('.spot[tabindex="0"]').forEach((spot) => (spot.tabIndex = -1));
  const spot = spots.get(id)?.button;
  if (!spot) return;
  spot.tabIndex = 0;
  spot.classList.add("chosen");
  spot.setAttribute("aria-current", "true");
  if (focus) spot.focus({ preventScroll: true });
  if (scroll) reveal(id);
}

/** Bring a note into view, above the sheet that covers the lower part of a narrow page. */
export function reveal(id) {
  const spot = spots.get(id)?.button;
  if (!spot) return;
  const box = spot.getBoundingClientRect();
  const sheet = matchMedia("(max-width: 899px) and (min-height: 521px)").matches && byId("panel").classList.contains("filled") ? byId("panel").offsetHeight : 0;
  const above = document.querySelector(".top").offsetHeight + 16;
  const below = innerHeight - sheet - document.querySelector(".listen").offsetHeight - 16;
  if (box.top < above || box.bottom > below) {
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    scrollBy({ top: box.top - Math.max(above + 10, (below - box.height) / 2), behavior: still ? "auto" : "smooth" });
  }
}

let sounding = null;

/** The note that is heard now. */
export function sound(id) {
  sounding?.classList.remove("sounding");
  sounding = id ? spots.get(id)?.button : null;
  sounding?.classList.add("sounding");
  if (sounding) reveal(id);
}

/** The note before or after in the order they stand; the first or last for `ends`. */
export function neighbour(id, step) {
  if (step === -Infinity) return order[0];
  if (step === Infinity) return order.at(-1);
  const at = order.indexOf(id);
  return order[Math.min(order.length - 1, Math.max(0, at + step))];
}

export const firstNote = () => order[0];
