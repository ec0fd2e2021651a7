"""Cells: the worst changes, small, each practised once."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from tests.oracles.passages import passages, played
from tests.oracles.practice import A_MAJOR, FIGURES, cells_in, routed

from gripway.model.passage import Passage


@pytest.mark.parametrize("tempo", [80, 92, 100, 112, 120])
@pytest.mark.parametrize("text", [A_MAJOR, f"({A_MAJOR})", "F#6 G#6 A6"])
def test_a_major_isolates_f_sharp_g_sharp_a(text: str, tempo: float) -> None:
    """The three notes that trip in A major are a cell of their own (common practice, no source)."""
    cells = [cell.pitches for cell in cells_in(played(text, tempo))]
    assert ("F#6", "G#6", "A6") in cells or ("A6", "G#6", "F#6") in cells


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
    (cell,) = cells_in(played(text, 100))
    assert cell.pitches == ("F#6", "G#6", "A6")
    assert [place.index for place in cell.places] == [0, 3, 6]
    assert all(place.whole for place in cell.places)


def test_a_repeat_is_no_further_place() -> None:
    """A written note that is played again counts once."""
    passage = played("F#6 G#6 A6:1/8 r:3/4 F#6 G#6 A6:1/8", 100)
    again = tuple(replace(note, id=passage.notes[k % 3].id) for k, note in enumerate(passage.notes))
    (cell,) = cells_in(replace(passage, notes=again))
    assert len(cell.places) == 1


def test_slow_music_has_no_cells() -> None:
    """Where every change has time to spare there is nothing to practise."""
    assert cells_in(played("A5 B5 C#6 D6 E6", 40, unit="1/4")) == ()


@settings(max_examples=60)
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
    assert [cell.load for cell in cells] == sorted((cell.load for cell in cells), reverse=True)
    for change in route.changes:
        if change.load >= FIGURES.hard_load and change.movers:
            ends = (route.notes[change.to - 1], route.notes[change.to])
            assert (
                frozenset((end.note.pitch.number, end.candidate.row_grip) for end in ends if end.candidate)
                in inside
            )


@settings(max_examples=40)
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
