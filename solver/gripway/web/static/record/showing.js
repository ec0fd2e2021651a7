// Meter, needle and takes: large enough to be read at arm's length.

import { el, parsed } from "../dom.js";

const QUIET_DB = -45, LOUD_DB = -6, LEAST_DB = -70;
const REACH = 60, WIDE = 600, MIDDLE = WIDE / 2, UNIT = 4.2; // cents to either side, and their width
const HIGH = 166, TOP = 14, BOTTOM = 124, LEAST_REACH = 20;

const signed = (cents) => `${cents > 0 ? "+" : cents < 0 ? "−" : ""}${Math.abs(cents)}`;
const svg = (height, inner, more = "") => parsed(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDE} ${height}" ${more}>${inner}</svg>`);

/** The level: a bar, and a word for it. */
export function levelMeter() {
  const bar = el("span", { class: "level-bar" }), words = el("span", { class: "level-words", text: "silence" });
  const box = el("div", { class: "level", role: "meter", "aria-label": "Level", "aria-valuemin": LEAST_DB, "aria-valuemax": 0, "aria-valuenow": LEAST_DB }, el("span", { class: "level-track" }, bar), words);
  let shown = LEAST_DB, peak = 0, held = 0;
  return { box, show: (level, highest, sounds) => {
    shown = Math.max(LEAST_DB, level, shown - 2);
    held = highest >= 0.98 ? 40 : held - 1;
    peak = held > 0 ? "too loud: move away" : shown > LOUD_DB ? "loud" : !sounds ? "silence" : shown < QUIET_DB ? "quiet: come nearer" : "good";
    const share = (shown - LEAST_DB) / -LEAST_DB;
    bar.style.width = `${Math.round(share * 100)}%`;
    bar.classList.toggle("late", held > 0);
    box.setAttribute("aria-valuenow", Math.round(shown));
    box.setAttribute("aria-valuetext", peak);
    if (words.textContent !== peak) words.textContent = peak;
  } };
}

/** The needle: cents from a middle, in figures and on a scale. */
export function needle() {
  const figures = el("span", { class: "needle-figures", text: "–" }), unit = el("span", { class: "needle-unit" });
  const ticks = [];
  for (let cents = -REACH; cents <= REACH; cents += 10) {
    const x = MIDDLE + cents * UNIT, long = cents % 20 === 0;
    ticks.push(`<line class="tick-line" x1="${x}" x2="${x}" y1="10" y2="${long ? 46 : 32}"/>`);
    if (long) ticks.push(`<text x="${x}" y="82">${signed(cents)}</text>`);
  }
  const drawing = svg(92, `${ticks.join("")}<path class="hand" d="M-10 0H10L0 50Z"/>`, 'aria-hidden="true" class="needle-scale"');
  const hand = drawing.querySelector(".hand");
  const words = el("p", { class: "needle-words" }, figures, " ", unit), resting = (is) => [words, drawing].forEach((each) => each.classList.toggle("resting", is));
  const place = (cents) => hand.setAttribute("transform", `translate(${MIDDLE + Math.max(-REACH - 4, Math.min(REACH + 4, cents)) * UNIT} 0)`);
  const rest = () => {
    resting(true);
    figures.textContent = "–";
  };
  place(0);
  rest();
  return {
    words, rest, scale: drawing,
    from: (words) => (unit.textContent = `cents from ${words}`),
    show: (cents) => {
      resting(false);
      figures.textContent = signed(Math.round(cents));
      place(cents);
    },
    say: (words) => {
      rest();
      figures.textContent = words;
    },
  };
}

/** The takes as dots: cents against the standard grip (whose mean is the line), refused ones as crosses below. */
export function dots({ order, taken, refused, grip }) {
  const zero = standardMean(taken) ?? 0, own = taken.map(({ cents }) => cents - zero);
  const reach = Math.max(LEAST_REACH, ...own.map((cents) => Math.abs(cents) + 4));
  const x = (place) => 96 + (place + 0.5) * ((WIDE - 100) / order.length), y = (cents) => (TOP + BOTTOM) / 2 - (cents / reach) * ((BOTTOM - TOP) / 2);
  const step = Math.round(reach / 2 / 5) * 5 || 5;
  const lines = [step, 0, -step].map((cents) => `<line class="${cents ? "grid" : "zero"}" x1="90" x2="${WIDE}" y1="${y(cents)}" y2="${y(cents)}"/><text class="end" x="82" y="${y(cents) + 8}">${signed(cents)}</text>`);
  const marks = own.map((cents, place) => `<circle class="${order[place] === "other" ? "ring" : "dot"}" cx="${x(place)}" cy="${y(cents)}" r="10"/>`);
  const due = taken.length < order.length ? `<line class="due" x1="${x(taken.length)}" x2="${x(taken.length)}" y1="${TOP - 12}" y2="${BOTTOM + 10}"/>` : "";
  const crosses = refused.map(({ place }, k) => {
    const nth = refused.slice(0, k).filter((one) => one.place === place).length, cx = x(place) - 12 + 12 * Math.min(nth, 2);
    return `<path class="cross" d="M${cx - 6} ${BOTTOM - 6}l12 12m0 -12l-12 12"/>`;
  });
  const third = order.length / 3;
  const names = ["standard", "other", "standard"].map((words, k) => `<text x="${(x(third * k) + x(third * (k + 1) - 1)) / 2}" y="${HIGH - 8}">${words}</text>`);
  const drawing = svg(HIGH, [due, ...lines, ...marks, ...crosses, ...names].join(""), 'class="dots" role="img"');
  const listed = own.map((cents, place) => `${order[place] === "other" ? grip : "standard"} ${signed(Math.round(cents))}`);
  drawing.setAttribute("aria-label", `Takes, in cents against the standard grip: ${listed.join(", ") || "none yet"}${refused.length ? `; ${refused.length} not used` : ""}`);
  return drawing;
}

/** The mean cents of the standard takes; null before the first. */
export function standardMean(taken) {
  const all = taken.filter(({ block }) => block !== "other").map(({ cents }) => cents);
  return all.length ? all.reduce((sum, cents) => sum + cents, 0) / all.length : null;
}
