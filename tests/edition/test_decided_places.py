"""Decisions are found again after an edit, and what no longer fits is listed and never guessed."""

from dataclasses import replace

import pytest
from tests.cli.run_gripway import FLUTE, REPEATS
from tests.edition.edited_copies import CHANGED, DECISIONS, kept, written

from gripway.edition.places.decided_places import DOUBLE, GONE, TWICE, find_places, place_of
from gripway.model.decision import Decision, DecisionPlace
from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.tasks.scores import notes as notes_of
from gripway.tasks.scores import read


@pytest.mark.parametrize("score", [REPEATS, FLUTE], ids=lambda path: path.stem)
@pytest.mark.parametrize("seed", range(4))
def test_an_edited_copy_keeps_the_decisions(score: str, seed: int) -> None:
    """A bar at the front, ten notes changed: 95 % of 200 at their own note, none at another."""
    found = kept(written(read(score).passage.notes), seed)
    assert found.wrong == 0
    assert found.right >= 0.95 * DECISIONS
    assert found.right + found.listed == DECISIONS


def bars(*lines: str) -> list[Note]:
    """Bars of quarters, numbered from 1."""
    found: list[Note] = []
    for number, line in enumerate(lines, start=1):
        some = notes_of(line, unit="1/4").notes
        found += [
            replace(note, id=f"b{number}-{place}", bar=str(number), at=note.onset)
            for place, note in enumerate(some)
        ]
    return found


def test_a_changed_note_is_listed() -> None:
    """Nothing is put where the note itself is another one now."""
    before = bars("E6 F#6 G6 A6", "E6 D6 C6 B5")
    decision = Decision(place_of(before, 1, ""), plain=True)
    found = find_places([decision], bars("E6 F6 G6 A6", "E6 D6 C6 B5"))
    assert found.by_note == {}
    assert [each.why for each in found.lost] == [GONE]


def test_a_place_between_two_changed_notes_is_kept() -> None:
    """The notes further away and the beat are as they were."""
    before = bars("E6 F#6 G6 A6", "B6 C6 D6 E6")
    decision = Decision(place_of(before, 3, ""), plain=True)
    (name,) = find_places([decision], bars("E6 F#6 G#6 A6", "Bb6 C6 D6 E6")).by_note
    assert name == "b1-3"
    assert find_places([decision], bars("E6 F6 G#6 A6", "Bb6 C6 D6 E6")).by_note == {}


def test_a_changed_note_whose_like_stands_in_the_next_bar_is_listed() -> None:
    """The decision does not go over to the like, though that is now the only one of its kind."""
    bar, changed = "A6 G6 F6 E6 F6 D6 C6 B5", "A6 G6 F6 E6 F#6 D6 C6 B5"
    before = bars("G5 A5 C5 D5", bar, bar, "C5 D5 G5 E5")
    decision, *beside = (Decision(place_of(before, index, ""), plain=True) for index in (8, 2, 22))
    found = find_places([decision, *beside], bars("G5 A5 C5 D5", changed, bar, "C5 D5 G5 E5"))
    assert list(found.by_note.values()) == beside
    assert [each.why for each in found.lost] == [GONE]


def test_one_of_many_equal_bars_stays_in_its_bar() -> None:
    """In a figure that comes again all the time the bars in between decide."""
    before = bars(*["E6 F#6 E6 F#6"] * 6)
    decision = Decision(place_of(before, 9, ""), plain=True)
    (name,) = find_places([decision], before).by_note
    assert name == "b3-1"


def test_where_two_places_are_as_good_neither_is_taken() -> None:
    """The bar is gone, and its music stands on both sides of where it was."""
    place = DecisionPlace("3", Pitch.parse("F#6"), "", None, (Pitch.parse("E6"),), (Pitch.parse("G6"),))
    found = find_places(
        [Decision(place, plain=True)], bars("E6 F#6 G6 A6", "A6 B6 A6 B6", "C6", "E6 F#6 G6 A6")
    )
    assert found.by_note == {}
    assert [each.why for each in found.lost] == [TWICE]


def test_a_decision_written_by_hand_needs_bar_and_pitch_only() -> None:
    """Where the pitch stands once in its bar; with two of them the beat is needed."""
    some = bars("E6 F#6 G6 A6", "F#6 G6 F#6 A6")
    said = DecisionPlace("1", Pitch.parse("Gb6"))
    assert list(find_places([Decision(said, plain=True)], some).by_note) == ["b1-1"]
    said = replace(said, bar="2")
    assert [each.why for each in find_places([Decision(said, plain=True)], some).lost] == [TWICE]
    said = replace(said, beat=some[6].at * 4 + 1)
    assert list(find_places([Decision(said, plain=True)], some).by_note) == ["b2-2"]


def test_two_decisions_on_one_note_are_told() -> None:
    """The first stands, the second is listed."""
    some = bars("E6 F#6 G6 A6")
    decisions = [
        Decision(place_of(some, 1, ""), plain=True),
        Decision(DecisionPlace("1", Pitch.parse("F#6")), mark=False),
    ]
    found = find_places(decisions, some)
    assert len(found.by_note) == 1
    assert [each.why for each in found.lost] in ([DOUBLE], [GONE])


def test_the_measure_measures() -> None:
    """What counts as kept is the note itself: with every decision moved by one note none is right."""
    assert CHANGED == 10
    some = written(read(REPEATS).passage.notes)
    moved = [Decision(place_of(some, index + 1, ""), plain=True) for index in range(0, 40, 2)]
    names = list(find_places(moved, some).by_note)
    assert names == [some[index + 1].id for index in range(0, 40, 2)]
