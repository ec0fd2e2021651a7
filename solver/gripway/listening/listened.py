"""What a recording said of the grips asked for: takes, measured cents, and both as data."""

from dataclasses import dataclass
from math import log2
from typing import TYPE_CHECKING, Any

from gripway.display import SCHEMA, Shown, brief, counted, rounded
from gripway.errors import check_kind
from gripway.listening.own_cents import MeasuredGrip
from gripway.listening.sounding import Sounding
from gripway.listening.takes import OTHER, Asked, Take
from gripway.model.grip import Grip
from gripway.model.passage import Remark
from gripway.model.pitch import plain_name
from gripway.model.player import OwnCents
from gripway.units import A4_HZ, CENTS_PER_OCTAVE

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class Listened(Shown):
    """The answer to a recording.

    `measured` has the grips that can be told, each with `cents`, `spread_cents`, `vs_standard` and `takes`;
    `takes` every take in the order of playing, with its cents or why it was refused; `notes` all that was
    heard; `reference_hz` is the A4 that cents are counted from, None where nothing could be measured, and
    `reckoned_from` the number of pitches whose standard grips tell it (0: it was given).
    """

    source: str
    length_s: float
    instrument: str
    asked: tuple[Asked, ...]
    takes: tuple[Take, ...]
    notes: tuple[Sounding, ...]
    measured: tuple[MeasuredGrip, ...]
    reference_cents: float | None
    reckoned_from: int = 0
    remarks: tuple[Remark, ...] = ()

    def __repr__(self) -> str:
        refused = sum(take.refused is not None for take in self.takes)
        return brief(
            self,
            counted(len(self.measured), "grip"),
            counted(len(self.takes), "take"),
            f"{refused} refused" if refused else "",
        )

    @property
    def reference_hz(self) -> float | None:
        """The player's A4 in this recording."""
        if self.reference_cents is None:
            return None
        return float(A4_HZ * 2.0 ** (self.reference_cents / CENTS_PER_OCTAVE))

    def measured_of(self, asked: Asked) -> MeasuredGrip | None:
        """What was measured of a grip asked for; None where it was not."""
        found = (each for each in self.measured if (each.pitch, each.grip) == (asked.pitch, asked.grip))
        return next(found, None)

    def readings(self, date: str) -> tuple[OwnCents, ...]:
        """The measured grips as rows of a tuner's list, of this day (YYYY-MM-DD)."""
        return tuple(
            OwnCents(
                m.pitch, m.grip, m.cents, m.spread_cents, m.vs_standard, m.takes, date, m.vs_spread_cents
            )
            for m in self.measured
        )

    def take_number(self, note: Sounding) -> int | None:
        """Which take a note is, counted from 1; None where it is none or that cannot be told."""
        for number, take in enumerate(self.takes, start=1):
            if take.end_s > take.start_s and take.start_s == note.start_s:
                return number
        return None

    def written(self, note: Sounding) -> tuple[int, float] | None:
        """The written pitch of a note and its cents from it at A4 = 440 Hz; None where none was heard."""
        if note.hz is None:
            return None
        one = self.asked[0]
        semitones = one.pitch + 12 * log2(note.hz / one.hz)
        return round(semitones), 100 * (semitones - round(semitones))


def listened_data(found: Listened, sentence: str, written: str | None) -> dict[str, Any]:
    """The JSON object that `gripway listen --format json` prints; `written` is the list that was added to."""
    return {
        "schema": SCHEMA,
        "sentence": sentence,
        "recording": found.source,
        "seconds": round(found.length_s, 2),
        "instrument": found.instrument,
        "reference_hz": rounded(found.reference_hz, 2),
        "reference_pitches": found.reckoned_from,
        "grips": [_grip_data(each) for each in found.measured],
        "missing": [
            {"pitch": plain_name(each.pitch), "grip": each.grip.text}
            for each in found.asked
            if found.measured_of(each) is None
        ],
        "takes": take_rows(found),
        "notes": [_note_data(found, note) for note in found.notes],
        "written": written,
        "remarks": [{"text": each.text, "bar": each.bar, "id": each.note_id} for each in found.remarks],
    }


def _grip_data(each: MeasuredGrip) -> dict[str, Any]:
    return {
        "pitch": plain_name(each.pitch),
        "grip": each.grip.text,
        "cents": each.cents,
        "cents_spread": each.spread_cents,
        "cents_vs_standard": each.vs_standard,
        "cents_vs_standard_spread": each.vs_spread_cents,
        "takes": each.takes,
    }


def _note_data(found: Listened, note: Sounding) -> dict[str, Any]:
    written = found.written(note)
    return {
        "start_s": round(note.start_s, 2),
        "end_s": round(note.end_s, 2),
        "pitch": plain_name(written[0]) if written and written[0] in range(128) else None,
        "cents_at_440": round(written[1]) if written else None,
        "take": found.take_number(note),
    }


def take_rows(found: Listened) -> list[dict[str, Any]]:
    """Every take with its grip, seconds and cents (from the note at the player's own A4), or why not."""
    rows = []
    for take in found.takes:
        asked, reference = found.asked[take.place], found.reference_cents or 0.0
        rows.append(
            {
                "pitch": plain_name(asked.pitch),
                "grip": take_grip(asked, take).text,
                "block": take.block,
                "start_s": round(take.start_s, 2),
                "end_s": round(take.end_s, 2),
                "cents": None if take.cents is None else round(take.cents - reference, 1),
                "refused": take.refused.kind if take.refused else None,
                "size": round(take.refused.size, 3) if take.refused else None,
            }
        )
    return rows


def take_grip(asked: Asked, take: Take) -> Grip:
    """The grip a take was played with."""
    return asked.grip if take.block == OTHER else asked.standard


def take_frame(found: Listened) -> "pd.DataFrame":
    """One row a take of what `listen` gives: pitch, grip, block, start_s, end_s, cents, refused, size.

    `cents` lie from the note at the player's own A4; a take that was refused has none, and says why in
    `refused`, with its `size` (seconds, cents, decibels, a share, notes heard).

    >>> import gripway
    >>> found = gripway.listen("examples/f_sharp_takes.wav", ["F#6=T 1 3 | 2 Eb"])
    >>> gripway.take_frame(found)["cents"].round().tolist()
    [14.0, 13.0, 15.0, 7.0, 5.0, 10.0, 16.0, 16.0, 16.0]
    """
    import pandas as pd

    check_kind(found, Listened, "value that listen gives", "Give what listen(...) gives")
    return pd.DataFrame(take_rows(found))
