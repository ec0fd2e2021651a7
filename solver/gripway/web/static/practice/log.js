// What one practised of a score, in this browser: the lines of a log as `gripway practise --log` reads it.

import * as kept from "../opening/kept.js";
import { state } from "../state.js";

const HEAD = '{"log": "gripway practice log", '; // how every line of such a file begins

const two = (value) => String(value).padStart(2, "0");

/** Now, in local time, as a log has it. */
export function now() {
  const at = new Date();
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}`;
}

export const today = () => now().slice(0, 10);

/** The name of the score and part that is open. */
export const named = async () => `${await kept.nameOf(state.source)} ${state.opened.part}`;

const KINDS = ["reached", "done", "day"]; // a tempo that was clean, other work that is done, up to where a day went

export const read = (name) => ({ lines: [], ...kept.practice(name) });

const on = (date) => ({ when }) => when.slice(0, 10) === date;

/** Before a date: what a plan for it goes on from. What is merely done does not change it. */
export const before = (name, date = today()) => read(name).lines.filter(({ kind, when }) => kind !== "done" && when.slice(0, 10) < date);

/** The dates before today on which something was done, in order. */
export const dates = (name) => [...new Set(read(name).lines.map(({ when }) => when.slice(0, 10)))].filter((date) => date < today()).sort();

/** Lines of the page say which drill it was, which the command passes over. */
const isSame = (a, b) => ["kind", "notes", "quarters", "drill", "what"].every((key) => a[key] === b[key]) && a.when.slice(0, 10) === b.when.slice(0, 10);

export const isTicked = (name, entry, date = today()) => read(name).lines.some((line) => isSame(line, { ...entry, when: date }));

/** The line for work without a tempo. */
export const done = (what) => ({ kind: "done", what });

/** What was done today, or was not after all. The first line of a day says up to where it went: `went` gives it, once the tick is kept. */
export function tick(name, entry, ticked, went) {
  const line = { ...entry, when: now() };
  const others = read(name).lines.filter((each) => !isSame(each, line) && !(each.kind === "day" && on(today())(each)));
  const lines = ticked ? [...others, line] : others, first = lines.findIndex(on(today()));
  kept.keepPractice(name, { lines });
  if (first >= 0) kept.keepPractice(name, { lines: lines.toSpliced(first, 0, { ...went(), when: lines[first].when }) });
}

/** The log as a file. */
export const asFile = (name) => read(name).lines.map((line) => `${HEAD}${JSON.stringify(line).slice(1)}\n`).join("");

/** Lines of such a file that are not there yet are added; gives how many. */
export function add(name, text) {
  const log = read(name);
  const lines = text.split("\n").filter((line) => line.startsWith(HEAD)).flatMap((line) => {
    try {
      const { log: _mark, ...entry } = JSON.parse(line);
      return typeof entry.when === "string" && KINDS.includes(entry.kind) ? [entry] : [];
    } catch { return []; } // a line that was cut off
  });
  const fresh = lines.filter((line) => !log.lines.some((each) => JSON.stringify(each) === JSON.stringify(line)));
  kept.keepPractice(name, { lines: [...log.lines, ...fresh].sort((a, b) => (a.when < b.when ? -1 : 1)) });
  return fresh.length;
}
