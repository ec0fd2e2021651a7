// Which music is drawn: a long part comes in chunks, and its systems are filled where one looks.

import { byId, el, parsed } from "../dom.js";
import { state } from "../state.js";

const NS = "http://www.w3.org/2000/svg";
const WHOLE = 640;         // notes up to which a part is filled whole, and stays so (the server sends it whole)
const MARGIN = "100% 0px"; // a system is filled from one height of the view before it comes into view

let chunks = [];           // {place, first, last, box, lines, asking}: lines are null until the chunk is there
let fetched = null;        // gives a chunk by its place
let watching = null;       // the observer of what comes near the view
let outlines = null;       // the glyphs that all drawings use
let ordered = null;        // ids of all notes in the order they stand
let act = {}, lastBar = "";
const owners = new WeakMap(); // box -> its chunk or line
const where = new Map();      // note id -> line

/** `line(sent)` makes the box of a system, `fill` and `empty` what stands in it, `ids` gives its notes; `failed` tells. */
export const whenNear = (acts) => (act = acts);

/** The number of the last bar that is written, with notes in it or without. */
export const lastBarOf = () => lastBar;

/** Show a sheet, or its chunk that came first; `fetch(place)` gives the others. */
export async function lay(sheet, fetch) {
  if (sheet.font) await musicFont(sheet.font);
  watching?.disconnect();
  watching = new IntersectionObserver((seen) => seen.forEach(met), { rootMargin: MARGIN });
  fetched = fetch;
  lastBar = sheet.last_bar ?? sheet.systems.at(-1)?.bars.at(-1) ?? "";
  where.clear();
  outlines = parsed(`<svg xmlns="${NS}" width="0" height="0" aria-hidden="true" class="glyphs"><defs/></svg>`);
  chunks = (sheet.chunks ?? [[0, Infinity]]).map(([first, last], place) => ({ place, first, last, box: el("div", { class: "chunk waiting" }), lines: null, asking: null }));
  byId("pages").replaceChildren(outlines, ...chunks.map((chunk) => chunk.box));
  const here = chunks[sheet.chunk ?? 0];
  put(here, sheet);
  for (const chunk of chunks.filter(({ lines }) => !lines)) {
    chunk.box.style.minHeight = `${(here.box.offsetHeight * (chunk.last - chunk.first + 1)) / Math.max(1, here.last - here.first + 1)}px`;
    watch(chunk);
  }
}

function put(chunk, sheet) {
  addGlyphs(sheet.glyphs);
  ordered = null;
  chunk.lines = sheet.systems.map((sent) => ({ ...act.line(sent), sent, chunk, filled: false }));
  for (const line of chunk.lines) for (const id of Object.keys(line.sent.notes)) where.set(id, line);
  chunk.box.classList.remove("waiting");
  chunk.box.style.minHeight = "";
  chunk.box.replaceChildren(...chunk.lines.map((line) => line.box));
  if (isWhole()) return chunk.lines.forEach(fill);
  chunk.lines.filter(({ box }) => isNear(box)).forEach(fill);
  return chunk.lines.forEach(watch);
}

const isWhole = () => chunks.length === 1 && where.size <= WHOLE;

function isNear(box) {
  const { top, bottom } = box.getBoundingClientRect();
  return bottom > -innerHeight && top < 2 * innerHeight;
}

function watch(owner) {
  owners.set(owner.box, owner);
  watching.observe(owner.box);
}

function met({ target, isIntersecting }) {
  const owner = owners.get(target);
  if (!owner.sent) {
    if (isIntersecting && !owner.lines) want(owner);
  } else if (isIntersecting) fill(owner);
  else empty(owner);
}

function fill(line) {
  if (line.filled) return;
  line.filled = true;
  act.fill(line);
}

/** What is out of sight goes, but for what one has chosen, hears or stands on. */
function empty(line) {
  if (!line.filled || line.box.contains(document.activeElement) || line.box.querySelector(".chosen, .sounding, .unfold")) return;
  line.filled = false;
  act.empty(line);
}

function want(chunk) {
  const mine = chunks;
  chunk.asking ??= fetched(chunk.place).then(
    async (sheet) => {
      if (sheet.font) await musicFont(sheet.font);
      if (mine === chunks) put(chunk, sheet);
    },
    (problem) => {
      chunk.asking = null;
      if (mine === chunks) act.failed(problem);
    });
  return chunk.asking;
}

/** Where a written note stands among all of its part. */
export const ordinal = (id) => Number(id.slice(id.lastIndexOf("n") + 1));
const chunkOf = (id) => chunks.find(({ first, last }) => first <= ordinal(id) && ordinal(id) <= last);

/** Have the system of a note there, wherever it stands. */
export async function bring(id) {
  const chunk = chunkOf(id);
  if (chunk && !chunk.lines) await want(chunk);
  if (where.has(id)) fill(where.get(id));
}

/** Have all music there, for paper. */
export async function bringAll() {
  await Promise.all(chunks.filter(({ lines }) => !lines).map(want));
  fillAll();
}

export const fillAll = () => lines().forEach(fill);

/** After paper: what is not near the view goes again. */
export const tidy = () => isWhole() || lines().filter(({ box }) => !isNear(box)).forEach(empty);

export const lines = () => chunks.flatMap(({ lines: there }) => there ?? []);
export const lineOf = (id) => where.get(id);

/** The notes in the order they stand; as written where a chunk is not there yet. */
export function order() {
  ordered ??= chunks.flatMap((chunk) => chunk.lines
    ? chunk.lines.flatMap(act.ids)
    : [...state.byNote.keys()].filter((id) => chunkOf(id) === chunk).sort((a, b) => ordinal(a) - ordinal(b)));
  return ordered;
}

export const orderAnew = () => (ordered = null);

/** The system before (-1) or after (1); null at the end, and where it is not there. */
export function beside(line, step) {
  const at = line.chunk.lines.indexOf(line) + step;
  return line.chunk.lines[at] ?? chunks[line.chunk.place + step]?.lines?.at(step > 0 ? 0 : -1) ?? null;
}

/** The notes of the systems that are in view, in part or whole. */
export function inView() {
  const foot = document.getElementById("player")?.getBoundingClientRect().top || innerHeight;
  return lines().filter(({ staff }) => {
    const { top, bottom } = staff.getBoundingClientRect();
    return bottom > 0 && top < foot;
  }).flatMap(({ sent }) => Object.keys(sent.notes));
}

/** What is at the top of the view: its chunk, a note there and how far it stands from the top. */
export function anchor() {
  const top = chunks.find(({ box }) => box.getBoundingClientRect().bottom > 0) ?? chunks[0];
  const line = top?.lines?.find(({ box }) => box.getBoundingClientRect().bottom > 1);
  return { chunk: top?.place ?? 0, id: line && act.ids(line)[0], y: line?.box.getBoundingClientRect().top ?? 0 };
}

/** Scroll so that the system of that note is as far from the top as it was. */
export function backTo({ id, y }) {
  const box = id && lineOf(id)?.box;
  if (box && scrollY > 0) scrollBy({ top: box.getBoundingClientRect().top - y, behavior: "instant" });
}

function addGlyphs(sent) {
  const defs = outlines.firstElementChild;
  const fresh = Object.entries(sent).filter(([code]) => !defs.querySelector(`[id="glyph-${CSS.escape(code)}"]`));
  const inner = fresh.map(([code, drawing]) => `<g id="glyph-${code}">${drawing}</g>`).join("");
  defs.append(...parsed(`<svg xmlns="${NS}">${inner}</svg>`).childNodes);
}

async function musicFont(base64) {
  if ([...document.fonts].some((face) => face.family === "Gripway Music")) return;
  const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
  try {
    document.fonts.add(await new FontFace("Gripway Music", bytes.buffer).load());
  } catch { /* signs in tempo marks fall back to the text font */ }
}
