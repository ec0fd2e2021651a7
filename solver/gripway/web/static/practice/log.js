// What one practised of a score, in this browser: the lines of a log as `gripway practise --log` keeps it, and what else is ticked.

import * as kept from "../kept.js";
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

const NOTHING = { lines: [], done: {} };

export const read = (name) => ({ ...NOTHING, ...kept.practice(name) });

/** Before today: what a plan for today goes on from. */
export const before = (name) => read(name).lines.filter(({ when }) => when.slice(0, 10) < today());

/** Lines of the page say which drill it was, which the command passes over. */
const isSame = (a, b) => a.kind === b.kind && a.notes === b.notes && a.quarters === b.quarters && a.drill === b.drill && a.when.slice(0, 10) === b.when.slice(0, 10);

export const isReached = (name, entry) => read(name).lines.some((line) => isSame(line, { ...entry, when: today() }));

/** A tempo that was clean today, or was not after all; the first of a day says up to where that day went. */
export function reach(name, entry, ticked, day) {
  const log = read(name), line = { ...entry, when: now() };
  let lines = log.lines.filter((each) => !isSame(each, line));
  const todays = lines.filter(({ when }) => when.slice(0, 10) === today());
  if (ticked) lines = [...lines, ...(todays.length ? [] : [{ ...day, when: now() }]), line];
  else if (todays.every(({ kind }) => kind === "day")) lines = lines.filter(({ when }) => when.slice(0, 10) !== today());
  kept.keepPractice(name, { ...log, lines });
}

export const isDone = (name, words) => (read(name).done[today()] ?? []).includes(words);

/** Other work of today; of earlier days nothing is kept. */
export function tick(name, words, ticked) {
  const log = read(name), others = (log.done[today()] ?? []).filter((each) => each !== words);
  kept.keepPractice(name, { ...log, done: { [today()]: ticked ? [...others, words] : others } });
}

/** The log as a file. */
export const asFile = (name) => read(name).lines.map((line) => `${HEAD}${JSON.stringify(line).slice(1)}\n`).join("");

/** Lines of such a file that are not there yet are added; gives how many. */
export function add(name, text) {
  const log = read(name);
  const lines = text.split("\n").filter((line) => line.startsWith(HEAD)).flatMap((line) => {
    try {
      const { log: _mark, ...entry } = JSON.parse(line);
      return typeof entry.when === "string" && ["reached", "day"].includes(entry.kind) ? [entry] : [];
    } catch { return []; } // a line that was cut off
  });
  const fresh = lines.filter((line) => !log.lines.some((each) => JSON.stringify(each) === JSON.stringify(line)));
  kept.keepPractice(name, { ...log, lines: [...log.lines, ...fresh].sort((a, b) => (a.when < b.when ? -1 : 1)) });
  return fresh.length;
}
