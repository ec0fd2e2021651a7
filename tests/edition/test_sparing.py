"""How many marks a part gets, which ones, and what is said of the others."""

from dataclasses import replace

import pytest

from gripway.asked.wishes import Wishes
from gripway.edition.marks import OMITTED, OVER, SMALL, Marking, marking
from gripway.edition.plain_grip import gains_of
from gripway.edition.sparing import most_marks
from gripway.model.house_style import HouseStyle, MarkChoice
from gripway.model.passage import Passage
from gripway.model.player import Player
from gripway.route.result import Route
from gripway.tasks.editions import edit
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes


@pytest.fixture(scope="module")
def edition() -> tuple[Passage, Route, Route]:
    """A quick passage for a player to whom new grips are no trouble: its even route, and the free one."""
    passage = notes("(E6 F#6 G#6 A6 G#6 F#6) (E6 G6 F#6 D6 F6 A6 C#6 F#6 C6 F6) Bb6 G#6 F#6 G6 F6 D#6", 180)
    even = edit(passage, flute(), Wishes(player=Player(dials=(("learning", 0.0),)))).even
    return passage, even.route, even.free


def count(found: Marking) -> int:
    """How many signs there are."""
    return sum(len(each.signs) for each in found.marked)


def test_a_part_has_at_most_so_many_marks_per_hundred_notes(edition: tuple[Passage, Route, Route]) -> None:
    """All that are worth it where there is room; fewer, and the rest said to be over, where there is not."""
    passage, route, free = edition
    written = len({note.id for note in passage.notes})
    for which in ("needed", "figures"):
        house = HouseStyle(which=which, least_gain=0.0, at_most=100)
        everything = marking(route, house, None, free)
        few = marking(route, replace(house, at_most=1), None, free)
        assert count(few) <= most_marks(replace(house, at_most=1), written) < count(everything)
        assert {each.why for each in few.left} == {OVER}
        assert marking(route, replace(house, at_most=0), None, free).marked == ()


def test_the_best_gains_stand(edition: tuple[Passage, Route, Route]) -> None:
    """With room for one mark the grip that saves most has it."""
    _, route, free = edition
    house = HouseStyle(least_gain=0.01, at_most=1)
    gains = gains_of(route, free)
    found = marking(route, house, None, free)
    over = [each.gain for each in found.left if each.why == OVER]
    assert over
    assert max(over) < min(gains[each.note.note.id] for each in found.marked)


def test_every_mark_saves_the_least_gain(edition: tuple[Passage, Route, Route]) -> None:
    """And every note left as too small saves less."""
    _, route, free = edition
    gains = gains_of(route, free)
    found = marking(route, HouseStyle(least_gain=0.1), None, free)
    assert found.marked
    assert all(gains[each.note.note.id] >= 0.1 for each in found.marked)
    small = [each for each in found.left if each.why == SMALL]
    assert small
    assert all(each.gain == gains[each.note.note.id] < 0.1 for each in small)


def test_a_house_leaves_out_by_pitch_kind_and_reason(edition: tuple[Passage, Route, Route]) -> None:
    """What is omitted, or is not among the only ones, has no mark and is said to be left out."""
    _, route, free = edition
    for which in ("needed", "figures"):
        house = HouseStyle(which=which, least_gain=0.0, at_most=100)
        everything = marking(route, house, None, free)
        pitches = {each.note.note.pitch.number for each in everything.marked}
        pitch = next(each.note.note.pitch.number for each in everything.marked)
        without = marking(route, replace(house, omit=MarkChoice(frozenset({pitch}))), None, free)
        only = marking(route, replace(house, only=MarkChoice(frozenset({pitch}))), None, free)
        assert len(pitches) > 1
        assert {each.note.note.pitch.number for each in only.marked} <= pitches
        assert any(each.why == OMITTED for each in only.left)
        assert count(without) < count(everything) > count(only)
        nothing = replace(house, only=MarkChoice(reasons=frozenset({"trill"}), kinds=frozenset({"found"})))
        assert marking(route, nothing, None, free).marked == ()


def test_a_short_passage_counts_as_a_hundred_notes() -> None:
    """Four marks are not too many for ten notes, and change by change nothing is bounded."""
    assert most_marks(HouseStyle(), 10) == 4
    assert most_marks(HouseStyle(), 250) == 10
    assert most_marks(HouseStyle(at_most=0.5), 300) == 1
    assert (
        most_marks(HouseStyle(which="first"), 10) == most_marks(HouseStyle(which="every"), 10) == float("inf")
    )
