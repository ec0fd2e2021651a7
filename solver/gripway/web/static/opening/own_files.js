// Files a person opens: scores, sessions, practice logs, player files, tuner's lists, decisions.

import { byId, calm, tell, warn } from "../dom.js";
import * as practiceLog from "../practice/log.js";
import { ask, base64 } from "../server.js";
import { hasWork, pinOf, sent, state } from "../state.js";
import { wished } from "../wishing/wishing.js";
import { plural } from "../words.js";
import * as kept from "./kept.js";
import { openSource } from "./opening.js";

const MOST_BYTES = 8 * 1024 * 1024, MOST_SESSION_BYTES = 12 * 1024 * 1024;

export async function openFile(file) {
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
