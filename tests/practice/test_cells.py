"""Cells: the worst changes, small, each practised once."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from tests.oracles.passages import passages, played
from tests.oracles.practice import A_MAJOR, FIGURES, cells_in, routed
from tests.tiers import examples

from gripway.model.passage import Passage
from gripway.practice.cells.cells import quarters_near
from gripway.practice.cells.hardness import hard_from, is_alone

SLURRED = f"({A_MAJOR})"
SPOTS = {
    "(D6 E6 F#6 G#6 A6 B6)": ["E6 F#6", "F#6 G#6", "G#6 A6", "A6 B6"],
    "(D6 E6 F6 G6 A6)": ["F6 G6"],
    "(A4 B4 C5 D5 E5)": ["C5 D5"],
    "(A4 B4 C#5 D5 E5)": ["C#5 D5"],
    "(F4 Eb4 Db4 C4)": ["Eb4 Db4", "Db4 C4"],
}
"""Where flutists trip (common practice, no source): the third octave, the break, the low little finger."""


@pytest.mark.parametrize(
    ("text", "tempo"), [(A_MAJOR, 112), (A_MAJOR, 120), *((SLURRED, tempo) for tempo in (92, 100, 112, 120))]
)
def test_a_major_isolates_e_to_a_of_the_third_octave(text: str, tempo: float) -> None:
    """What trips in A major (common practice, no source) is in one cell, E6 to F#6 its worst change."""
    cell = cells_in(played(text, tempo))[0]
    assert cell.pitches == ("E6", "F#6", "G#6", "A6")
    assert cell.worst == 1


def test_cells_that_meet_are_one_where_half_of_the_places_have_both() -> None:
    """C5 D5 and D5 E5 are C5 D5 E5; where most places have but one of them they are two."""
    together = cells_in(played("(C5 D5 E5) r:1/1 (C5 D5 E5)", 150))
    assert [cell.pitches for cell in together] == [("C5", "D5", "E5")]
    apart = cells_in(played("(E6 F#6 G#6 A6) r:1/1 " + "(G#6 A6) r:1/1 " * 4, 160))
    assert ("E6", "F#6", "G#6", "A6") not in [cell.pitches for cell in apart]
    assert {"G#6 A6"} < {" ".join(cell.pitches) for cell in apart}


@pytest.mark.parametrize("tempo", [112, 120])
def test_three_notes_that_trip_are_one_cell(tempo: float) -> None:
    """F#6 G#6 A6 alone: both changes trip about as much."""
    assert [cell.pitches for cell in cells_in(played("F#6 G#6 A6", tempo))] == [("F#6", "G#6", "A6")]


@pytest.mark.parametrize("text", SPOTS)
def test_classic_trouble_spots_are_practised(text: str) -> None:
    """In slurred sixteenths at 120 each is inside a cell."""
    cells = [" ".join(cell.pitches) for cell in cells_in(played(text))]
    assert [spot for spot in SPOTS[text] if not any(spot in cell for cell in cells)] == []


EARLY = ["(G4 A4 B4 A4 G4 F#4 E4)", "(D5 E5 F#5 G5 F#5 E5 D5)", "(G5 A5 B5 C6 B5 A5)"]


@pytest.mark.parametrize("text", EARLY)
def test_what_every_pupil_has_by_the_second_year_is_no_cell(text: str) -> None:
    """Steps inside an octave of the two lower ones, slurred at 120 (common practice, no source)."""
    assert cells_in(played(text)) == ()


def test_what_every_pupil_has_does_not_lead() -> None:
    """At 150 it is quick for all; yet F6 to G6 comes before F#5 to E5 and back, whose load is higher."""
    third, *_, second = cells_in(played("(F5 G5 F#5 E5 F#5 G5 F5 E5) r (F6 G6)", 150))
    assert {"F6", "G6"} <= set(third.pitches)
    assert {"E5", "F#5"} <= set(second.pitches)
    assert second.load > third.load


def test_the_hardest_change_is_found_by_load() -> None:
    """In D6 E6 F6 D6, slurred, the first cell begins at the change of the highest load."""
    passage = played("(D6 E6 F6 D6)")
    _, route = routed(passage)
    worst = max(route.changes, key=lambda change: change.load)
    first = cells_in(passage)[0]
    assert first.change == worst
    assert first.load == worst.load
    assert first.notes[first.worst].index == worst.to


def test_the_slide_of_the_little_finger_is_the_cell() -> None:
    """D#4 to C#4, where R4 slides, is what to practise (common practice: open case DF02)."""
    first = cells_in(played("F4 D#4 C#4 D#4 F4", 100))[0]
    assert first.pitches == ("D#4", "C#4")
    assert first.back[0].index == 2


def test_the_same_change_is_practised_once_with_all_its_places() -> None:
    """Three bars with one cell give one cell and three places."""
    text = " ".join(["F#6 G#6 A6:1/8 r:3/4"] * 3)
    (cell,) = cells_in(played(text, 120))
    assert cell.pitches == ("F#6", "G#6", "A6")
    assert [place.index for place in cell.places] == [0, 3, 6]
    assert all(place.whole for place in cell.places)


def test_a_repeat_is_no_further_place() -> None:
    """A written note that is played again counts once."""
    passage = played("F#6 G#6 A6:1/8 r:3/4 F#6 G#6 A6:1/8", 120)
    again = tuple(replace(note, id=passage.notes[k % 3].id) for k, note in enumerate(passage.notes))
    (cell,) = cells_in(replace(passage, notes=again))
    assert len(cell.places) == 1


def test_slow_music_has_no_cells() -> None:
    """Where every change has time to spare there is nothing to practise."""
    assert cells_in(played("A5 B5 C#6 D6 E6", 40, unit="1/4")) == ()


@settings(max_examples=examples(60))
@given(passages(least=2, most=12, lowest=72, highest=93))
def test_every_hard_change_is_in_a_cell_and_every_cell_is_small(passage: Passage) -> None:
    """Cells have two to five notes with grips, and every change above the limit lies in one, either way."""
    _, route = routed(passage)
    cells = cells_in(passage)
    inside = {
        frozenset(
            (note.note.pitch.number, note.candidate.row_grip) for note in pair if note.candidate is not None
        )
        for cell in cells
        for pair in zip(cell.notes, cell.notes[1:], strict=False)
    }
    assert all(2 <= len(cell.notes) <= FIGURES.cell_notes for cell in cells)
    hardest_first = [cell.hardness(FIGURES) for cell in cells]
    assert hardest_first == sorted(hardest_first, reverse=True)
    for change in route.changes:
        ends = (route.notes[change.to - 1], route.notes[change.to])
        alone = is_alone(route.notes, change.to, FIGURES)
        grips = (end.candidate for end in ends if end.candidate)
        if change.load >= hard_from(change, *grips, FIGURES, alone=alone) and change.movers:
            assert (
                frozenset((end.note.pitch.number, end.candidate.row_grip) for end in ends if end.candidate)
                in inside
            )


@settings(max_examples=examples(40))
@given(passages(least=3, most=12, lowest=72, highest=93))
def test_a_place_has_the_notes_it_names(passage: Passage) -> None:
    """At each whole place stand the cell's pitches and grips; at the others its worst change."""
    _, route = routed(passage)
    for cell in cells_in(passage):
        for place in cell.places:
            part = cell.notes if place.whole else cell.notes[cell.worst - 1 : cell.worst + 1]
            there = route.notes[place.index : place.index + len(part)]
            assert [n.note.pitch.number for n in there] == [n.note.pitch.number for n in part]
            assert [n.candidate and n.candidate.row_grip for n in there] == [
                n.candidate and n.candidate.row_grip for n in part
            ]


def test_graces_say_nothing_of_the_tempo() -> None:
    """A note before a grace sounds shorter than written: the tempo is that of the notes around it."""
    notes = list(routed(played("E6 F#6 G#6 A6", 100))[1].notes)
    short = replace(notes[1].note, length_ms=notes[1].note.length_ms / 4)
    grace = replace(notes[2].note, length=Fraction(0), grace=True)
    for place, note in ((1, short), (2, grace)):
        notes[place] = replace(notes[place], note=note)
    assert quarters_near(notes, 1) == pytest.approx(100)
    alone = [notes[1], notes[2]]
    assert quarters_near(alone, 1) == pytest.approx(400)


def test_places_where_a_rest_parts_the_notes_are_not_named() -> None:
    """The fingers have time there."""
    (cell,) = cells_in(played("F#6 G#6 r:1/1 F#6 r:1/2 G#6:1/8 r:1/1 F#6 G#6", 160))
    assert [place.index for place in cell.places] == [0, 4]


def test_two_cells_of_one_ornament_are_one() -> None:
    """E#5 F#5 A5, hard in grace notes, is one cell though E#5 F#5 alone stands in other places too."""
    found = cells_in(graced("F#5:1/4 E#5 F#5 A5:1/4 r:1/1 " + "(F5 F#5) r:1/1 " * 3, (1, 2), 180))
    assert found
    names = [set(cell.pitches) for cell in found]
    assert not any(one < other for one in names for other in names)
    assert [cell.pitches for cell in found if "A5" in cell.pitches] == [("E#5", "F#5", "A5")]


def graced(text: str, places: Sequence[int], tempo: float) -> Passage:
    """A line in which some notes are graces, 60 ms each, out of the time before the note they lead to."""
    plain = played(text, tempo)
    line = list(plain.notes)
    for number, place in enumerate(reversed(places), start=1):
        after = line[places[-1] + 1]
        line[place] = replace(
            line[place],
            grace=True,
            length=Fraction(0),
            onset=after.onset,
            onset_ms=after.onset_ms - 60 * number,
            length_ms=60,
        )
    return replace(plain, notes=tuple(line))
