// The engraved music with a spot over each note: one button a note, its diagram below the staff.

import { byId, el, parsed } from "../dom.js";
import { pictureOf, pinOf, state } from "../state.js";
import { cents, KIND, LATE, spoken, THUMB, VERY_LATE } from "../words.js";
import { DIAGRAM, lay } from "./lane.js";
import * as near from "./near_view.js";

const NS = "http://www.w3.org/2000/svg";
export const PX_PER_MM = 96 / 25.4;
export const UNITS = 100; // of the server's drawings in a millimetre
const TINT_OVER = 250; // how far the tint of a late change stands over the staff

const spots = new Map(); // note id -> {button, x, ...}, of the systems that are filled
let chosen = null;       // id of the note that is looked at
let onChoose = () => {}, onFault = () => {};

/** `choose` a note; `failed` says why a piece of the music did not come. */
export const whenChosen = (choose, failed = () => {}) => {
  onChoose = choose;
  onFault = failed;
};

let fixedZoom = null, fixedMm = null;

/** A size of the music beside those one chooses, and its width on paper; null for the chosen one, and as wide as the page. */
export function zoomTo(value, mm = null) {
  fixedZoom = value;
  fixedMm = mm;
}

const zoom = () => fixedZoom ?? Number(byId("size").value) / 44;

/** The width of the music in millimetres of paper, for the server. */
export const widthMm = () => fixedMm ?? Math.max(60, Math.floor(byId("pages").clientWidth / PX_PER_MM / zoom()));

let drawnZoom = 1;

/** The music that is there in the size one chose, from the top of the view, until it is engraved for it. */
export function stretch() {
  const pages = byId("pages"), by = zoom() / drawnZoom;
  pages.style.transformOrigin = `0 ${Math.max(0, -pages.getBoundingClientRect().top)}px`;
  pages.style.transform = by === 1 ? "" : `scale(${by})`;
}

/** Draw a sheet: all of it, or the chunk that came first, with what fetches the others. */
export async function draw(sheet, fetch = null) {
  near.whenNear({ line: system, fill, empty, ids: (line) => notesOf(line).map(({ id }) => id), failed: (problem) => onFault(problem) });
  spots.clear();
  drawnZoom = zoom();
  byId("pages").style.transform = "";
  await near.lay(sheet, fetch);
}

function system(sent) {
  const staff = el("div", { class: "staff" });
  const scale = (PX_PER_MM * drawnZoom) / UNITS;
  staff.style.aspectRatio = `${sent.width} / ${sent.height}`;
  const box = el("div", { class: "system", data: { bars: sent.bars.join(" ") } }, staff);
  box.style.maxWidth = `${sent.width * scale}px`;
  return { box, staff, width: sent.width, scale, ties: null, notes: null };
}

/** The drawing of a system, and its notes once their grips are known. */
function fill(line) {
  const { sent, staff } = line;
  const svg = parsed(`<svg xmlns="${NS}" viewBox="0 0 ${sent.width} ${sent.height}" aria-hidden="true">${sent.drawing}</svg>`);
  svg.setAttribute("class", "staff-lines");
  staff.replaceChildren(svg);
  if (state.route) fillNotes(line);
}

function fillNotes(line) {
  const drawn = notesOf(line).map((note) => noteSpot(note, line));
  line.staff.prepend(...drawn.map((each) => each.tint));
  line.staff.append(...drawn.flatMap((each) => [each.tags, each.button]));
  notesOf(line).forEach(({ id }) => refresh(id));
  layLane(line);
  if (chosen && near.lineOf(chosen) === line) markChosen();
  tabbable();
}

/** What stands in a system goes; its room stays. */
function empty(line) {
  notesOf(line).forEach(({ id }) => spots.delete(id));
  line.ties = null;
  line.staff.replaceChildren();
  tabbable();
}

const percent = (value, of) => `${((100 * value) / of).toFixed(3)}%`;

/** The played notes of a system from left to right, one of those that stand at the same place. */
function notesOf(line) {
  if (line.notes) return line.notes;
  const { notes: sent, staff, width } = line.sent;
  const sorted = Object.entries(sent).filter(([id]) => state.byNote.has(id)).sort((a, b) => middle(a[1]) - middle(b[1]));
  const found = sorted.map(([id, note], k) => {
    const x = middle(note);
    const left = k ? (middle(sorted[k - 1][1]) + x) / 2 : Math.max(staff[0], x - 500);
    const right = k < sorted.length - 1 ? (middle(sorted[k + 1][1]) + x) / 2 : Math.min(width, x + 500);
    const from = k ? middle(sorted[k - 1][1]) : x - 450; // a tint over a line break from the left, short of the clef
    return { id, note, x, half: Math.min(x - left, right - x, 550) || 200, from };
  }).filter(({ x }, k, all) => !k || all[k - 1].x !== x);
  if (state.route) line.notes = found;
  return found;
}

function noteSpot({ id, note, x, half, from }, line) {
  const { staff, width, height } = line.sent;
  const button = el("button", { type: "button", class: "spot", tabindex: "-1", data: { note: id } });
  button.style.left = percent(x - half, width);
  button.style.width = percent(2 * half, width);
  button.style.top = percent(Math.min(note.head[1], staff[1]) - 60, height);
  const mark = el("span", { class: "mark" });
  button.append(mark);
  button.addEventListener("click", () => onChoose(id));
  const tint = el("span", { class: "tint" });
  tint.style.left = percent(from, width);
  tint.style.width = percent(x - from, width);
  tint.style.top = percent(staff[1] - TINT_OVER, height);
  tint.style.height = percent(staff[3] + 2 * TINT_OVER, height);
  const tags = el("span", { class: "tags" });
  tags.style.left = percent(x, width);
  tags.style.top = percent(note.room ? note.room[0] : staff[1] + staff[3] + 100, height);
  spots.set(id, { button, mark, tint, tags, line, x });
  return { button, tint, tags };
}

const middle = (note) => note.head[0] + note.head[2] / 2;

/** Refresh the spots of these played notes; all without a list. What is out of sight is made when one comes to it. */
export function mark(indices = null) {
  const ids = indices === null ? [...spots.keys()] : [...new Set(indices.map((index) => state.route.notes[index]?.id))].filter((id) => spots.has(id));
  ids.forEach(refresh);
  new Set(ids.map((id) => spots.get(id).line)).forEach(layLane);
  byId("pages").dataset.refreshed = ids.length;
}

/** The route of music that was drawn before it was known. */
export function markFirst() {
  near.orderAnew();
  near.lines().filter(({ filled, notes }) => filled && !notes).forEach(fillNotes);
  byId("pages").dataset.refreshed = spots.size;
}

/** One spot that Tab leads to. */
function tabbable() {
  if (byId("pages").querySelector('.spot[tabindex="0"]')) return;
  const first = byId("pages").querySelector(".spot");
  if (first) first.tabIndex = 0;
}

const firstOf = (id) => state.route.notes[state.byNote.get(id)[0]];
/** The key the thumb goes to at a written note, whenever it is played; nothing where it stays. */
const thumbAt = (id) => state.byNote.get(id).map((index) => state.thumb.get(index)).find(Boolean);
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
  tags.replaceChildren(...(rank >= 0 ? [el("span", { class: "rank", text: rank + 1 })] : []), ...(thumbAt(id) && byId("show").value !== "none" ? [el("span", { class: "thumb", text: thumbAt(id) })] : []), ...(pinOf(id) ? [el("span", { class: "pin", text: "pin" })] : []));
  button.setAttribute("aria-label", label(firstOf(id), change, rank, differs(id)));
}

function shown(id) {
  const note = firstOf(id), show = byId("show").value;
  return note.grip !== null && (show === "all" || (show === "unusual" && (!note.plain || differs(id) || note.trill || thumbAt(id))) || (show !== "none" && pinOf(id)));
}

/** The diagrams of a system, each under its note. */
function layLane(line) {
  const ids = notesOf(line).map(({ id }) => id);
  const notes = ids.map((id) => {
    const { grip, trill } = firstOf(id);
    return { x: spots.get(id).x, grip, thumb: thumbAt(id), sent: shown(id) ? pictureOf(grip) : null, trill: trill && { ...trill, sent: pictureOf(trill.grip) } };
  });
  const { places, height, ties } = lay(notes, line.width);
  const gaps = ids.some((id) => firstOf(id).grip === null);
  line.box.style.setProperty("--lane", `${(Math.max(height, gaps ? 500 : 0) * line.scale).toFixed(1)}px`);
  line.box.style.setProperty("--diagram", `${(DIAGRAM * line.scale).toFixed(1)}px`);
  line.ties?.remove();
  line.ties = height ? ties : null;
  if (line.ties) line.staff.append(line.ties);
  ids.forEach((id, k) => {
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
  if (note.trill && note.grip !== null) parts.push(`trill with ${spoken(note.trill.pitch)}, ${note.trill.short}`);
  if (thumbAt(note.id)) parts.push(THUMB[thumbAt(note.id)]);
  if (again) parts.push("another grip in the repeat");
  if (pinOf(note.id)) parts.push("pinned");
  if (change && change.load > LATE) parts.push(`late change, load ${change.load.toFixed(2)}`);
  if (rank >= 0) parts.push(`hardest change number ${rank + 1}`);
  return parts.filter(Boolean).join(", ");
}

/** The system a note stands in, for what unfolds below it. */
export const systemOf = (id) => near.lineOf(id)?.box;

/** Have a note there that is out of sight. */
export const bring = (id) => near.bring(id);

/** Mark the note that is looked at; the one with the keyboard's place. */
export function select(id, { focus = false, scroll = true } = {}) {
  byId("pages").querySelectorAll(".spot.chosen").forEach((spot) => {
    spot.classList.remove("chosen");
    spot.removeAttribute("aria-current");
  });
  chosen = id;
  const spot = markChosen();
  if (!spot) return;
  if (focus) spot.focus({ preventScroll: true });
  if (scroll) reveal(id);
}

function markChosen() {
  const spot = spots.get(chosen)?.button;
  if (!spot) return null;
  byId("pages").querySelectorAll('.spot[tabindex="0"]').forEach((other) => (other.tabIndex = -1));
  spot.tabIndex = 0;
  spot.classList.add("chosen");
  spot.setAttribute("aria-current", "true");
  return spot;
}

/** Bring a note into view, above the sheet that covers the lower part of a narrow page. */
export function reveal(id) {
  const spot = spots.get(id)?.button;
  if (!spot) return;
  const box = spot.getBoundingClientRect();
  const high = (selector) => document.querySelector(selector)?.offsetHeight ?? 0; // 0 where it is not shown
  const sheet = matchMedia("(max-width: 899px) and (min-height: 521px)").matches ? high(".panel.filled") : 0;
  const above = high(".top") + high("#alert") + 16;
  const cards = matchMedia("(max-height: 520px)").matches ? high(".unfold") : 0;
  const below = innerHeight - sheet - cards - high(".listen") - high(".stand-bar") - 16;
  const end = Math.max(box.bottom, spot.closest(".system").getBoundingClientRect().bottom); // with what unfolds below it
  if (box.top < above || end > below) {
    const by = box.top - Math.max(above + 10, Math.min(box.top, below - (end - box.top)));
    const still = Math.abs(by) > 2 * innerHeight || matchMedia("(prefers-reduced-motion: reduce)").matches;
    scrollBy({ top: by, behavior: still ? "instant" : "smooth" });
  }
}

let sounding = null, heard = null;

/** The note that is heard now; `show` brings it into view. */
export async function sound(id, show = reveal) {
  sounding?.classList.remove("sounding");
  sounding = null;
  heard = id;
  if (!id) return;
  if (!spots.has(id)) await near.bring(id);
  if (heard !== id || !spots.has(id)) return;
  sounding = spots.get(id).button;
  sounding.classList.add("sounding");
  show(id);
}

/** The note before or after in the order they stand; the first or last for `ends`. */
export function neighbour(id, step) {
  const order = near.order();
  if (step === -Infinity) return order[0];
  if (step === Infinity) return order.at(-1);
  return order[Math.min(order.length - 1, Math.max(0, order.indexOf(id) + step))];
}

/** The note above or below in the system before or after. */
export function across(id, step) {
  const line = near.lineOf(id), other = near.beside(line, step);
  const [here, there] = [notesOf(line), other ? notesOf(other) : []];
  if (!there.length) return neighbour(here.at(step > 0 ? -1 : 0).id, step);
  const { x } = here.find((each) => each.id === id) ?? here[0];
  return there.reduce((nearest, each) => (Math.abs(each.x - x) < Math.abs(nearest.x - x) ? each : nearest)).id;
}

export const firstNote = () => near.order()[0];
