"""What a recording said of the grips asked for: takes, measured cents, and both as data."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gripway.display import SCHEMA, Shown, brief, counted
from gripway.errors import check_kind
from gripway.listening.own_cents import MeasuredGrip
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
    `takes` every take in the order of playing, with its cents or why it was refused; `reference_hz` is the
    player's A4 by their standard grips, None where nothing could be measured.
    """

    source: str
    length_s: float
    instrument: str
    asked: tuple[Asked, ...]
    takes: tuple[Take, ...]
    measured: tuple[MeasuredGrip, ...]
    reference_cents: float | None
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
            OwnCents(m.pitch, m.grip, m.cents, m.spread_cents, m.vs_standard, m.takes, date)
            for m in self.measured
        )


def listened_data(found: Listened, sentence: str, written: str | None) -> dict[str, Any]:
    """The JSON object that `gripway listen --format json` prints; `written` is the list that was added to."""
    return {
        "schema": SCHEMA,
        "sentence": sentence,
        "recording": found.source,
        "seconds": round(found.length_s, 2),
        "instrument": found.instrument,
        "reference_hz": None if found.reference_hz is None else round(found.reference_hz, 2),
        "grips": [_grip_data(each) for each in found.measured],
        "missing": [
            {"pitch": plain_name(each.pitch), "grip": each.grip.text}
            for each in found.asked
            if found.measured_of(each) is None
        ],
        "takes": take_rows(found),
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
        "takes": each.takes,
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
