"""Rhythms and dotted figures as a teacher writes them: the hard change short, a plain last note."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import drills_in

from gripway.model.passage import Passage
from gripway.practice.cells.cells import Cell
from gripway.practice.drills.drills import Drill

SCALE = "D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 E6 F#6 G#6 A6 G#6 F#6 E6"
METRES = {
    (4, 4): (Fraction(1, 4), "1/16", 110),
    (3, 4): (Fraction(1, 4), "1/16", 110),
    (2, 4): (Fraction(1, 4), "1/16", 110),
    (2, 2): (Fraction(1, 2), "1/8", 220),
    (6, 8): (Fraction(3, 8), "1/16", 110),
    (3, 8): (Fraction(3, 8), "1/16", 110),
}
"""The beat that is felt in a metre, the notes of a run, its quarters a minute."""

every_metre = pytest.mark.parametrize("metre", METRES, ids=lambda metre: f"{metre[0]}-{metre[1]}")


def in_metre(line: Passage, metre: tuple[int, int]) -> Passage:
    """A line from the first beat of bar 1 on."""
    bar = Fraction(*metre)
    return Passage(
        tuple(
            replace(
                note, bar=str(note.onset // bar + 1), at=note.onset % bar, metre=metre, id=f"P1-{note.id}"
            )
            for note in line.notes
        )
    )


def of_kind(line: Passage, kind: str) -> list[tuple[Cell, Drill]]:
    """The drills of a kind with their cells."""
    return [(cell, drill) for cell, drill in drills_in(line) if drill.kind == kind]


@every_metre
def test_a_rhythm_is_short_on_the_change_and_ends_on_a_plain_note_on_a_beat(metre: tuple[int, int]) -> None:
    """In cut time on a half, in 6/8 and 3/8 on a dotted quarter; the long notes are all alike, and longer."""
    beat, unit, tempo = METRES[metre]
    found = of_kind(in_metre(played(SCALE, tempo, unit), metre), "rhythm")
    assert len(found) > 2
    for _, drill in found:
        *before, last = drill.passage.notes
        assert last.onset % beat == 0
        assert last.length == (Fraction(1, 4) if metre == (2, 2) else beat)
        short = Fraction(unit)
        assert any(before[to - 1].length == short for to in drill.changes if to <= len(before))
        longs = {note.length for note in before} - {short}
        assert len(longs) == 1
        assert min(longs) > short


@every_metre
def test_a_long_note_of_a_rhythm_goes_over_a_beat_only_where_it_begins_on_one(metre: tuple[int, int]) -> None:
    """And over no bar line."""
    beat, unit, tempo = METRES[metre]
    for _, drill in of_kind(in_metre(played(SCALE, tempo, unit), metre), "rhythm"):
        for note in drill.passage.notes[:-1]:
            left = -note.onset % beat or beat
            assert note.length <= left or note.onset % beat == 0
            assert note.onset % Fraction(*metre) + note.length <= Fraction(*metre)


def test_a_rhythm_has_all_its_notes_before_the_last() -> None:
    """Its name is what is printed: three short ones are three."""
    for _, drill in of_kind(in_metre(played(SCALE, 110), (4, 4)), "rhythm"):
        lengths = [note.length for note in drill.passage.notes[:-1]]
        signs = "".join("S" if length == min(lengths) else "L" for length in lengths)
        assert len(signs) >= len(drill.rhythm)
        assert all(sign == drill.rhythm[place % len(drill.rhythm)] for place, sign in enumerate(signs))


def test_dotted_figures_are_even_first_and_then_as_written() -> None:
    """Two dotted figures and the note they arrive on: eighths, then the part; both begin at their beat."""
    line = in_metre(played("E6:3/16 F#6:1/16 E6:3/16 F#6:1/16 E6:1/4 D6:1/4 " * 3, 120), (4, 4))
    found = of_kind(line, "evened")
    assert found
    for _, drill in found:
        notes = drill.passage.notes
        half = len(notes) // 2
        even, written = notes[:half], notes[half:]
        assert [note.pitch for note in even] == [note.pitch for note in written]
        assert {note.length for note in even[:-1]} == {Fraction(1, 8)}
        assert {note.length for note in written[:-1]} == {Fraction(3, 16), Fraction(1, 16)}
        assert even[-1].length == written[-1].length == Fraction(1, 4)
        assert all(group[0].onset % Fraction(1, 4) == 0 for group in (even, written))
        assert any(to > half for to in drill.changes)
    assert not of_kind(in_metre(played(SCALE, 110), (4, 4)), "evened")


def test_a_siciliano_is_three_even_eighths_first() -> None:
    """Dotted eighth, sixteenth, eighth: of the six eighths only the dotted and the short one change."""
    line = in_metre(played("A5:3/16 D6:1/16 F#6:1/8 " * 6, 156), (6, 8))
    (drill,) = [drill for _, drill in of_kind(line, "evened")][:1]
    assert [note.length for note in drill.passage.notes[:3]] == [Fraction(1, 8)] * 3
    assert [3, 1, 2] in [
        [int(note.length * 16) for note in drill.passage.notes[at : at + 3]]
        for at in range(len(drill.passage.notes) - 2)
    ]


def test_a_short_note_on_the_beat_before_a_dotted_one_is_no_dotted_figure() -> None:
    """The dot belongs to the short note before it: even notes would be paired over two slurs."""
    snaps = "D6:1/4 (G6:1/16 E6:3/16) (B5:1/16 D6:3/16) (C#6:1/16 E6:3/16) A5:1/4 "
    assert drills_in(in_metre(played(snaps * 3, 176), (5, 4)))
    assert not of_kind(in_metre(played(snaps * 3, 176), (5, 4)), "evened")
    dotted = snaps.replace("(G6:1/16 E6:3/16)", "(G6:3/16 E6:1/16)").replace(
        "(B5:1/16 D6:3/16)", "(B5:3/16 D6:1/16)"
    )
    assert of_kind(
        in_metre(played(dotted.replace("(C#6:1/16 E6:3/16)", "C#6:1/4") * 3, 176), (5, 4)), "evened"
    )


def test_no_drill_begins_with_a_rest_of_a_32nd() -> None:
    """In 32nds too: one alone before the beat is a sixteenth, a run is built up from its third last."""
    line = "(G4:1/16 A4:1/32 B4:1/32 C5:1/32 D5:1/32 E5:1/32 F#5:1/32 G5:1/4) G5:1/4 G5:1/4 "
    found = drills_in(in_metre(played(line * 2, 76), (3, 4)))
    assert {drill.kind for _, drill in found} >= {"stop", "before", "after", "rhythm"}
    for _, drill in found:
        assert drill.passage.notes[0].onset.denominator < 32, drill.notation
        for one, other in pairwise(drill.passage.notes):
            assert (other.onset - one.onset - one.length).denominator < 32


def test_the_note_after_a_rest_is_no_note_after_the_change() -> None:
    """There the fingers have time."""
    near, far = "E6 F#6 G#6:1/4 ", "E6 F#6 r:1/8 G#6:1/8 "
    kinds = [
        {drill.kind for _, drill in drills_in(played(text * 4, 150))} for text in (near + "A5:1/4 ", far)
    ]
    assert "after" in kinds[0]
    assert "after" not in kinds[1]


def test_a_short_note_and_its_stop_are_on_the_half_in_cut_time() -> None:
    """A quarter and an eighth's rest, the short note, the long one on the second half; in 4/4 on a beat."""
    for metre, onset in (((2, 2), Fraction(1, 2)), ((4, 4), Fraction(1, 4))):
        for _, drill in of_kind(in_metre(played(SCALE, 220, "1/8"), metre), "stop"):
            assert drill.passage.notes[-1].onset == onset
