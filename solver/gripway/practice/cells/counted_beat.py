"""What a player counts while practising: the beat of the metre, or its parts where that would be too slow."""

from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.tempo import DOTTED, EIGHTH, QUARTER, Metre
from gripway.practice.cells.beat_grid import felt_beat
from gripway.practice.cells.cells import Cell


def counted_beat(metre: Metre | None, quarters: float, figures: PracticeFigures) -> Fraction:
    """The beat, in quarters, that tempos up to `quarters` a minute are told in.

    The dotted quarter in 3/8, else the beat of the metre. Where that tempo in halves or dotted quarters, or
    half of it (where ladders may begin) in quarters, is below `least_beats_a_minute`, its parts are counted
    instead (the quarters of a half, the eighths of a quarter, plain or dotted), unless they would go beyond
    `most_beats_a_minute`.
    """
    beat = felt_beat(metre)
    part = QUARTER if beat > DOTTED else EIGHTH
    share = figures.start_least_share if beat == QUARTER else 1.0
    slow = quarters * share < figures.least_beats_a_minute * beat
    return part if slow and quarters <= figures.most_beats_a_minute * part else beat


def place_of(cell: Cell) -> str:
    """Where the hard change of a cell stands that its drills have: `bar 51, beat 2`; empty without bars.

    That is the bar and the beat of the note it leads to, or of the note with the trill; over a bar line both
    bars, `bars 47-48, into beat 1`.
    """
    note = cell.written
    if note is None or not note.bar:
        return ""
    begins = note.bar if cell.trill else cell.notes[cell.worst - 1].note.bar
    there = f"bar {note.bar}, beat" if begins in ("", note.bar) else f"bars {begins}-{note.bar}, into beat"
    if note.metre is None:
        return there.rpartition(",")[0]
    beat, bar = felt_beat(note.metre) / 4, Fraction(*note.metre)
    if beat >= bar:
        beat = Fraction(1, note.metre[1])
    return f"{there} {min(note.at // beat + 1, bar // beat)}"


def beat_of_cell(cell: Cell, figures: PracticeFigures) -> Fraction:
    """The beat that the tempos of a cell are told in; trills go in quarters of their own."""
    return QUARTER if cell.has_own_tempo else counted_beat(cell.metre, cell.quarters, figures)
