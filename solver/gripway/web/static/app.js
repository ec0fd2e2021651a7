// The page put together: what the buttons do, and what the parts ask of each other.

import * as answer from "./answer.js";
import * as dialogs from "./dialogs.js";
import { byId, say, warn } from "./dom.js";
import * as keys from "./keys.js";
import * as likes from "./likes.js";
import { fits, fitted, onPaper, redraw } from "./music/drawing.js";
import * as music from "./music/music.js";
import * as near from "./music/near_view.js";
import * as overview from "./music/overview.js";
import * as player from "./music/player.js";
import { isUnfolded, whenAsked as whenUnfolded } from "./music/unfold.js";
import { atStart, goOn, noteTab, openSource, restore } from "./opening/opening.js";
import { openFile } from "./opening/own_files.js";
import { FILES, saveFile, saveSession } from "./opening/saving.js";
import * as shelf from "./opening/shelf.js";
import * as learning from "./panel/learning.js";
import { backToNote, choose, indexOf, more, stepNote, walk } from "./panel/one_note.js";
import { closePanel, whenAsked as whenPanelAsked } from "./panel/panel.js";
import * as workList from "./panel/work_list.js";
import * as place from "./place.js";
import { practiseToday } from "./practice/day.js";
import { recordGrip } from "./record/screen.js";
import { whenAsked as whenRecorded } from "./record/table.js";
import { ask, flutes } from "./server.js";
import * as stand from "./stand/on_stand.js";
import { hasWork, sent, state, stepBack, stepForward } from "./state.js";
import { trills } from "./trills.js";
import { allow, ban, pin, pinAll, unban, unpin } from "./wishing/pins.js";
import * as tempo from "./wishing/tempo.js";
import { fieldWish, otherPart, step, tryWish, wished } from "./wishing/wishing.js";
import { plural } from "./words.js";

const practise = () => practiseToday().catch(warn);

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
  for (const id of ["stand", "next-stand"]) on(id, "click", stand.toggle);
  for (const id of ["practise", "next-practise"]) on(id, "click", practise);
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
  player.wire(place.keepPlace);
  overview.wire();
  on("rest-help", "click", dialogs.help);
  likes.wire();
  byId("more-menu").addEventListener("click", (event) => event.target.closest("button") && byId("more-menu").hidePopover(), true);
  addEventListener("beforeprint", near.fillAll);
  addEventListener("gripway-alert", () => isUnfolded() && music.reveal(state.route.notes[state.at].id));
  on("stop", "click", () => ask("/stop").catch(() => {}));
  keys.wire();
  addEventListener("dragover", (event) => { event.preventDefault(); byId("drop").classList.add("over"); });
  addEventListener("dragleave", () => byId("drop").classList.remove("over"));
  addEventListener("drop", (event) => { event.preventDefault(); byId("drop").classList.remove("over"); const [file] = event.dataTransfer.files; if (file) openFile(file); });
  let resizing = 0;
  addEventListener("resize", () => {
    clearTimeout(resizing);
    resizing = setTimeout(async () => {
      if (hasWork() && !byId("work").hidden && !fits()) {
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
  shelf.whenAsked({ goOn, about: answer.aboutWork, saved: noteTab });
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
  answer.whenAsked({ choose: (index) => choose(index, { focus: true }), allow: unban });
  overview.whenAsked({ choose: (index) => choose(index) });
  workList.whenAsked({ choose: (index) => choose(index, { focus: true }), pinAll, unpin, allow: unban, next: [["Practise today", practise], ["On the stand", stand.toggle]] });
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
