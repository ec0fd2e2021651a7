// The dialogs: notes as a line, flute and dials, limits, compare, help; and the menu Save.

import { byId, dialog, el, problemLine, showProblem, warn } from "./dom.js";
import { ask } from "./server.js";
import { sent, state } from "./state.js";
import { cents, GLOSSARY, KEYS, name } from "./words.js";

let act = {};
export const whenAsked = (acts) => (act = acts);

const EXAMPLE = `f (A5 B5 C#6 D6) (E6 F#6 G#6 A6) (G#6 F#6 E6 F#6) (G#6 A6 G#6 F#6) |
(E6 C#6 A5 C#6) (E6 F#6 G#6 E6) (F#6 D6 B5 D6) (F#6 G#6 A6 F#6) |
(G#6 A6 G#6 F#6) (E6 F#6 G#6 A6) (B6 A6 G#6 F#6) (E6 D6 C#6 B5) |
(C#6 E6 A5 E6) (C#6 E6 A6 E6) F#6 A6 G#6 B6 A6:1/4`;
export const example = { notes: EXAMPLE, unit: "1/16", tempo: 92 };

export function writeNotes() {
  const source = state.source?.notes ? state.source : { notes: "", unit: "1/16", tempo: 96 };
  const text = el("textarea", { id: "notes-text", rows: 6, spellcheck: "false", autocomplete: "off", autocapitalize: "off", "aria-describedby": "notes-how", value: source.notes });
  const unit = el("select", { id: "notes-unit" }, ["1/4", "1/8", "1/12", "1/16", "1/32"].map((value) => el("option", { value, text: value })));
  unit.value = source.unit;
  const tempo = el("input", { id: "notes-tempo", type: "number", min: 5, max: 500, step: "any", value: source.tempo });
  const problem = problemLine();
  const form = el(
    "form",
    { class: "stack", on: { submit: async (event) => {
      event.preventDefault();
      problem.hidden = true;
      try {
        const source = { notes: text.value, unit: unit.value, tempo: Number(tempo.value) || 96 };
        if (await act.open(source)) box.close();
      } catch (refusal) { showProblem(problem, refusal); text.focus(); }
    } } },
    el("label", { class: "over" }, "Notes", text),
    el("p", { id: "notes-how", class: "quiet", text: "A letter, # or b, an octave (C4 is middle C), with blanks between: E6 F#6 Bb5. A length goes behind a colon: E6:1/4. r is a rest, round brackets are slurs, pp p mp mf f ff hold until the next one, | means nothing; key:A, tr A6, {F6} A6 (grace notes) and |: :| (a repeat) are read, too." }),
    el("div", { class: "row" }, el("label", {}, "Notes without a length last ", unit), el("label", {}, "Quarter notes a minute ", tempo)),
    problem,
    el("div", { class: "row" }, el("button", { class: "main-action", text: "Find the grips" }),
      el("button", { type: "button", text: "Put an example in", on: { click: () => { text.value = example.notes; unit.value = "1/16"; text.focus(); } } })),
  );
  const box = dialog("Write notes as a line", form, { wide: true, name: "notes" });
  text.focus();
}

/** The flute and what counts; a wish that was refused shows what holds now, with the words of the refusal. */
export function fluteAndDials(refused = null) {
  const { flutes, dials } = state.known;
  const now = () => state.wishes.flute || state.opened.flute;
  const partsBox = el("fieldset");
  const showParts = () => {
    const parts = flutes.find((flute) => flute.id === now()).parts;
    partsBox.replaceChildren(
      el("legend", { text: "What your flute has besides" }),
      ...(parts.length ? parts.map((part) => el("label", { class: "tick" },
        el("input", { type: "checkbox", checked: state.wishes.parts.includes(part.id), on: { change: async (event) => {
          const kept = state.wishes.parts.filter((id) => id !== part.id);
          await turn({ parts: event.target.checked ? [...kept, part.id].sort() : kept });
          showParts();
        } } }), ` ${part.title}`)) : [el("p", { class: "quiet", text: "Nothing else that changes its grips." })]),
    );
  };
  const problem = problemLine();
  const turn = async (change) => {
    problem.hidden = true;
    try { await act.wish(change, "The flute is changed."); } catch (refusal) {
      box.close();
      fluteAndDials(refusal);
    }
  };
  const choice = el("fieldset", {}, el("legend", { text: "Flute" }), flutes.map((flute) => el("label", { class: "tick" },
    el("input", { type: "radio", name: "flute", value: flute.id, checked: flute.id === now(), on: { change: async () => { await turn({ flute: flute.id, parts: [] }); showParts(); } } }), ` ${flute.title}`)));
  const sliders = el("fieldset", {}, el("legend", { text: "Dials: what counts for you" }), dials.map((dial) => {
    const value = () => state.wishes.dials[dial.name] ?? dial.default;
    const shown = el("output", { text: value().toFixed(2) });
    return el("label", { class: "dial" }, el("span", {}, el("strong", { text: dial.name }), ` ${dial.what}`),
      el("input", { type: "range", min: dial.least, max: dial.most, step: 0.25, value: value(), "aria-label": `${dial.name}: ${dial.what}`, on: {
        input: (event) => (shown.textContent = Number(event.target.value).toFixed(2)),
        change: (event) => {
          const turned = { ...state.wishes.dials, [dial.name]: Number(event.target.value) };
          if (turned[dial.name] === dial.default) delete turned[dial.name];
          turn({ dials: turned });
        } } }), shown);
  }));
  const kept = el("label", { class: "tick" }, el("input", { type: "checkbox", checked: state.wishes.keep_fingerings, on: { change: (event) => turn({ keep_fingerings: event.target.checked }) } }), " Keep the fingerings already in the score");
  const readings = el("button", { type: "button", text: `Leave out the ${state.wishes.cents.length} readings of your tuner`, on: { click: async (event) => {
    event.target.remove();
    await turn({ cents: [] });
  } } });
  showParts();
  if (refused) showProblem(problem, refused);
  const box = dialog("Flute and dials", el("div", { class: "stack" }, choice, partsBox, sliders, state.opened.fingerings ? kept : "", state.wishes.cents.length ? readings : "", problem,
    el("p", { class: "quiet", text: "1 is plain, 0 does not count at all. The grips are worked out again as you turn." })), { name: "flute" });
}

const LIMITS = [
  { id: "figure", words: () => "same figure same grip", title: "The same figure always gets the same grip", what: "A figure is a note between the same two neighbours, with the same length, ornament, slurs, dynamic and tempo; fingers that stay down by themselves do not count." },
  { id: "unusual", words: (n) => `at most ${n} unusual grips`, reads: /^at most (\d+) unusual grips$/, title: "Notes with an unusual grip, at most", unit: "notes", usual: 5 },
  { id: "learn", words: (n) => `learn at most ${n} grips`, reads: /^learn at most (\d+) grips$/, title: "Different unusual grips to learn, at most", unit: "grips", usual: 2 },
  { id: "worst", words: (n) => `no note over ${n} cents`, reads: /^no note over ([\d.]+) cents$/, title: "No note leans more than", unit: "cents", usual: 15 },
  { id: "tuning", words: (n) => `tuning within ${n} cents`, reads: /^tuning within ([\d.]+) cents$/, title: "The leans of all notes together, at most", unit: "cents", usual: 200 },
  { id: "thumb", words: () => "thumb stays", title: "The thumb stays on one plate throughout", what: "" },
];

/** What the whole passage must keep to. */
export function limits() {
  const rows = LIMITS.map((limit) => {
    const said = state.wishes.limits.find((words) => (limit.reads ? limit.reads.test(words) : words === limit.words()));
    const tick = el("input", { type: "checkbox", id: `limit-${limit.id}`, checked: Boolean(said) });
    const size = limit.reads && el("input", { type: "number", min: 0, max: 99999, step: 1, value: said ? limit.reads.exec(said)[1] : limit.usual, "aria-label": `${limit.title}: ${limit.unit}`, on: { input: () => (tick.checked = true) } });
    return { limit, tick, size, row: el("div", { class: "limit" }, el("label", { class: "tick" }, tick, ` ${limit.title}`), size ? el("span", { class: "size" }, size, ` ${limit.unit}`) : "", limit.what ? el("p", { class: "quiet", text: limit.what }) : "") };
  });
  const problem = problemLine();
  const box = dialog("Limits over the whole passage", el("form", { class: "stack", on: { submit: async (event) => {
    event.preventDefault();
    problem.hidden = true;
    try {
      await act.wish({ limits: rows.filter(({ tick }) => tick.checked).map(({ limit, size }) => limit.words(size?.value)) }, "Limits changed.");
      box.close();
    } catch (refusal) { showProblem(problem, refusal); }
  } } }, rows.map(({ row }) => row), problem,
    el("p", { class: "quiet", text: "With limits an answer can take some seconds. It says what the limits cost, and whether nothing better is possible." }),
    el("div", { class: "row" }, el("button", { class: "main-action", text: "Keep to these" }))), { name: "limits" });
}

/** The menu Save: what can be taken away, each with what it is. */
export function fillSaveMenu() {
  const menu = byId("save-menu");
  const entry = (title, what, does, id) => el("button", { type: "button", id, on: { click: async () => {
    menu.hidePopover();
    try { await does(); } catch (problem) { warn(problem); }
  } } }, el("strong", { text: title }), el("span", { class: "quiet", text: what }));
  menu.addEventListener("beforetoggle", () => (byId("save-tuner").hidden = !state.wishes.cents.length));
  menu.replaceChildren(
    entry("Print", "The music with its grips on paper, page by page (Ctrl+P)", act.onPaper, "save-print"),
    entry("Session", "The score, your choices, pins, bans and steps back, to open here again (Ctrl+S)", act.saveSession, "save-session"),
    ...act.files.map(([kind, title, what]) => entry(title, what, () => act.saveFile(kind), `save-${kind}`)));
}

export function compare() {
  const ways = [
    ["standard", "standard grips only", () => ({ ...sent(), choose: "standard", pins: [], bans: [] })],
    ["movers", "fewest moving fingers", () => ({ ...sent(), choose: "movers" })],
    ["free", "without my pins and bans", () => ({ ...sent(), pins: [], bans: [] })],
  ];
  if (state.keptWishes) ways.unshift(["kept", "the way kept before", () => state.keptWishes]);
  const choice = el("select", { id: "compare-with" }, ways.map(([value, text]) => el("option", { value, text })));
  const found = el("div", { id: "compare-found", "aria-live": "polite" });
  const problem = problemLine();
  const look = async () => {
    problem.hidden = true;
    const [, title, wishes] = ways.find(([value]) => value === choice.value);
    try { showCompared(found, title, await ask("/compare", { wishes_a: wishes(), wishes_b: sent() }), box); }
    catch (refusal) { found.replaceChildren(); showProblem(problem, refusal); }
  };
  choice.addEventListener("change", look);
  const keep = el("button", { type: "button", id: "keep-way", text: "Keep the present way for comparing", on: { click: () => { act.keep(); box.close(); } } });
  const box = dialog("Compare two ways", el("div", { class: "stack" },
    el("div", { class: "row" }, el("label", {}, "The present way with ", choice), keep), problem, found), { wide: true, name: "compare" });
  look();
}

function showCompared(place, title, answer, box) {
  const rows = [
    ["Effort", "effort"], ["Lean of a note, on average", "mean_cents", " cents"], ["Unusual grips", "unusual"],
    ["Load of the hardest change", "hardest_load"], ["Notes without a grip", "gaps"],
  ];
  const value = (side, key, unit) => (side[key] === null ? "unknown" : `${key === "effort" ? side[key].toFixed(2) : side[key]}${unit || ""}`);
  const brief = (side) => (side ? `${side.short}${side.kind === "standard" ? "" : ` (${side.kind}${side.cents === null ? "" : `, ${cents(side.cents)}`})`}` : "no grip");
  place.replaceChildren(
    el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Figures of the two ways" }, el("table", {}, el("thead", {}, el("tr", {}, el("td"), el("th", { scope: "col", text: title }), el("th", { scope: "col", text: "present way" }))),
      el("tbody", {}, rows.map(([words, key, unit]) => el("tr", {}, el("th", { scope: "row", text: words }), el("td", { text: value(answer.a, key, unit) }), el("td", { text: value(answer.b, key, unit) })))))),
    el("p", { text: answer.differing.length ? `${answer.differing.length} of ${answer.notes} notes differ:` : "Both have the same grips." }),
    answer.differing.length ? el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Notes that differ" }, el("table", {}, el("thead", {}, el("tr", {}, ["Bar", "Note", title, "present way"].map((text) => el("th", { scope: "col", text })))),
      el("tbody", {}, answer.differing.map((note) => el("tr", {}, el("td", { text: note.bar }),
        el("td", {}, el("button", { type: "button", class: "link", text: name(note.pitch), "aria-label": `Go to ${name(note.pitch)} in bar ${note.bar}`, on: { click: () => { box.close(); act.choose(note.index, true); } } })),
        el("td", { text: brief(note.a) }), el("td", { text: brief(note.b) })))))) : "",
  );
}

export function help() {
  const list = (pairs) => el("dl", { class: "help" }, pairs.map(([key, text]) => [el("dt", { text: key }), el("dd", { text })]));
  dialog("Help", el("div", { class: "stack" },
    el("p", { text: "Open a flute part or write notes. Below the music stands a diagram wherever the grip is not the plain one. Choose a note to see all its grips, what each would take more, and why this one was chosen. Pin a grip you want to keep, ban one you never use: the rest is worked out again around it. Undo takes any step back." }),
    el("h3", { text: "Words" }), list(GLOSSARY),
    el("h3", { text: "Keys, when the music is in focus" }), list(KEYS),
    el("h3", { text: "Care" }),
    el("p", { text: `${state.known?.caution || ""} Loud and high playing can hurt your hearing; so can loud listening: begin quietly. gripway gives no medical advice. Where it differs from your teacher, your clinician or your own ear, follow them.` })),
    { wide: true, name: "help" });
}
