"""What spans several written notes: slurs, long trills, fingered tremolos."""

from collections.abc import Sequence

from gripway.score.reading.ornaments import make_ornament, tremolo_with
from gripway.score.reading.read_notes import WrittenNote
from gripway.score.spelling import BarSpelling, fifths_alters


def slurred_notes(notes: Sequence[WrittenNote]) -> frozenset[int]:
    """Indices of the notes slurred from the note before.

    A slur counts only where both its ends are written.
    """
    slurred: set[int] = set()
    open_slurs: dict[str, int] = {}
    for index, note in enumerate(notes):
        for _, number in (end for end in note.slurs if end[0] == "stop"):
            if (start := open_slurs.pop(number, None)) is not None:
                slurred.update(range(start + 1, index + 1))
        for _, number in (end for end in note.slurs if end[0] == "start"):
            open_slurs[number] = index
    return frozenset(slurred)


def with_long_trills(notes: Sequence[WrittenNote]) -> list[WrittenNote]:
    """The notes under a wavy line that began at a trill sign made trills too.

    The note at which the line stops is still under it; its neighbour follows the key.
    """
    result = []
    trilling = False
    for note in notes:
        kind = note.ornament.kind if note.ornament is not None else ""
        if kind == "trill":
            trilling = "start" in note.wavy
        result.append(_trilled(note) if trilling and not kind and not note.grace else note)
        trilling = trilling and "stop" not in note.wavy
    return result


def _trilled(note: WrittenNote) -> WrittenNote:
    spelling = BarSpelling(note.fifths, fifths_alters(note.fifths))
    return note._replace(ornament=make_ornament("trill", note.pitch, spelling))


def with_tremolos(notes: Sequence[WrittenNote]) -> list[WrittenNote]:
    """Fingered tremolos: the notes at both ends become partners of each other."""
    result = list(notes)
    start: int | None = None
    for index, note in enumerate(notes):
        if note.tremolo == "start":
            start = index
        elif note.tremolo == "stop" and start is not None:
            first = notes[start]
            result[start] = first._replace(ornament=tremolo_with(first.pitch, note.pitch))
            result[index] = note._replace(ornament=tremolo_with(note.pitch, first.pitch))
            start = None
    return result
