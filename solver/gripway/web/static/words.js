// How things are called and said on the page.

export const name = (pitch) => pitch.replace("#", "♯").replace("bb", "𝄫").replace(/(?<=^[A-G])b/, "♭").replace(/(?<=^[A-G])x/, "𝄪");

const STEPS = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }, ALTERS = { "#": 1, "##": 2, x: 2, b: -1, bb: -2, "♯": 1, "♭": -1 };

/** The number of a pitch, C4 = 60; NaN where it is none. */
export const numberOf = (pitch) => {
  const [, step, alter, octave] = /^([A-G])(##|#|x|bb|b|♯|♭)?(-?\d)$/.exec(pitch) ?? [];
  return 12 * (Number(octave) + 1) + STEPS[step] + (alter ? ALTERS[alter] : 0);
};

const SPOKEN = { "#": " sharp ", b: " flat ", x: " double sharp ", bb: " double flat " };
export const spoken = (pitch) => pitch.replace(/^([A-G])(#|bb|b|x)?/, (_, letter, sign) => letter + (SPOKEN[sign] || " "));

export const cents = (value, spread) => {
  if (value === null || value === undefined) return "cents unknown";
  const whole = Math.round(value);
  return `${whole > 0 ? "+" : whole < 0 ? "−" : ""}${Math.abs(whole)} cents${spread ? `, give or take ${Math.round(spread)}` : ""}`;
};

/** A sentence with its note names and fingers as the page has them: F♯5, right index. */
export const said = (text) => text.replace(/\b[A-G](?:#|b)(?=\d)/g, name).replace(/\b[LR][T1-4]\b/g, finger);

/** `1 Dec` */
export const dayWords = (date) => new Date(`${date}T12:00:00`).toLocaleDateString("en-GB", { day: "numeric", month: "short" });

/** `1, 2 and 3` */
export const listed = (texts) => (texts.length > 1 ? `${texts.slice(0, -1).join(", ")} and ${texts.at(-1)}` : texts.join(""));

const MOST_PITCHES = 3;

/** `F♯5 in bars 46 and 47`, of notes of a route; the first pitches, then how many more notes. */
export function placesOf(notes) {
  const shown = [...new Set(notes.map(({ pitch }) => pitch))].slice(0, MOST_PITCHES).map((pitch) => [pitch, notes.filter((note) => note.pitch === pitch)]);
  const rest = notes.length - shown.reduce((sum, [, some]) => sum + some.length, 0);
  return listed([...shown.map(([pitch, some]) => `${name(pitch)}${inBars(some)}`), ...(rest ? [`${rest} more ${rest > 1 ? "notes" : "note"}`] : [])]);
}

const inBars = (notes) => (barsOf(notes) ? ` in ${barsOf(notes)}` : "");

/** `bars 46 and 47`, of notes of a route; nothing where bars have no numbers. */
export function barsOf(notes) {
  const bars = [...new Set(notes.map(({ bar }) => bar).filter(Boolean))];
  return bars.length ? `bar${bars.length > 1 ? "s" : ""} ${listed(bars)}` : "";
}

/** `3 pins` */
export const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

/** `pin of F♯5, bar 12` */
export const pinWords = (note) => `pin of ${name(note.pitch)}${note.bar ? `, bar ${note.bar}` : ""}`;

/** A grip as a player reads it, without the hand letters. */
export const shortGrip = (grip) => (grip || "").replace(/\b[LR](?=[1-4])/g, "");

const FINGER = {
  LT: "left thumb", L1: "left index", L2: "left middle", L3: "left ring", L4: "left little",
  RT: "right thumb", R1: "right index", R2: "right middle", R3: "right ring", R4: "right little",
};
const HOW = { up: "up", down: "down", slide: "slides", across: "goes across" };

export const finger = (id) => FINGER[id] || id;
export const movers = (moves) =>
  Object.entries(moves).map(([id, how]) => `${finger(id)} ${HOW[how] || how}`).join(", ") || "no finger moves";

export const SOURCE = {
  measured: "measured with your tuner", modelled: "by an acoustic model", judgement: "our judgement",
};

export const KIND = {
  standard: "standard", alternate: "alternate", trill: "trill", harmonic: "harmonic", vented: "vented", found: "known from a model only",
};

/** The key the thumb is on in a grip, as it stands there. */
export const THUMB_KEY = /(?<!\S)Tb?(?!\S)/;

export const thumbOf = (grip) => THUMB_KEY.exec(grip ?? "")?.[0];

/** Where the thumb goes. */
export const THUMB = { Tb: "the thumb goes to the B-flat lever", T: "the thumb goes back to its own key" };

/** How sure a grip is known. */
export const SURE = { high: "sure", medium: "fairly sure", low: "unsure" };

/** Loads: called hard from the first on; above the second fingers come late, above the third much too late (effort/figures.csv). */
export const HARD = 0.8;
export const LATE = 1;
export const VERY_LATE = 1.3;
/** What the load of a slurred and of a tongued change is multiplied by. */
export const SLURRED = 1.1;
export const TONGUED = 0.9;

/** What a load means, in the words of the tint behind the music. */
export const loadWord = (load) => (load > VERY_LATE ? "much too late" : load > LATE ? "late" : load >= HARD ? "hard" : "easy");

export const GLOSSARY = [
  ["Grip", "One way to hold the flute: everything that is pressed. T 2 3 | Eb is the thumb, second and third finger of the left hand, then, after the bar, the right hand with the E-flat key. Others: Tb thumb B-flat lever, L4 G-sharp lever, Sb side B-flat lever, Kd and Kds the D and D-sharp trill keys, Kcs the C-sharp trill key, Cs C B the foot keys, Hc the high-C facilitator."],
  ["Diagram", "Filled is pressed, open is lifted; the left hand comes first, then the right. A trill has a second, smaller one: the grip it goes to and fro with, what moves ringed."],
  ["Tb, T below a note", "From here the thumb is on the B-flat lever (Tb), or back on its own key (T): often some notes before the B-flat, since it cannot slide in time."],
  ["Standard, alternate, vented, trill, harmonic", "Standard is the plain grip of a note. Alternate is another grip of its own, vented one with an extra hole opened, trill one meant for motion, harmonic a low grip overblown."],
  ["Unusual grip", "Any grip but the standard one and the three B-flats."],
  ["Grips to learn", "Unusual grips that are not in your fingers yet. Each costs the part once, so that one is used only where it saves more than that. The staircase shows the effort with no such grip, with one, with two, what they cost to learn counted in."],
  ["Plain grip", "The standard grip with no finger held down or lifted beside it. What is not plain has a diagram below the note."],
  ["Effort", "What gripway makes as small as it can over the whole passage: finger work, tuning, steadiness and unfamiliar grips added up. It has no unit; about 1 is one change that is clearly too slow for the tempo."],
  ["About +0.42 effort", "How much more effort the best way through the passage takes if this note is to have that grip, with the grips to learn as they are. Once it is pinned, the grips to learn and all its repeats are reckoned anew: then the note says by how much the effort of the passage has risen."],
  ["Change", "Going from one grip to the next."],
  ["Needs, has", `The time the fingers need for a change, and the time from the start of one note to the start of the next, in thousandths of a second. What it needs is counted ${SLURRED} times in a slur and ${TONGUED} times where it is tongued: a slur shows what tonguing hides. Believe the order of the figures before their size.`],
  ["Load", `Needs over has. Above ${LATE} the fingers come late.`],
  ["Lead", "The finger to move first, so that the least sounds on the way."],
  ["Cents", "Hundredths of a semitone: where the note is expected to lean in ordinary playing, plus is sharp. Nine in ten flutes and players are reckoned to lie within “give or take”. It may be measured with your own tuner, which then stands alone; taught, where teachers name the direction and the size is ours; modelled; or our judgement."],
  ["Pin", "This note keeps this grip, whatever else changes. A pin holds each time the note is played."],
  ["Ban", "This grip is never used for this pitch."],
  ["Limits", "What the whole passage must keep to: at most so many unusual grips, the same figure with the same grip, no note too far out of tune, the thumb on one plate. Proved means that no way within the limits takes less effort."],
  ["Dials", "How much finger speed, steadiness, tuning and familiarity count for you. 1 is plain, 0 does not count at all."],
  ["Late change", `A tint behind two notes marks a change whose load is above ${LATE}; it is hatched above ${VERY_LATE}. Figures in circles are the places of the hardest changes, from load ${HARD}.`],
  ["In time, hard, late, much too late", `The load of a change in words: below ${HARD}, from ${HARD}, above ${LATE}, above ${VERY_LATE}. A grip's card has them for the change into the note and out of it, with the grips the notes beside it would then have.`],
  ["Sure, fairly sure, unsure", "How well a grip is known: by universal practice or several sources, by one good source, by one or by a model only."],
];

/** What a touch is called where a grip is written in letters and figures. */
const TOUCH = {
  T: "left thumb", Tb: "thumb on the B-flat lever", 4: "left little finger on the G-sharp lever", Sb: "side B-flat lever", Kd: "D trill key",
  Kds: "D-sharp trill key", Kcs: "C-sharp trill key", Eb: "E-flat key", Cs: "low C-sharp key", C: "low C roller", B: "low B roller", Hc: "high-C facilitator",
};

/** How grips are written, with the touches that stand in some of them. */
export function howToRead(grips) {
  const used = new Set(grips.flatMap((grip) => grip.split(/\s+/)));
  const named = Object.entries(TOUCH).filter(([touch]) => used.has(touch)).map(([touch, words]) => `${touch} ${words}`);
  return `A grip is all that is pressed, the left hand before the bar and the right hand after it: 1, 2 and 3 are the index, middle and ring finger${named.length ? `, ${named.join(", ")}` : ""}.`;
}

export const KEYS = [
  ["← →", "to the note before or after"],
  ["Home, End", "to the first or last note"],
  ["Enter", "the grips of the note"],
  ["↑ ↓", "to the system above or below"],
  ["J, K", "to the next or last place of the list beside the music"],
  ["H, U", "to the next hard change, the next unusual grip; with Shift to the one before"],
  ["S", "on the stand: music and diagrams only; there the arrow keys turn by half pages, and Esc leaves"],
  ["Esc", "back to the note"],
  ["P", "pin the grip of the note, or take the pin away"],
  ["B", "ban the grip of the note"],
  ["1 to 9", "pin the grip with this number in the list"],
  ["Space", "hear it from this note, at a hard change from a beat before it; or stop"],
  ["Ctrl+Z, Ctrl+Y", "undo, redo; Ctrl+Shift+Z redoes, too"],
  ["Ctrl+S, Ctrl+P", "saves the work as a file, prints the music"],
  ["Tab", "on to the next control"],
];
