// The page put together: opening, wishing, choosing notes, keys.

import { byId, calm, dialog, download, el, say, sure, tell, tellSaved, warn, working } from "./dom.js";
import * as dialogs from "./dialogs.js";
import * as kept from "./kept.js";
import * as keys from "./keys.js";
import * as learning from "./learning.js";
import * as likes from "./likes.js";
import * as music from "./music/music.js";
import * as near from "./music/near_view.js";
import * as overview from "./music/overview.js";
import * as sound from "./music/sound.js";
import { fold, isUnfolded, unfold, whenAsked as whenUnfolded } from "./music/unfold.js";
import { fileStem, title } from "./names.js";
import * as paper from "./paper.js";
import { changeWords, closePanel, panelOpen, showPanel, waitingPanel, whenAsked as whenPanelAsked } from "./panel.js";
import { ask, base64, fetchFile, flutes, setToken } from "./server.js";
import * as player from "./player.js";
import { practiseToday } from "./practice/day.js";
import * as practiceLog from "./practice/log.js";
import { recordGrip } from "./record/screen.js";
import { whenAsked as whenRecorded } from "./record/table.js";
import * as shelf from "./shelf.js";
import * as place from "./place.js";
import * as stand from "./stand/on_stand.js";
import { hasWork, keepSeen, NO_WISHES, otherMusic, otherPins, otherPlaces, pinOf, playersOwn, seenWishes, sent, session, showPin, state, stepBack, stepForward, takeRoute, unshowPin, unwish, wish } from "./state.js";
import * as tempo from "./tempo.js";
import { trills } from "./trills.js";
import { listed, name, placesOf, said, shortGrip } from "./words.js";
import * as workList from "./work_list.js";

const FILES = [
  ["musicxml", "Marked score", "Your score as it was, with the grips under the notes that need one, and a list of these marks to keep beside it."],
  ["report", "Report", "One HTML file to look at and to print: the music, every note's grips, the worst changes, tuning."],
  ["stand", "File for the stand", "One HTML file for a tablet: the music, grips to look up and to hear, half-page turns. It needs no network."],
  ["csv", "Table of grips", "Every note with its grip and figures, as CSV for a spreadsheet."],
  ["player", "Player file", "Your flute, dials and bans, to open here on another machine."],
  ["tuner", "Tuner's list", "The readings of your tuner, as the list this page and a player file read."],
  ["decisions", "Decisions", "The grips you have pinned, place by place, to open here again with the same score."],
];
const MOST_BYTES = 8 * 1024 * 1024, MOST_SESSION_BYTES = 12 * 1024 * 1024;
let asked = 0, noteAsked = 0, drawnWidth = 0;

// ---- opening

/** Open something else; gives false where the person would rather stay. A session may have its keeping. */
async function openSource(source, { session: from = null, keeping = null } = {}) {
  if (hasWork() && !(await shelf.isKept()) && !(await mayLose())) return false;
  const earlier = source && (await kept.sameScore(source).catch(() => null));
  if (earlier && !(await sure("Go on with what you did?", `You have worked on ${earlier.title} before: ${plural(earlier.pins, "pin")}, and all steps back are kept.`, "Begin anew beside it", "Go on with it"))) return goOn(earlier.id);
  const own = from ? {} : (kept.own().player ?? (hasWork() ? playersOwn() : {}));
  const answer = await busy(from ? ask("/open", { session: from }) : openedAs(source, own));
  sound.stop();
  const old = { ...state }, before = shelf.holding();
  try { await show(source, answer, own, keeping); } catch (problem) {
    Object.assign(state, old);
    shelf.letBack(before);
    setToken(old.opened?.work || "", again);
    await atStart(!hasWork());
    if (hasWork()) await redraw();
    throw problem.code === "stopped" ? { what: "Stopped: it is not opened" } : problem;
  }
  if (!(await place.goBack(keeping?.id))) scrollTo(0, 0);
  overview.showPlace();
  byId("music").focus({ preventScroll: true });
  say(`${title()} is open: ${state.route.count} notes.`);
  if (answer.cut) warn({ what: answer.cut, next_step: "Write other bars above the music to go on" });
  return true;
}

/** A score under the person's own flute, dials and bans; without them where they are what is refused. */
async function openedAs(source, own) {
  const asked = sent({ ...NO_WISHES, ...own });
  try { return await ask("/open", { ...source, wishes: asked }); } catch (problem) {
    if (problem.code !== "request" || !Object.keys(asked).length) throw problem;
    const answer = await ask("/open", { ...source, wishes: {} });
    Object.keys(own).forEach((key) => delete own[key]);
    kept.keepOwn({ player: null });
    return answer;
  }
}

const mayLose = () => sure("Open something else?",
  `This browser keeps nothing here: ${plural(state.wishes.pins.length, "pin")}, bars, tempo, limits and all steps back would be gone. Flute, dials and bans stay. Save the session first if you want to come back.`,
  "Open it, leave them", "Stay here");

/** Go on with a work that this browser keeps. */
async function goOn(id) {
  const found = await kept.take(id);
  if (!found) throw { what: "This work is not kept any more", next_step: "Open its score again" };
  return openSource(null, found);
}

async function show(source, answer, own, keeping) {
  fold();
  Object.assign(state, {
    source: answer.source || source, opened: answer,
    wishes: { ...NO_WISHES, ...own, ...(answer.wishes || {}) },
    past: (answer.past || []).map(whole), future: (answer.future || []).map(whole),
    route: null, at: -1, keptWishes: null,
  });
  setToken(answer.work, again);
  closePanel();
  atStart(false);
  byId("saved").textContent = "";
  shelf.hold(keeping);
  likes.hearAt(keeping?.id && kept.place(keeping.id)?.speed);
  await renew({ music: true, look: false });
}

/** The start page with the kept works, or the music. */
function atStart(start) {
  byId("start").hidden = !start;
  for (const id of ["work", "choices", "fold", "player"]) byId(id).hidden = start;
  for (const id of ["undo", "redo", "save"]) byId(id).hidden = start;
  byId("open").hidden = start;
  document.body.classList.toggle("at-start", start);
  byId("start-back").hidden = !hasWork();
  byId("start-back").textContent = hasWork() ? `Back to ${title()}` : "";
  byId("practise").disabled = byId("record").disabled = byId("compare").disabled = byId("stand").disabled = byId("save").disabled = !hasWork();
  if (start) {
    sound.stop();
    scrollTo(0, 0);
    return shelf.show();
  }
  if (state.route) fitted();
  return null;
}

const whole = (wishes) => ({ ...NO_WISHES, ...wishes });

/** The server has let the score go: open it again under a new token, wishes and all. */
async function again() {
  const answer = await ask("/open", { session: session() });
  setToken(answer.work, again);
  state.opened = { ...state.opened, work: answer.work };
  noteTab();
}

const noteTab = (id = kept.tab().id) => kept.keepTab({ id, token: state.opened.work });

async function openFile(file) {
  calm();
  try {
    const ours = file.name.toLowerCase().endsWith(".json"), most = ours ? MOST_SESSION_BYTES : MOST_BYTES;
    if (file.size > most) throw { what: `${file.name} is ${(file.size / 1024 ** 2).toFixed(1)} MiB long; at most ${most / 1024 ** 2} MiB are read`, next_step: "Export only the flute part, as compressed MusicXML (.mxl)" };
    if (/\.(toml|csv)$/i.test(file.name)) await openOwn(file);
    else if (/\.jsonl$/i.test(file.name)) await openLog(file);
    else if (ours) {
      let read;
      try { read = JSON.parse(await file.text()); }
      catch { throw { place: file.name, what: "this is no session file of gripway", next_step: "Open a file saved by this page, or a MusicXML score" }; }
      await openSource(null, { session: read });
    } else await openSource({ name: file.name, data: base64(new Uint8Array(await file.arrayBuffer())) });
  } catch (problem) { warn(problem); }
}

/** A practice log of this score: what is new in it is kept with the rest. */
async function openLog(file) {
  if (!hasWork()) throw { place: file.name, what: "this is the practice log of a score", next_step: "Open the score first, then this file" };
  const lines = practiceLog.add(await practiceLog.named(), await file.text());
  if (!lines) throw { place: file.name, what: "there is nothing new in it for this score", next_step: "Open a log saved by this page, or one that grew from it" };
  tell(`${plural(lines, "line")} of ${file.name} read.`);
}

/** A file of the person's own: decisions of this score; flute, dials and bans, or readings, for all scores. */
async function openOwn(file) {
  const text = await file.text(), body = { name: file.name, text };
  if (/^\s*\[\[decision\]\]/m.test(text) || /^# Decisions of an edition/.test(text)) return openDecisions(body);
  const tuner = file.name.toLowerCase().endsWith(".csv");
  const { wishes, left = [] } = await ask(tuner ? "/tuner" : "/player", body);
  if (hasWork()) await wished(wishes, tuner ? "The readings of your tuner are read." : "Your player file is read.");
  else kept.keepOwn({ player: { ...kept.own().player, ...wishes } });
  byId("player-read").textContent = `${file.name} is read: its ${tuner ? "readings" : "flute, dials and bans"} hold for what you open.`;
  if (left.length) warn({ place: file.name, what: `the page leaves out ${left.join(", ")}`, next_step: "The rest of the file holds on this page" });
}

/** The grips an editor decided on become pins; places that are pinned already keep their grip. */
async function openDecisions({ name: place, text }) {
  if (!hasWork()) throw { place, what: "these are decisions of a score", next_step: "Open the score first, then this file" };
  const { pins, lost, unpinned, moved } = await ask("/decisions", { wishes: sent({ ...state.wishes, pins: [] }), name: place, text });
  const more = pins.filter((one) => !pinOf(one.note));
  if (more.length) await wished({ pins: [...state.wishes.pins, ...more] }, `${plural(more.length, "decision")} pinned.`);
  const other = pins.filter((one) => pinOf(one.note) && pinOf(one.note).grip !== one.grip).length;
  const told = [
    other ? `${plural(other, "place")} had another pin of yours, which stays` : "", unpinned ? `${unpinned} say only what is marked` : "",
    ...moved, lost.length ? `${lost.length} not found: ${lost.slice(0, 3).join("; ")}${lost.length > 3 ? "; …" : ""}` : "",
  ].filter(Boolean);
  if (told.length || !more.length) warn({ place, what: told.join(". ") || "nothing to pin that is not pinned already" });
}

// ---- wishing

/** Say a wish, and show what it changes. Throws what the server refuses; the wish is then taken back. */
async function wished(change, words = "", atOnce = null) {
  performance.clearMarks("gripway-wish");
  performance.mark("gripway-wish");
  wish(change);
  if (atOnce) {
    music.mark(atOnce());
    requestAnimationFrame(() => since("gripway-pinned"));
  }
  await followed(words);
}

/** Show what the wishes now are; what the server refuses, or the person stops, is taken back whole. */
async function followed(words) {
  const before = seenWishes(), mine = asked + 1;
  try {
    await renew({ music: otherPlaces(before, state.wishes), engrave: otherMusic(before, state.wishes), words });
    if (mine === asked && JSON.stringify(playersOwn(before)) !== JSON.stringify(playersOwn())) kept.keepOwn({ player: playersOwn() });
  } catch (problem) {
    if (mine !== asked) return; // a newer wish holds this one, too
    unwish();
    music.mark(unshowPin());
    showSteps();
    showChoices();
    throw problem.code === "stopped" ? { code: "stopped", what: "Stopped: the last change is taken back", next_step: "The music is as it was" } : problem;
  }
}

const tryWish = (change, words, atOnce = null) => { calm(); return wished(change, words, atOnce).catch(warn); };

/** Another part of the score; the pins of this one wait until it is chosen again. */
async function otherPart(part) {
  await tryWish({ part, bars: null }, "Another part.");
  const waiting = state.wishes.pins.filter((one) => !state.byNote.has(one.note)).length;
  if (waiting) say(`Another part. ${plural(waiting, "pin")} of the other ${waiting === 1 ? "waits" : "wait"} there.`);
}

/** A wish written into a field. What is refused stays in it, with the words beside it. */
async function fieldWish(field, change, words) {
  const text = field.value;
  calm();
  try {
    if (field.validity.badInput) throw { code: "request", what: "this is no number", next_step: field.id === "percent" ? "Write percent, such as 80" : "Write quarter notes a minute, such as 96" };
    await wished(change, words);
  } catch (problem) {
    if (problem.code !== "request") return warn(problem);
    if (!field.validity.badInput) field.value = text;
    showFault(field, [problem.what, problem.next_step].filter(Boolean).join(". "));
  }
  return null;
}

function showFault(field, words) {
  field.setAttribute("aria-invalid", String(Boolean(words)));
  byId(`${field.id}-problem`).textContent = words && words[0].toUpperCase() + words.slice(1);
  byId(`${field.id}-problem`).hidden = !words;
}

async function step(goes, words) {
  const before = state.wishes;
  if (!goes()) return;
  calm();
  await followed(`${words}${stepWords(before, state.wishes)}.`).catch(warn);
}

async function renew({ music: other = false, engrave = other, look = other, words = "" } = {}) {
  const mine = (asked += 1);
  const body = { wishes: sent() };
  if (!other && state.route) body.since = state.route.revision;
  const looking = look ? ask("/look", { wishes: sent() }) : null;
  const early = engrave && !state.route; // nothing is there yet: the music stands first, its grips follow
  if (early) body.at_once = true;
  const drawing = engrave ? drawMusic().then((draw) => (early && mine === asked ? draw() : draw)) : null;
  looking?.catch(() => {});
  drawing?.catch(() => {});
  waits(true);
  let answer;
  try { answer = await busy(ask("/route", body)); } finally { if (mine === asked) waits(false); }
  if (mine !== asked) return;
  if (looking) state.opened = { ...state.opened, ...(await looking), work: state.opened.work };
  if (answer.since !== null && answer.since !== state.route?.revision) return renew({ music: true, engrave: false, words });
  const chosen = place.placeOf(state.at), { back } = place.hold();
  const moved = movedIn(answer), touched = takeRoute(answer), repinned = otherPins(seenWishes(), state.wishes);
  state.at = place.placed(chosen);
  keepSeen();
  calm();
  shelf.remember();
  const draw = await drawing;
  if (!early) await draw?.();
  if (early) music.markFirst();
  else if (touched === null) music.mark();
  else music.mark([...touched, ...repinned, ...hardestBefore, ...state.route.hardest]);
  hardestBefore = [...state.route.hardest];
  showAll(words, moved);
  await back();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { scroll: false });
  learning.wait();
  requestAnimationFrame(() => since("gripway-shown"));
  if (state.at >= 0 && (panelOpen() || isUnfolded())) await showNote(state.at);
  else { fold(); closePanel(); }
  requestAnimationFrame(() => since("gripway-panel"));
  if (mine === asked) (state.route.first ? least : showCurve)(mine); // by nobody awaited
}

/** After the first grips of a long part the least route; where it is stopped, a button for it stands there. */
async function least(mine) {
  try { await renew(); } catch (problem) {
    if (asked !== mine + 1) return; // a newer wish is under way
    byId("summary").append(el("p", {}, el("button", { type: "button", text: "Work out which special fingerings pay", on: { click: () => least(asked) } })));
    if (problem.code !== "stopped") warn(problem);
  }
}

/** The notes that have another grip than before, each once; null where all is new. */
function movedIn({ since, notes }) {
  if (since === null || !state.route) return null;
  const found = notes.filter((note) => state.route.notes[note.index].grip !== note.grip);
  return [...new Map(found.map((note) => [note.id, note])).values()];
}

/** The learning curve comes after the route: it may take longer, and a newer wish has its own. */
async function showCurve(mine) {
  try {
    const answer = await ask("/curve", { wishes: sent() });
    if (mine === asked) learning.showCurve(answer);
  } catch (problem) {
    if (problem.code !== "stopped" && mine === asked) byId("curve-part").hidden = true;
  }
}

/** What is told of the route goes with the last answer: it says so while the next one is awaited. */
const waits = (on) => ["summary", "rest"].forEach((id) => byId(id).setAttribute("aria-busy", String(on)));

/** How long ago the last wish was said, for the browser's own timeline: read by the bench. */
const since = (what) => performance.getEntriesByName("gripway-wish").length && performance.measure(what, "gripway-wish");

let hardestBefore = [];

/** Ask for the music, the chunk in view first; gives what draws it. */
async function drawMusic(chunk = 0) {
  const [wishes, width_mm] = [sent(), (drawnWidth = music.widthMm())];
  const fetch = (place) => ask("/engraving", { wishes, width_mm, chunk: place });
  const sheet = await fetch(chunk);
  return () => music.draw(sheet, fetch);
}

/** Where the panel stands beside the music of a low page, the music is drawn for the width that is left. */
const fitted = () => (music.widthMm() === drawnWidth ? null : redraw());

async function redraw() {
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
async function onPaper() {
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

async function busy(promise, now = "") {
  const timer = setTimeout(() => {
    const slow = state.wishes.limits.length > 0;
    const words = now ? now : slow ? "Working within your limits: some seconds, not to be stopped half-way…" : "Working…";
    if (working(words)) return; // a dialog stands before the page and says it
    byId("busy-words").textContent = words;
    byId("stop").hidden = slow || Boolean(now);
    byId("busy").hidden = false;
  }, now ? 0 : 600);
  try { return await promise; } finally { clearTimeout(timer); byId("busy").hidden = true; working(""); }
}

// ---- showing

function showAll(words, moved) {
  showChoices();
  showSteps();
  byId("piece").textContent = byId("piece").title = title();
  document.title = `${title()} – gripway`;
  const { route } = state;
  const gaps = route.notes.filter((note) => note.grip === null).length;
  byId("summary").replaceChildren(
    el("p", { class: "answer", text: route.first ? "For now, grips you need not learn. Which special fingerings pay is worked out over the whole part." : said(route.sentence) }),
    route.first ? "" : el("p", { class: "counts", text: countWords() }),
    el("p", {}, el("strong", { text: `${route.instrument.title}` }), ` · effort ${route.effort.toFixed(2)}`,
      route.status === "optimal" ? ` (${leastWords()})` : "", state.wishes.tempo === null ? "" : ", to compare at this tempo only: slower, long notes count more for their tuning", tempo.ownTempo(),
      state.wishes.pins.length ? ` · ${plural(state.wishes.pins.length, "pin")}` : "", state.wishes.bans.length ? ` · ${plural(state.wishes.bans.length, "ban")}` : "", state.wishes.cents.length ? ` · ${plural(state.wishes.cents.length, "reading")} of your tuner` : ""),
    gaps ? el("p", { class: "problem", text: `${plural(gaps, "note")} without a grip, marked with ?: choose one to see why.` }) : "",
    route.limits.length ? el("ul", { class: "limit-lines" }, route.limits.map((line) => el("li", { text: line }))) : "",
    state.wishes.bans.length ? el("p", { class: "bans" }, "Banned: ", state.wishes.bans.map((ban, k) => el("button", { type: "button", class: "chip", text: `${ban.pitch ? name(ban.pitch) : ban.kind} ${shortGrip(ban.grip)} ×`, "aria-label": `Allow ${ban.pitch ? name(ban.pitch) : ban.kind} ${shortGrip(ban.grip)} again`, on: { click: () => tryWish({ bans: state.wishes.bans.filter((_, other) => other !== k) }, "Allowed again.") } }))) : "",
  );
  workList.showWorkList();
  overview.showOverview();
  showHardest();
  byId("remarks-part").hidden = !route.remarks.length;
  byId("remarks").replaceChildren(...route.remarks.map((remark) => el("li", { text: `${remark.bar ? `Bar ${remark.bar}: ` : ""}${said(remark.text)}` })));
  if (typeof words === "function") words(moved ?? []);
  else if (words) say(moved?.length ? `${words} ${plural(moved.length, "note")} ${moved.length > 1 ? "have" : "has"} another grip, effort ${route.effort.toFixed(2)}.` : words);
}

/** `3 of 142 notes want a special fingering at ♩ = 126, beside 2 of your pins and 4 notes that follow them.` */
function countWords() {
  const at = tempo.tempoWords() && ` ${tempo.tempoWords()}`;
  const special = state.route.notes.filter((note) => note.grip !== null && !note.usual);
  const others = special.filter((note) => !pinOf(note.id)), pinned = special.length - others.length;
  const key = JSON.stringify(sent({ ...state.wishes, pins: [] }));
  if (!state.wishes.pins.length) withoutPins = { key, special: new Set(special.map(({ index }) => index)) };
  const known = withoutPins.key === key, follow = known ? others.filter(({ index }) => !withoutPins.special.has(index)).length : 0;
  const wanted = others.length - follow, after = `that ${follow > 1 ? "follow" : "follows"} ${pinned ? "them" : "your pins"}`;
  const beside = listed([pinned ? `${pinned} of your pins` : "", follow ? `${plural(follow, "note")} ${after}` : ""].filter(Boolean));
  return `${wanted || "None"} of ${plural(state.route.count, "note")} ${wanted > 1 ? "want" : "wants"} a special fingering${at}${beside && `, beside ${beside}`}${known || !wanted ? "" : "; some may follow your pins"}.`;
}

let withoutPins = { key: null, special: new Set() }; // the indices of the notes that want one where nothing is pinned

/** What tells two works of one title apart: the part, the bars and the tempo. */
function aboutWork() {
  const { opened, wishes } = state, part = opened.parts.find(({ number }) => number === (wishes.part || opened.part));
  return [opened.parts.length > 1 ? part?.name : state.source?.notes || title().includes(opened.name) ? "" : opened.name, wishes.bars ? `bars ${wishes.bars}` : "", tempo.tempoWords().replace(/^at /, "")].filter(Boolean).join(", ");
}

/** What the effort is the least of. */
function leastWords() {
  const { pins, learn } = state.wishes, pinned = pins.some(({ note }) => state.byNote.has(note)) ? " with your pins" : "";
  if (state.route.limits.length) return `the least within the limits${pinned && " and with your pins"}`;
  if (learn !== null) return `the least with at most ${plural(learn, "new grip")}${pinned && " and your pins"}`;
  return `the least there is${pinned}`;
}

function showSteps() {
  byId("undo").disabled = !state.past.length;
  byId("redo").disabled = !state.future.length;
}

const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

function showHardest() {
  const { route } = state;
  if (!route.hardest.length) return byId("hardest").replaceChildren(el("li", { class: "quiet none", text: "No change is hard at this tempo." }));
  return byId("hardest").replaceChildren(...route.hardest.map((to) => {
    const [before, note, change] = [route.notes[to - 1], route.notes[to], route.changes.get(to)];
    const words = `${name(before.pitch)} to ${name(note.pitch)}`;
    return el("li", {}, el("button", { type: "button", on: { click: () => choose(to, { focus: true }) } },
      el("strong", { text: words }), el("span", { class: "where", text: note.bar ? ` bar ${note.bar}` : "" })), el("div", { class: "change-words" }, ...changeWords(change)));
  }));
}

function showChoices() {
  const { wishes, opened } = state;
  const part = byId("part");
  part.replaceChildren(...opened.parts.map((one) => el("option", { value: one.number, text: one.name })));
  part.value = wishes.part || opened.part;
  part.closest("label").hidden = opened.parts.length < 2;
  for (const id of ["bars", "tempo", "percent"]) showFault(byId(id), "");
  byId("bars").value = wishes.bars || "";
  tempo.showTempo();
}

// ---- one note

async function choose(index, { focus = false, panel = true, enter = false } = {}) {
  state.at = index;
  const { id } = state.route.notes[index];
  await music.bring(id);
  if (state.at !== index) return null;
  if (panel && (enter || panelOpen() || !narrow())) waitingPanel(state.route.notes[index]);
  music.select(id, { focus });
  overview.showPlace();
  place.keepPlace();
  if (!panel) return fold();
  await Promise.all([showNote(index), fitted()]);
  music.reveal(id);
  if (enter) (byId("panel").querySelector('[data-key^="pin"]') || byId("panel").querySelector('[data-key="close"]'))?.focus();
  return null;
}

/** On a narrow page the grips unfold below the music, and the panel comes only where it is asked for. */
const narrow = () => stand.onStand() || matchMedia("(max-width: 899px)").matches;

/** All there is to say of the chosen note, where only its grips are unfolded. */
async function more() {
  waitingPanel(state.route.notes[state.at]);
  await Promise.all([showNote(state.at), fitted()]);
  byId("panel").querySelector('[data-key="close"]')?.focus();
  music.reveal(state.route.notes[state.at].id);
}

/** The next place of the work list, or of one kind. */
async function walk(by, kind, { focus = true } = {}) {
  const index = workList.step(by, kind);
  if (index === null) return say("There is none.");
  return choose(index, { focus });
}

async function showNote(index) {
  const mine = (noteAsked += 1);
  try {
    const answer = await ask("/note", { wishes: sent(), index });
    if (mine === noteAsked && state.at === index) {
      if (panelOpen()) showPanel(answer);
      unfold(answer);
    }
    return answer;
  } catch (problem) { if (problem.code !== "stopped") warn(problem); }
  return null;
}

const stepNote = (by) => choose(state.byNote.get(music.neighbour(state.route.notes[state.at].id, by))[0]);

const pin = (note, grip) => {
  const others = state.wishes.pins.filter((one) => one.note !== note.id);
  const gone = pinOf(note.id)?.grip === grip.grip;
  return tryWish({ pins: gone ? others : [...others, { note: note.id, grip: grip.grip }] }, gone ? `Taken back: ${pinWords(note)}.` : (moved) => tellPinned(note, moved.filter(({ id }) => id !== note.id)), gone ? null : () => showPin(note, grip));
};

/** What a pin has done: seen where other notes go with it. */
function tellPinned(note, moved) {
  const words = `Pinned ${placesOf([note])}`;
  if (moved.length) tell(`${words}; ${placesOf(moved)} ${moved.length > 1 ? "follow" : "follows"} it.`);
  else say(`${words}.`);
}

const ban = (note, grip) => {
  const made = { pitch: note.pitch, grip: grip.row_grip };
  const pins = state.wishes.pins.filter((one) => !(one.note === note.id && one.grip === grip.grip));
  return tryWish({ bans: [...state.wishes.bans, made], pins }, `${name(note.pitch)} ${grip.short} banned.`);
};

const allow = (note, grip) => tryWish({ bans: state.wishes.bans.filter((one) => !(one.grip === grip.grip && one.pitch === note.pitch)) }, "Allowed again.");

const indexOf = (id) => {
  const times = state.byNote.get(id);
  return times.includes(state.at) ? state.at : times[0];
};

/** Away with the panel and the unfolded grips; the list of places stands there again. */
async function backToNote() {
  const { back } = place.hold();
  closePanel();
  fold();
  await fitted();
  await back();
  if (state.at >= 0) music.select(state.route.notes[state.at].id, { focus: true });
}

const unpin = (one) => {
  const times = state.byNote.get(one.note);
  return tryWish({ pins: state.wishes.pins.filter((other) => other !== one) }, times ? `Taken back: ${pinWords(state.route.notes[times[0]])}.` : "Pin taken away.");
};

/** `pin of F♯5, bar 12` */
const pinWords = (note) => `pin of ${name(note.pitch)}${note.bar ? `, bar ${note.bar}` : ""}`;

/** What a step goes between, in words: a pin set or taken away, else nothing. */
function stepWords(before, after) {
  const only = (a, b) => a.pins.filter((one) => !b.pins.some((other) => other.note === one.note && other.grip === one.grip));
  const changed = [...only(before, after), ...only(after, before)], times = changed.length && state.byNote.get(changed[0].note);
  if (!times || new Set(changed.map(({ note }) => note)).size > 1) return "";
  return `: ${pinWords(state.route.notes[times[0]])}`;
}

/** The same grip for every note of the same figure. */
async function pinAll(one) {
  try {
    const { notes } = await ask("/same", { wishes: sent(), note: one.note });
    const more = notes.filter((id) => !pinOf(id)).map((note) => ({ note, grip: one.grip }));
    if (!more.length) return say("No other note has this figure without a pin.");
    return await tryWish({ pins: [...state.wishes.pins, ...more] }, `${plural(more.length, "more note")} pinned.`);
  } catch (problem) { return warn(problem); }
}

// ---- keeping

/** After a reload the tab goes on with its work; the server lets the old copy go. */
async function restore() {
  const { id, token } = kept.tab();
  if (!id) return atStart(true);
  setToken(token || "", null);
  try { await goOn(id); } catch (problem) {
    await atStart(true);
    if (problem.code) warn(problem);
  }
  return null;
}

function saveSession() {
  const named = `${fileStem()}-gripway.json`;
  download(new Blob([JSON.stringify(session())], { type: "application/json" }), named);
  tellSaved([named]);
}

/** Save a file; with a marked score the list of its marks, if it has any. */
async function saveFile(kind) {
  const saved = [];
  for (const each of kind === "musicxml" ? [kind, "marks"] : [kind]) {
    const { blob, name: ending } = await busy(fetchFile(`/download/${each}`, { wishes: sent() }), `Making the file…`);
    if (!blob.size) continue;
    saved.push(`${fileStem()}-${ending}`);
    download(blob, saved.at(-1));
  }
  calm();
  tellSaved(saved);
}

// ---- beginning

function wire() {
  const on = (id, event, does) => byId(id).addEventListener(event, does);
  const pick = () => byId("file").click();
  on("open", "click", () => atStart(true));
  on("start-back", "click", () => atStart(false));
  on("start-open", "click", pick);
  on("file", "change", async (event) => { const [file] = event.target.files; if (file) await openFile(file); event.target.value = ""; });
  for (const id of ["write", "start-write"]) on(id, "click", dialogs.writeNotes);
  on("start-example", "click", () => openSource(dialogs.example).catch(warn));
  for (const id of ["trill", "start-trill"]) on(id, "click", trills);
  on("undo", "click", () => step(stepBack, "Taken back"));
  on("redo", "click", () => step(stepForward, "Done again"));
  dialogs.fillSaveMenu();
  on("stand", "click", stand.toggle);
  on("practise", "click", () => practiseToday().catch(warn));
  on("record", "click", () => recordGrip());
  on("compare", "click", dialogs.compare);
  on("help", "click", dialogs.help);
  on("flute", "click", () => dialogs.fluteAndDials());
  on("limits", "click", dialogs.limits);
  on("part", "change", (event) => otherPart(event.target.value));
  on("bars", "change", (event) => fieldWish(event.target, { bars: event.target.value.trim() || null }, "Other bars."));
  tempo.wire(fieldWish);
  on("fold", "click", (event) => event.target.setAttribute("aria-expanded", String(event.target.getAttribute("aria-expanded") !== "true")));
  on("choices", "submit", (event) => event.preventDefault());
  on("show", "change", () => music.mark());
  on("size", "change", redraw);
  place.wire();
  player.wire();
  overview.wire();
  on("rest-help", "click", dialogs.help);
  likes.wire();
  byId("more-menu").addEventListener("click", (event) => event.target.closest("button") && byId("more-menu").hidePopover(), true);
  addEventListener("beforeprint", near.fillAll);
  on("stop", "click", () => ask("/stop").catch(() => {}));
  keys.wire();
  addEventListener("dragover", (event) => { event.preventDefault(); byId("drop").classList.add("over"); });
  addEventListener("dragleave", () => byId("drop").classList.remove("over"));
  addEventListener("drop", (event) => { event.preventDefault(); byId("drop").classList.remove("over"); const [file] = event.dataTransfer.files; if (file) openFile(file); });
  let resizing = 0;
  addEventListener("resize", () => {
    clearTimeout(resizing);
    resizing = setTimeout(async () => {
      if (hasWork() && !byId("work").hidden && music.widthMm() !== drawnWidth) {
        await fitted();
        if (stand.onStand()) await near.bringAll().then(near.tidy, warn);
        await place.hold().back();
      }
      place.settled();
    }, 250);
  });
}

async function begin() {
  likes.restore();
  music.whenChosen((id) => choose(indexOf(id)), (problem) => problem.code !== "stopped" && warn(problem));
  whenPanelAsked({ help: dialogs.help, close: backToNote, choose: (index) => choose(index), step: stepNote, walk: (by, kind) => walk(by, kind, { focus: false }), count: workList.count, pin, ban, allow, record: (note, grip) => recordGrip(note.pitch, grip.row_grip) });
  whenRecorded({ accept: (cents, words) => wished({ cents }, words) });
  keys.whenAsked({ choose, indexOf, pin, ban, listen: player.listen, backToNote, stand: stand.toggle, walk, save: saveSession, onPaper, undo: () => step(stepBack, "Taken back"), redo: () => step(stepForward, "Done again") });
  shelf.whenAsked({ goOn, about: aboutWork, saved: noteTab });
  learning.whenAsked({
    learn: (number) => tryWish({ learn: number }, number === null ? "As many grips to learn as pay." : `At most ${plural(number, "grip")} to learn.`),
  });
  dialogs.whenAsked({
    open: (source) => openSource(source), wish: wished, choose: (index) => choose(index, { focus: true }),
    keep: () => { state.keptWishes = sent(); say("Kept for comparing."); },
    saveSession, saveFile, onPaper, files: FILES,
  });
  whenUnfolded({
    pick: pin, presses: true, group: "tap a card to pin it", verb: (grip) => (grip.pinned ? "Unpin" : "Pin"),
    acts: [["Why, and more", "unfold-more", more], ["Close", "unfold-close", backToNote]],
  });
  stand.wire({ listen: player.listen, close: backToNote, enter: closePanel, redraw, failed: warn, seen: () => state.at >= 0 && music.reveal(state.route.notes[state.at].id) });
  overview.whenAsked({ choose: (index) => choose(index) });
  workList.whenAsked({ choose: (index) => choose(index, { focus: true }), pinAll, unpin, allow: (ban) => tryWish({ bans: state.wishes.bans.filter((one) => one !== ban) }, "Allowed again.") });
  closePanel();
  wire();
  try { state.known = await flutes(); } catch { /* asked for again when it is needed */ }
  await facesThere(); // what is measured is measured in them
  await restore();
  document.documentElement.dataset.ready = "yes";
}

/** The text faces; one that cannot be had leaves the words in a face of the system. */
function facesThere() {
  const faces = ["400 1rem 'Gripway Sans'", "400 1rem 'Gripway Serif'", "italic 1rem 'Gripway Serif'", "1rem 'Gripway Signs'"];
  return Promise.allSettled(faces.map((face) => document.fonts.load(face, "a♯")));
}

begin();
export { dialog };
