// The engraved music with a spot over each note: one button a note, its diagram below the staff.

import { byId, el, parsed } from "../dom.js";
import { LATE, pictureOf, pinOf, state, VERY_LATE } from "../state.js";
import { cents, KIND, spoken } from "../words.js";
import { DIAGRAM, lay } from "./lane.js";

const NS = "http://www.w3.org/2000/svg";
const PX_PER_MM = 96 / 25.4;
const UNITS = 100; // of the server's drawings in a millimetre
const TINT_OVER = 250; // how far the tint of a late change stands over the staff

const spots = new Map(); // note id -> {button, x, ...}
let systems = [];        // {box, staff, ids, ...} from top to bottom
let order = [];          // note ids in the order they stand
let onChoose = () => {};

export const whenChosen = (act) => (onChoose = act);

let fixedZoom = null;

/** A size of the music beside those one chooses; null for the chosen one again. */
export const zoomTo = (value) => (fixedZoom = value);

const zoom = () => fixedZoom ?? Number(byId("size").value) / 44;

/** The width of the music in millimetres of paper, for the server. */
export const widthMm = () => Math.max(60, Math.floor(byId("pages").clientWidth / PX_PER_MM / zoom()));

export async function draw(sheet) {
  if (sheet.font) await musicFont(sheet.font);
  spots.clear();
  order = [];
  systems = [];
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
  const staff = el("div", { class: "staff" });
  const scale = (PX_PER_MM * zoom()) / UNITS;
  staff.style.aspectRatio = `${sent.width} / ${sent.height}`;
  const line = { box: el("div", { class: "system" }, staff), staff, width: sent.width, scale, ids: [], ties: null };
  line.box.style.maxWidth = `${sent.width * scale}px`;
  systems.push(line);
  const drawn = noteSpots(sent, line);
  staff.append(...drawn.map((each) => each.tint), svg, ...drawn.flatMap((each) => [each.tags, each.button]));
  return line.box;
}

const percent = (value, of) => `${((100 * value) / of).toFixed(3)}%`;

function noteSpots(sent, line) {
  const notes = Object.entries(sent.notes).filter(([id]) => state.byNote.has(id));
  notes.sort((a, b) => middle(a[1]) - middle(b[1]));
  const seen = new Set();
  return notes.flatMap(([id, note], k) => {
    const x = middle(note);
    if (seen.has(x)) return [];
    seen.add(x);
    order.push(id);
    line.ids.push(id);
    const left = k ? (middle(notes[k - 1][1]) + x) / 2 : Math.max(sent.staff[0], x - 500);
    const right = k < notes.length - 1 ? (middle(notes[k + 1][1]) + x) / 2 : Math.min(sent.width, x + 500);
    const half = Math.min(x - left, right - x, 550) || 200;
    const top = Math.min(note.head[1], sent.staff[1]) - 60;
    const button = el("button", { type: "button", class: "spot", tabindex: "-1", data: { note: id } });
    button.style.left = percent(x - half, sent.width);
    button.style.width = percent(2 * half, sent.width);
    button.style.top = percent(top, sent.height);
    const mark = el("span", { class: "mark" });
    button.append(mark);
    button.addEventListener("click", () => onChoose(id));
    const tint = el("span", { class: "tint" });
    const from = k ? middle(notes[k - 1][1]) : x - 450; // over a line break from the left, short of the clef
    tint.style.left = percent(from, sent.width);
    tint.style.width = percent(x - from, sent.width);
    tint.style.top = percent(sent.staff[1] - TINT_OVER, sent.height);
    tint.style.height = percent(sent.staff[3] + 2 * TINT_OVER, sent.height);
    const tags = el("span", { class: "tags" });
    tags.style.left = percent(x, sent.width);
    tags.style.top = percent(note.room ? note.room[0] : sent.staff[1] + sent.staff[3] + 100, sent.height);
    spots.set(id, { button, mark, tint, tags, line, x });
    return [{ button, tint, tags }];
  });
}

const middle = (note) => note.head[0] + note.head[2] / 2;

/** Refresh the spots of these played notes; all without a list. */
export function mark(indices = null) {
  const ids = indices === null ? order : [...new Set(indices.map((index) => state.route.notes[index]?.id))].filter((id) => spots.has(id));
  ids.forEach(refresh);
  new Set(ids.map((id) => spots.get(id).line)).forEach(layLane);
  if (order.length && !byId("pages").querySelector('.spot[tabindex="0"]')) spots.get(order[0]).button.tabIndex = 0;
  byId("pages").dataset.refreshed = ids.length;
}

const firstOf = (id) => state.route.notes[state.byNote.get(id)[0]];
const differs = (id) => new Set(state.byNote.get(id).map((index) => state.route.notes[index].grip)).size > 1;

function refresh(id) {
  const { button, tint, tags } = spots.get(id);
  const indices = state.byNote.get(id);
  button.classList.toggle("pinned", Boolean(pinOf(id)));
  const change = indices.map((index) => state.route.changes.get(index)).filter(Boolean).sort((a, b) => b.load - a.load)[0];
  tint.className = "tint" + (change && change.load > VERY_LATE ? " very" : change && change.load > LATE ? " late" : "");
  const rank = state.route.hardest.findIndex((to) => indices.includes(to));
  if (rank >= 0) button.dataset.rank = rank + 1;
  else delete button.dataset.rank;
  tags.replaceChildren(...(rank >= 0 ? [el("span", { class: "rank", text: rank + 1 })] : []), ...(pinOf(id) ? [el("span", { class: "pin", text: "pin" })] : []));
  button.setAttribute("aria-label", label(firstOf(id), change, rank, differs(id)));
}

function shown(id) {
  const note = firstOf(id), show = byId("show").value;
  return note.grip !== null && (show === "all" || (show === "unusual" && (!note.plain || differs(id))) || (show !== "none" && pinOf(id)));
}

/** The diagrams of a system, each under its note. */
function layLane(line) {
  const notes = line.ids.map((id) => ({ x: spots.get(id).x, grip: firstOf(id).grip, sent: shown(id) ? pictureOf(firstOf(id).grip) : null }));
  const { places, height, ties } = lay(notes, line.width);
  const gaps = line.ids.some((id) => firstOf(id).grip === null);
  line.box.style.setProperty("--lane", `${(Math.max(height, gaps ? 500 : 0) * line.scale).toFixed(1)}px`);
  line.box.style.setProperty("--diagram", `${(DIAGRAM * line.scale).toFixed(1)}px`);
  line.ties?.remove();
  line.ties = height ? ties : null;
  if (line.ties) line.staff.append(line.ties);
  line.ids.forEach((id, k) => {
    const spot = spots.get(id), place = spot.mark;
    const again = differs(id) ? [el("span", { class: "differs", text: "≠" })] : [];
    place.style.bottom = places[k] ? `${((height - places[k].top - DIAGRAM) * line.scale).toFixed(1)}px` : "0";
    const key = places[k] ? `${places[k].key} ${again.length}` : "";
    if (key && spot.shows === key && spot.sent === notes[k].sent) return; // it stands there already
    Object.assign(spot, { shows: key, sent: notes[k].sent });
    place.replaceChildren(...(places[k] ? [places[k].element, ...again] : notes[k].grip === null ? [el("span", { class: "none", text: "?" })] : []));
  });
}

function label(note, change, rank, again) {
  const parts = [note.bar ? `bar ${note.bar}` : "", spoken(note.pitch)];
  if (note.grip === null) parts.push("no grip");
  else {
    parts.push(`${KIND[note.kind] || note.kind} grip ${note.short}`);
    if (!note.plain && note.cents !== null) parts.push(cents(note.cents));
  }
  if (again) parts.push("another grip in the repeat");
  if (pinOf(note.id)) parts.push("pinned");
  if (change && change.load > LATE) parts.push(`late change, load ${change.load.toFixed(2)}`);
  if (rank >= 0) parts.push(`hardest change number ${rank + 1}`);
  return parts.filter(Boolean).join(", ");
}

/** The system a note stands in, for what unfolds below it. */
export const systemOf = (id) => spots.get(id)?.line.box;

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
  const high = (selector) => document.querySelector(selector)?.offsetHeight ?? 0; // 0 where it is not shown
  const sheet = matchMedia("(max-width: 899px) and (min-height: 521px)").matches ? high(".panel.filled") : 0;
  const above = high(".top") + 16;
  const below = innerHeight - sheet - high(".listen") - high(".stand-bar") - 16;
  const end = Math.max(box.bottom, spot.closest(".system").getBoundingClientRect().bottom); // with what unfolds below it
  if (box.top < above || end > below) {
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    scrollBy({ top: box.top - Math.max(above + 10, Math.min(box.top, below - (end - box.top))), behavior: still ? "auto" : "smooth" });
  }
}

let sounding = null;

/** The note that is heard now; `show` brings it into view. */
export function sound(id, show = reveal) {
  sounding?.classList.remove("sounding");
  sounding = id ? spots.get(id)?.button : null;
  sounding?.classList.add("sounding");
  if (sounding) show(id);
}

/** The note before or after in the order they stand; the first or last for `ends`. */
export function neighbour(id, step) {
  if (step === -Infinity) return order[0];
  if (step === Infinity) return order.at(-1);
  const at = order.indexOf(id);
  return order[Math.min(order.length - 1, Math.max(0, at + step))];
}

/** The note above or below in the system before or after. */
export function across(id, step) {
  const { line, x } = spots.get(id);
  const other = systems[systems.indexOf(line) + step];
  if (!other?.ids.length) return id;
  const far = (each) => Math.abs(spots.get(each).x - x);
  return other.ids.reduce((near, each) => (far(each) < far(near) ? each : near));
}

export const firstNote = () => order[0];
