"""The key a drill is written in: that of the part, or the one that sounds around where this saves signs."""

from collections.abc import Iterable, Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.key import MOST_SIGNS
from gripway.model.pitch import Pitch
from gripway.route.result import RouteNote

ORDER_OF_SHARPS = "FCGDAEB"


def sounding_fifths(notes: Sequence[RouteNote], place: int, figures: PracticeFigures) -> int:
    """The signature (sharps, flats negative) that the notes `key_reach_notes` around a note want.

    That of the part there stays, unless another leaves at most `key_share` as many of the notes with
    an accidental; of such the one with fewest, then the nearest to that of the part.
    """
    near = [
        each.note
        for each in notes[max(0, place - figures.key_reach_notes) : place + figures.key_reach_notes + 1]
    ]
    written = notes[place].note.fifths

    def strange(fifths: int) -> int:
        return sum(note.pitch.alter != alter_in(fifths, note.pitch) for note in near)

    best = min(
        range(-MOST_SIGNS, MOST_SIGNS + 1), key=lambda each: (strange(each), abs(each - written), each)
    )
    return best if strange(best) <= figures.key_share * strange(written) else written


def drill_fifths(pitches: Iterable[Pitch], written: int, sounding: int, figures: PracticeFigures) -> int:
    """The signature of all drills of a cell: that of the part, unless the sounding one saves accidentals.

    So many of their pitches as `key_saves_notes` must lose theirs: small drills keep that of the part.
    """
    different = set(pitches)
    strange = [
        sum(each.alter != alter_in(fifths, each) for each in different) for fifths in (written, sounding)
    ]
    return sounding if strange[0] - strange[1] >= figures.key_saves_notes else written


def alter_in(fifths: int, pitch: Pitch) -> int:
    """The alteration a signature gives to the letter of a pitch.

    >>> alter_in(2, Pitch.parse("C5")), alter_in(-1, Pitch.parse("C5"))
    (1, 0)
    """
    place = ORDER_OF_SHARPS.index(pitch.step)
    return int(fifths > place) - int(-fifths > len(ORDER_OF_SHARPS) - 1 - place)
