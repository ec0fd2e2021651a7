// Where a note begins and ends, by its level alone, so that the hands can stay on the flute. What note it is, and whether
// the take is good, the server says.

const LEAST_DB = -60, OPEN_DB = 15, CLOSE_DB = 8, FALL_DB = 30; // above the room; below the loudest of the note
const RISE_DB_S = 3, AGAIN_DB_S = 20; // how fast a room that has become louder is believed: as a rule, and after a note too long
const FIRST_S = 0.3;                  // the room is heard so long before anything can be a note
const BEFORE_S = 0.4, QUIET_S = 0.4;  // kept before a note; silence that ends it
const TAP_S = 0.2, MOST_S = 6;        // shorter is a tap, longer is cut
const DEAF_S = 1;                     // so long a microphone may give nothing at all before it begins

const SILENT_DB = -100;

/** Level of a block in dB below full scale. */
export function decibels(block) {
  let sum = 0;
  for (const value of block) sum += value * value;
  return Math.max(SILENT_DB, 10 * Math.log10(sum / block.length + 1e-12));
}

/** Takes blocks one by one; gives whether a note sounds, and `note`, the blocks of one that has just ended. */
export function notesByLevel(rate) {
  let floor = null, heard = 0, deaf = 0, before = [], note = null, loud = 0, sounding = 0, quiet = 0, over = false;
  return (block) => {
    const level = decibels(block), seconds = block.length / rate;
    if (floor === null && level === SILENT_DB && (deaf += seconds) < DEAF_S) return { sounds: false, note: null };
    heard += seconds;
    if (note && !over) {
      note.push(block);
      loud = Math.max(loud, level);
      quiet = level < Math.max(floor + CLOSE_DB, loud - FALL_DB) ? quiet + seconds : 0;
      sounding += seconds;
      over = sounding > MOST_S;
      if (quiet < QUIET_S && !over) return { sounds: quiet === 0, note: null };
      const whole = sounding - quiet > TAP_S ? note : null;
      before = over ? [] : note.slice(-1);
      if (!over) note = null;
      return { sounds: false, note: whole };
    }
    floor = floor === null ? level : Math.min(level, floor + (over ? AGAIN_DB_S : RISE_DB_S) * seconds);
    const open = level > Math.max(floor + OPEN_DB, LEAST_DB) && heard > FIRST_S;
    if (over) { // the rest of a note that was cut
      if (level < floor + CLOSE_DB) [note, over] = [null, false];
      return { sounds: false, note: null };
    }
    before.push(block);
    if (open) [note, before, loud, sounding, quiet] = [before, [], level, seconds, 0];
    else while (before.length * seconds > BEFORE_S) before.shift();
    return { sounds: open, note: null };
  };
}
