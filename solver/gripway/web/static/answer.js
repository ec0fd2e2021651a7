// What an answer says above, below and beside the music.

import { byId, el, say } from "./dom.js";
import * as overview from "./music/overview.js";
import { title } from "./names.js";
import { changeWords } from "./panel/panel.js";
import * as workList from "./panel/work_list.js";
import { pinOf, sent, state } from "./state.js";
import { showChoices, showSteps } from "./wishing/fields.js";
import * as tempo from "./wishing/tempo.js";
import { barsOf, howToRead, listed, name, plural, said, shortGrip } from "./words.js";

let act = {};
/** `choose` a note by its index, `allow` a ban's grip again. */
export const whenAsked = (acts) => (act = acts);

export function showAll(words, moved) {
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
    el("div", { class: "on-demands" }, more("How to read the grips", howToRead(writtenGrips())), more("How much is that effort?", ...effortScale())),
    gaps ? el("p", { class: "problem", text: `${plural(gaps, "note")} without a grip, marked with ?: choose one to see why.` }) : "",
    route.limits.length ? el("ul", { class: "limit-lines" }, route.limits.map((line) => el("li", { text: line }))) : "",
    state.wishes.bans.length ? el("p", { class: "bans" }, "Banned: ", state.wishes.bans.map((ban) => el("button", { type: "button", class: "chip", text: `${ban.pitch ? name(ban.pitch) : ban.kind} ${shortGrip(ban.grip)} ×`, "aria-label": `Allow ${ban.pitch ? name(ban.pitch) : ban.kind} ${shortGrip(ban.grip)} again`, on: { click: () => act.allow(ban) } }))) : "",
  );
  workList.showWorkList();
  overview.showOverview();
  showHardest();
  showTrills();
  byId("key-touches").textContent = howToRead(writtenGrips());
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
export function aboutWork() {
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

/** Words that unfold where one asks for them. */
const more = (title, ...content) => el("details", { class: "on-demand" }, el("summary", { text: title }), el("p", {}, content));

/** Every grip that is written out on the page or on paper. */
function writtenGrips() {
  const { notes, learn } = state.route;
  const pinned = notes.filter(({ id }) => pinOf(id)), shaken = notes.filter(({ trill }) => trill);
  return [...learn.map(({ grip }) => shortGrip(grip)), ...[...pinned, ...shaken].map(({ short }) => short ?? ""), ...shaken.map(({ trill }) => trill.short)];
}

/** What the effort is to be measured by: one late change, and the part with no grip to learn, once the learning curve is there. */
const effortScale = () => [`A change that is just in time takes ${state.known?.just_in_time?.toFixed(2) ?? "about a quarter"}, one that is clearly too slow for the tempo about 1. `, el("span", { id: "effort-standard" })];

/** Written trills, for paper. */
function showTrills() {
  const found = workList.trills();
  byId("trills-part").hidden = !found.length;
  byId("trills").replaceChildren(...found.map(({ title: words, detail, places }) => {
    const bars = barsOf(places.map((index) => state.route.notes[index]));
    return el("li", {}, el("strong", { text: words }), el("span", { class: "where", text: bars && ` ${bars}` }), el("div", { class: "change-words", text: detail }));
  }));
}

function showHardest() {
  const { route } = state;
  if (!route.hardest.length) return byId("hardest").replaceChildren(el("li", { class: "quiet none", text: "No change is hard at this tempo." }));
  return byId("hardest").replaceChildren(...route.hardest.map((to) => {
    const [before, note, change] = [route.notes[to - 1], route.notes[to], route.changes.get(to)];
    const words = `${name(before.pitch)} to ${name(note.pitch)}`;
    return el("li", {}, el("button", { type: "button", on: { click: () => act.choose(to) } },
      el("strong", { text: words }), el("span", { class: "where", text: note.bar ? ` bar ${note.bar}` : "" })), el("div", { class: "change-words" }, ...changeWords(change)));
  }));
}
