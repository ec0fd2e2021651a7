// One note: its grip, why, the changes around it, and every other grip with what it would take.

import { el, byId, picture } from "../dom.js";
import { state } from "../state.js";
import { cents, finger, KIND, LATE, loadWord, movers, name, said, SOURCE } from "../words.js";

const WALKS = [["hard", "hard change"], ["unusual", "unusual"]];
const ORDINAL = ["1st", "2nd", "3rd"];
let act = {};
export const whenAsked = (acts) => (act = acts);

/** No note is looked at: the place has the list of what to look at again; on a narrow page that stands below. */
export function closePanel() {
  const panel = byId("panel");
  panel.classList.remove("filled");
  delete panel.dataset.id;
  byId("note").replaceChildren();
  byId("rest").hidden = false;
  panel.setAttribute("aria-labelledby", "work-title");
  document.body.classList.remove("with-panel");
}

function fill(...content) {
  const panel = byId("panel");
  panel.classList.add("filled");
  byId("rest").hidden = true;
  byId("note").replaceChildren(...content);
  panel.setAttribute("aria-labelledby", "panel-title");
}

export const panelOpen = () => byId("panel").classList.contains("filled");

export function waitingPanel(note) {
  const panel = byId("panel");
  document.body.classList.add("with-panel");
  if (panel.dataset.id !== note.id) fill(head(note, []), el("p", { class: "quiet", text: "Looking up its grips…" }));
  panel.dataset.id = note.id;
}

export function showPanel(answer) {
  const panel = byId("panel");
  const held = panel.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  const { note, grips, barred, pinned, times } = answer;
  panel.dataset.id = note.id;
  fill(
    head(note, times),
    chosen(note, pinned, answer.pin_takes),
    ...flags(note),
    el("h3", { text: grips.length > 1 ? "Its grips, the least effort first" : "Its grips" }),
    grips.some((grip) => grip.cents === null) ? el("p", { class: "quiet", text: "Where no cents stand they are unknown." }) : "",
    el("ol", { class: "grips" }, grips.map((grip, place) => entry(note, grip, place, pinned))),
    ...(barred.length ? [others(note, barred)] : []),
    el("h3", { text: "The changes around it" }),
    around(note),
    el("p", { class: "quiet" }, el("button", { type: "button", class: "link", text: "What do these words mean?", on: { click: () => act.help() } })),
  );
  if (held) (panel.querySelector(`[data-key="${CSS.escape(held)}"]`) || panel).focus({ preventScroll: true });
}

function head(note, times) {
  const where = [note.bar ? `bar ${note.bar}` : "", note.dynamic, note.grace ? "grace note" : ""].filter(Boolean).join(", ");
  return el(
    "div",
    { class: "panel-head" },
    el("h2", { id: "panel-title" }, el("span", { class: "pitch", text: name(note.pitch) }), el("span", { class: "where", text: where })),
    el("div", { class: "steps", role: "group", "aria-label": "Other notes" },
      el("button", { type: "button", text: "◂", "aria-label": "Note before", data: { key: "before" }, on: { click: () => act.step(-1) } }),
      el("button", { type: "button", text: "▸", "aria-label": "Note after", data: { key: "after" }, on: { click: () => act.step(1) } })),
    el("button", { type: "button", text: "Close", data: { key: "close" }, on: { click: () => act.close() } }),
    el("div", { class: "walks", role: "group", "aria-label": "Places of one kind, in the order of the music" }, WALKS.map(([kind, words]) => {
      const found = act.count(kind), button = (by, sign, which) => el("button", { type: "button", text: sign, disabled: !found, "aria-label": `${which} ${words}`, data: { key: `${which} ${kind}` }, on: { click: () => act.walk(by, kind) } });
      return el("span", { class: "walk" }, button(-1, "◂", "Previous"), el("span", { text: words }), button(1, "▸", "Next"));
    })),
    times.length > 1
      ? el("div", { class: "times", role: "group", "aria-label": "Which time it is played" },
          times.map((index, k) => el("button", {
            type: "button", text: `${ORDINAL[k] || `${k + 1}th`} time`, "aria-pressed": String(index === note.index),
            data: { key: `time${k}` }, on: { click: () => act.choose(index) },
          })))
      : "",
  );
}

function chosen(note, pinned, takes) {
  if (note.grip === null) return el("p", { class: "problem", text: `No grip: ${note.flags.join("; ") || note.why}` });
  if (pinned) return el("p", { class: "why", text: takes > 0 ? `You pinned this grip: the whole passage takes ${takes.toFixed(2)} more effort for it, its repeats and all that follows it reckoned in.` : "You pinned this grip: it is the one of least effort, too." });
  return el("p", { class: "why", text: said(sentence(note.why)) });
}

const sentence = (text) => (text ? minus(text[0].toUpperCase() + text.slice(1)) + (text.endsWith(".") ? "" : ".") : "");

/** One sign for less than nothing. */
const minus = (text) => text.replace(/(?<![\w.])-(?=\d)/g, "−");

const CALM = /^(trill|tremolo) with |: lip it$/; // what moves, and how fast; what the lip reaches: no warning

const flags = (note) => (note.grip !== null && note.flags.length ? [el("ul", { class: "flags" }, note.flags.map((flag) => el("li", { class: CALM.test(flag) ? "" : "warn", text: said(minus(flag)) })))] : []);

function around(note) {
  const rows = [["Into it", state.route.changes.get(note.index)], ["Out of it", state.route.changes.get(note.index + 1)]];
  const told = rows.filter(([, change]) => change);
  return el("dl", { class: "changes" }, told.map(([title, change]) => [el("dt", { text: title }), el("dd", {}, ...changeWords(change))]));
}

export function changeWords(change) {
  const words = [movers(change.movers)];
  if (Object.keys(change.movers).length) {
    const late = change.load > LATE ? " late" : "", touch = state.route.notes[change.to].slurred ? " slurred" : "";
    words.push(el("span", { class: `load${late}`, text: `needs ${Math.round(change.needed_ms)} ms${touch}, has ${Math.round(change.available_ms)} ms, load ${change.load.toFixed(2)}${late && `, ${loadWord(change.load)}`}` }));
  }
  if (change.lead) words.push(el("span", { text: `let the ${finger(change.lead)} lead` }));
  if (change.on_the_way.length) words.push(el("span", { text: `may sound on the way: ${change.on_the_way.map(name).join(", ")}` }));
  return words.map((part) => (typeof part === "string" ? el("span", { text: part }) : part));
}

function entry(note, grip, place, pinned) {
  const title = `${name(note.pitch)} ${grip.short}`;
  const more = grip.effort_more > 0 ? `about +${grip.effort_more.toFixed(2)} effort` : pinned ? "least effort" : "";
  const pin = el("button", {
    type: "button", text: grip.pinned ? "Unpin" : "Pin", "aria-pressed": String(grip.pinned), data: { key: `pin${place}` },
    "aria-label": grip.pinned ? `Unpin ${title}` : `Pin ${title}`, on: { click: () => act.pin(note, grip) },
  });
  const ban = el("button", {
    type: "button", text: "Ban", "aria-label": `Ban ${title}`, data: { key: `ban${place}` }, on: { click: () => act.ban(note, grip) },
  });
  const record = grip.kind === "standard" ? "" : el("button", {
    type: "button", text: "Record", "aria-label": `Record ${title}`, data: { key: `record${place}` }, on: { click: () => act.record(note, grip) },
  });
  return el(
    "li",
    { class: `grip${grip.chosen ? " is-chosen" : ""}`, "aria-current": grip.chosen ? "true" : undefined },
    picture(grip.picture),
    el("div", { class: "grip-words" },
      el("p", { class: "grip-name" }, el("strong", { text: grip.short }), el("span", { class: "unseen", text: `. ${grip.picture.alt}` })),
      el("p", { class: "grip-facts" },
        el("span", { class: "badge", text: KIND[grip.kind] || grip.kind }),
        grip.chosen ? el("span", { class: "badge strong", text: grip.pinned ? "pinned here" : "chosen" }) : "",
        more ? el("span", { text: more }) : ""),
      el("p", { class: "grip-facts" }, [["to it", grip.load_into], ["from it", grip.load_out]].filter(([, load]) => load !== null).map(([side, load]) => el("span", { class: load > LATE ? "load late" : "", text: `${side}: ${loadWord(load)}` }))),
      el("p", { class: "grip-facts", text: [grip.cents === null ? "" : `${cents(grip.cents, grip.cents_spread)} in ordinary playing`, grip.cents === null ? "" : SOURCE[grip.cents_source] ?? grip.cents_known, grip.response].filter(Boolean).join(" · ") }),
      el("details", {}, el("summary", { "aria-label": `More about ${title}`, data: { key: `more${place}` }, text: "More" }), facts(grip)),
    ),
    el("div", { class: "grip-acts" }, pin, ban, record),
  );
}

function facts(grip) {
  const rows = [
    ["Good for", grip.use],
    ["Against the standard grip", grip.cents_vs_standard === null ? "" : cents(grip.cents_vs_standard)],
    ["Where it comes from", grip.lineage],
    ["Watch", minus(grip.flags.join("; "))],
    ["Known from", grip.sources.join("; ")],
    ["How sure", grip.confidence],
  ].filter(([, value]) => value);
  return el("dl", {}, rows.map(([key, value]) => [el("dt", { text: key }), el("dd", { text: value })]));
}

function others(note, barred) {
  return el(
    "details",
    { class: "barred", open: barred.some((grip) => grip.why_not === "banned") },
    el("summary", { text: `Not to choose from here: ${barred.length}`, data: { key: "barred" } }),
    el("ul", {}, barred.map((grip, place) => el("li", {},
      el("strong", { text: grip.grip }), ` ${KIND[grip.kind] || grip.kind} — ${grip.why_not} `,
      grip.why_not === "banned"
        ? el("button", { type: "button", text: "Allow again", "aria-label": `Allow ${grip.grip} again`, data: { key: `allow${place}` }, on: { click: () => act.allow(note, grip) } })
        : ""))),
  );
}
