// What to look at: hard changes, unusual grips, notes out of tune, pins, bans; a list of one kind, walked by keys.

import { byId, el, picture } from "../dom.js";
import { ask } from "../server.js";
import { pictureOf, sent, state } from "../state.js";
import { cents, finger, HARD, KIND, LATE, listed, loadWord, movers, name, shortGrip } from "../words.js";

const SHOWN = 12;
let act = {};
let kind = "hard", all = false, byBar = false;
export const whenAsked = (acts) => (act = acts);

/** `count`: of how many it tells, where that is not of all it finds; `aside`: what stands behind the count. */
const KINDS = {
  hard: { title: "Hard changes", none: "No change is hard at this tempo.", first: "the highest load first", find: hard, aside: lateWords },
  unusual: { title: "Unusual grips", none: "None: the standard grips serve.", first: "the one that saves most first", find: unusual },
  tuning: { title: "Out of tune", none: "No note leans so far that there is something to do.", first: "the largest lean first", find: leaning, count: () => helped().length, aside: lippedWords },
  trills: { title: "Trills", none: "No trill is written.", find: trills },
  pinned: { title: "Pinned", none: "No pin: choose a note, then the diagram of the grip it is to keep.", find: pinned },
  banned: { title: "Banned", none: "No grip is banned.", find: banned },
};

/** The list as the route and the wishes are now. */
export function showWorkList() {
  const found = Object.fromEntries(Object.entries(KINDS).map(([key, { find }]) => [key, find()]));
  byId("filters").replaceChildren(...Object.keys(KINDS).map((key) => {
    return el("button", { type: "button", class: "filter", data: { kind: key }, "aria-pressed": String(key === kind), on: { click: () => {
      choose(key, found);
      byId("filters").scrollIntoView({ block: "nearest", behavior: "instant" });
    } } }, headOf(key, found[key]));
  }));
  show(found[kind]);
  showJumps(found);
}

/** Another list. */
function choose(key, found) {
  [kind, all] = [key, false];
  show(found[key]);
  pressed();
}

/** A kind with how many there are of it: `Hard changes 19, 15 of them late`. */
const headOf = (key, entries) => [`${KINDS[key].title} `, el("span", { class: "count", text: countOf(key, entries) }), KINDS[key].aside?.() ?? ""];

/** Places as played; of what one has said, each word once. */
const countOf = (key, entries) => KINDS[key].count?.() ?? entries.reduce((sum, entry) => sum + (entry.acts ? 1 : Math.max(1, entry.places.length)), 0);

/** On a narrow page, where the list stands below the music: straight to one that has something, and to what comes next. */
function showJumps(found) {
  byId("jumps").replaceChildren(...Object.keys(KINDS).filter((key) => countOf(key, found[key])).map((key) => el("button", { type: "button", on: { click: () => {
    choose(key, found);
    byId("work-list").scrollIntoView({ block: "start", behavior: "instant" });
    byId("work-title").focus({ preventScroll: true });
  } } }, headOf(key, found[key]))),
    ...act.next.map(([text, does]) => el("button", { type: "button", text, on: { click: does } })));
}

const pressed = () => byId("filters").querySelectorAll(".filter").forEach((one) => one.setAttribute("aria-pressed", String(one.dataset.kind === kind)));

/** What stands first, and a button for the other order: of a list that has one of its own. */
function showOrder() {
  const { first } = KINDS[kind];
  byId("order").hidden = !first;
  const other = el("button", { type: "button", class: "link", text: byBar ? first : "in the order of the music", on: { click: () => { byBar = !byBar; show(KINDS[kind].find()); byId("order").querySelector("button").focus(); } } });
  byId("order").replaceChildren(`Now ${byBar ? "in the order of the music" : first}. Show `, other);
}

function show(found) {
  const entries = byBar && KINDS[kind].first ? [...found].sort((a, b) => Math.min(...a.places) - Math.min(...b.places)) : found;
  showOrder();
  askTakes();
  const some = all ? entries : entries.slice(0, SHOWN);
  byId("places").replaceChildren(
    ...(entries.length ? some.map(line) : [el("li", { class: "quiet none", text: KINDS[kind].none })]),
    entries.length > some.length ? el("li", { class: "none" }, el("button", { type: "button", class: "link", text: `Show all ${entries.length}`, on: { click: () => { all = true; show(found); } } })) : "",
  );
}

function line(entry) {
  const { places } = entry;
  const bars = [...new Set([...places].sort((a, b) => a - b).map((index) => state.route.notes[index].bar || `note ${index + 1}`))];
  const where = bars.length ? `${state.route.notes[places[0]].bar ? `bar${bars.length > 1 ? "s" : ""} ` : ""}${bars.slice(0, 6).join(", ")}${bars.length > 6 ? ", …" : ""}` : "";
  const words = [el("strong", { text: entry.title }), el("span", { class: "where", text: [where, places.length > 1 ? `${places.length} times` : ""].filter(Boolean).join(" · ") })];
  return el("li", {},
    entry.sent ? picture(entry.sent) : "",
    el("div", { class: "place" },
      places.length ? el("button", { type: "button", class: "go", on: { click: () => act.choose(nextOf(places, 1)) } }, words) : el("p", { class: "go" }, words),
      el("span", { class: "detail" }, entry.late ? el("span", { class: "load late", text: entry.late }) : "", entry.detail),
      entry.acts ? el("span", { class: "row" }, entry.acts) : ""));
}

/** The place after the chosen note, or before it; from the other end where there is none. */
function nextOf(places, by) {
  const sorted = [...new Set(places)].sort((a, b) => a - b);
  if (by > 0) return sorted.find((index) => index > state.at) ?? sorted[0];
  return sorted.findLast((index) => index < state.at || state.at < 0) ?? sorted.at(-1);
}

/** On to the next place of a kind, of the one that is shown without a name; null where there is none. */
export function step(by, which = kind) {
  const places = KINDS[which].find().flatMap((entry) => entry.places);
  return places.length ? nextOf(places, by) : null;
}

/** How many places of a kind there are. */
export const count = (which) => countOf(which, KINDS[which].find());

function grouped(items, keyOf) {
  const groups = new Map();
  for (const item of items) {
    const key = keyOf(item);
    if (!groups.has(key)) groups.set(key, []);
    groups.get(key).push(item);
  }
  return [...groups.values()];
}

function hard() {
  const { notes, changes } = state.route;
  const found = [...changes.values()].filter((change) => change.load >= HARD && Object.keys(change.movers).length);
  const same = ({ to }) => [notes[to - 1], notes[to]].map((note) => `${note.pitch} ${note.grip}`).join(" > ");
  return grouped(found.sort((a, b) => b.load - a.load), same).map((group) => {
    const [{ to, load, movers: moved }] = group;
    return { places: group.map((change) => change.to), late: load > LATE ? `load ${load.toFixed(2)}, ${loadWord(load)}` : "", title: `${name(notes[to - 1].pitch)} to ${name(notes[to].pitch)}`, detail: `${load > LATE ? "" : `load ${load.toFixed(2)}`} · ${movers(moved)}` };
  });
}

function unusual() {
  return state.route.learn.map((one) => ({
    places: one.places.map((place) => place.index), sent: pictureOf(one.grip), title: `${name(one.pitch)} ${one.short}`,
    detail: [one.known ? "known" : KIND[one.kind] || one.kind, cents(one.cents, one.cents_spread), one.saves === null ? "" : `saves ${one.saves.toFixed(2)}`].filter(Boolean).join(" · "),
  }));
}

/** `, 15 of them late`: the hard changes of which the first line tells. */
function lateWords() {
  const late = [...state.route.changes.values()].filter(({ load }) => load > LATE).length;
  return late ? `, ${late} of them late` : "";
}

const helped = () => state.route.notes.filter((note) => note.needs_help);
const leans = () => state.route.notes.filter((note) => note.lean !== null);

/** `, 128 to lip`: the leans that the lip reaches. */
function lippedWords() {
  const lipped = leans().length - helped().length;
  return lipped ? `, ${lipped} to lip` : "";
}

function leaning() {
  return grouped(leans().sort((a, b) => b.needs_help - a.needs_help || Math.abs(b.lean) - Math.abs(a.lean)), (note) => `${note.pitch} ${note.grip} ${note.needs_help} ${note.lean > 0}`).map((group) => {
    const [{ pitch, short, lean, needs_help: help }] = group, several = group.some((note) => note.lean !== lean);
    const words = `${several ? "up to " : ""}${cents(lean)}, ${lean > 0 ? "sharp" : "flat"}`;
    return { places: group.map((note) => note.index), title: `${name(pitch)} ${short}`, late: help ? `${words}: needs help` : "", detail: help ? "" : `${words}: lip it` };
  });
}

/** Written trills and tremolos: both grips, what moves, and how fast it can. */
export function trills() {
  const found = state.route.notes.filter((note) => note.trill && note.grip !== null);
  return grouped(found, (note) => `${note.pitch} ${note.grip} ${note.trill.pitch} ${note.trill.grip}`).map((group) => {
    const [{ pitch, short, grip, trill }] = group;
    return {
      places: group.map((note) => note.index), sent: pictureOf(grip), title: `${name(pitch)} ${short}, with ${name(trill.pitch)} ${trill.short}`,
      detail: [movesOf(trill.movers), trill.notes_per_s === null ? "" : `up to ${trill.notes_per_s.toFixed(1)} a second`].filter(Boolean).join(" · "),
    };
  });
}

const movesOf = (moves) => { const ids = Object.keys(moves); return ids.length ? `${listed(ids.map(finger))} ${ids.length > 1 ? "move" : "moves"}` : ""; };

function pinned() {
  const told = toldTakes();
  const found = state.wishes.pins.map((one) => {
    const places = state.byNote.get(one.note) || [], note = places.length ? state.route.notes[places[0]] : null;
    const words = `${note ? `${name(note.pitch)} ` : ""}${shortGrip(one.grip)}`;
    const button = (text, does) => el("button", { type: "button", class: "link", text, "aria-label": `${text}: ${words}${note?.bar ? `, bar ${note.bar}` : ""}`, on: { click: does } });
    return {
      places, title: words, sent: note && pictureOf(one.grip), detail: note ? takesWords(told[one.note]) : "outside what is shown: it waits",
      acts: [note ? button("Pin in all same figures", () => act.pinAll(one)) : "", button("Unpin", () => act.unpin(one))],
    };
  });
  const first = ({ places }) => places[0] ?? Infinity;
  return found.sort((a, b) => (first(a) < first(b) ? -1 : first(a) > first(b) ? 1 : 0));
}

let takes = { key: null, told: {} }; // what each pin takes of the whole passage, with these wishes

const takesKey = () => JSON.stringify(sent());

/** What is known of these wishes, by the note of the pin. */
const toldTakes = () => (takes.key === takesKey() ? takes.told : {});

function takesWords(more) {
  if (more === undefined) return "";
  return more > 0 ? `the whole passage takes ${more.toFixed(2)} more` : "it is the grip of least effort, too";
}

/** Where pins are listed, what each takes is asked for once; it stands there when it is known. */
async function askTakes() {
  const key = takesKey();
  if (kind !== "pinned" || takes.key === key || !state.wishes.pins.length || state.route.first) return;
  takes = { key, told: {} };
  try {
    const { takes: told } = await ask("/pins", { wishes: sent() });
    if (takes.key === key) takes = { key, told };
    if (kind === "pinned" && key === takesKey()) show(pinned());
  } catch { if (takes.key === key) takes = { key: null, told: {} }; } // a newer wish has its own
}

function banned() {
  return state.wishes.bans.map((one) => {
    const words = `${one.pitch ? name(one.pitch) : one.kind} ${shortGrip(one.grip)}`;
    return { places: [], title: words, detail: "", acts: [el("button", { type: "button", class: "link", text: "Allow again", "aria-label": `Allow ${words} again`, on: { click: () => act.allow(one) } })] };
  });
}
