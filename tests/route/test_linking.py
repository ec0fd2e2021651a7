"""Links of a passage: fresh fingers by the plain grips, and repeated notes that keep their grip."""

from itertools import product

import pytest
from hypothesis import given, settings
from tests.oracles.flutes import FIGURES, candidate, solver_of
from tests.oracles.passages import passages, played
from tests.oracles.recount import linked
from tests.tiers import examples

from gripway.asked.wishes import Pin, Wishes
from gripway.candidates.note_columns import NoteColumn
from gripway.effort.hand import FINGER_BITS
from gripway.effort.setting import Link
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.linking import asked_anew, passage_links, relevant_places
from gripway.route.result import OPTIMAL
from gripway.route.stretches import stretch_trellises

SOLVER = solver_of()
THUMB, LEVER = Grip.parse("Tb L1 | Eb"), Grip.parse("T L1 | Sb Eb")


def between(passage: Passage, *asked: int) -> tuple[Link, ...]:
    """The links of a passage; `asked` are notes whose grip somebody asked for."""
    return passage_links(passage.notes, SOLVER.book, SOLVER.model.times, FIGURES, frozenset(asked))


def fingers(link: Link) -> set[str]:
    """The fresh fingers of a link."""
    return {finger for finger, bit in FINGER_BITS.items() if link.fresh & bit}


def test_fresh_are_the_fingers_that_moved_a_note_ago() -> None:
    """G4 A4 B4 A4: L3, then L2, then L2 again; nothing is fresh at the first change."""
    # A4 lifts L3 from G4, B4 lifts L2 (mechanism)
    assert [fingers(link) for link in between(played("G4 A4 B4 A4"))] == [set(), set(), {"L3"}, {"L2"}]


def test_a_note_without_a_grip_leaves_no_finger_fresh() -> None:
    """Over a gap nothing is known of the fingers, be it too high or in want of a part of the flute."""
    for gap in ("F#7", "B3"):
        assert [fingers(link) for link in between(played(f"G4 {gap} A4 B4"))][2:] == [set(), set()]


def test_fingers_that_moved_in_a_rest_are_not_fresh() -> None:
    """E5 to G5 needs no more after a rest than at the beginning; without it fingers turn round."""
    snap, rested, line = (played(text, 120) for text in ("E5 G5", "C6 r E5 G5", "C6 E5 G5"))
    loads = [SOLVER.solve(passage).changes[-1].load for passage in (snap, rested, line)]
    assert loads[0] == loads[1] < loads[2]
    assert fingers(between(rested)[-1]) == set() != fingers(between(line)[-1])


@settings(max_examples=examples(60))
@given(passages(least=1, most=8))
def test_the_links_are_those_of_the_rules(passage: Passage) -> None:
    """Every link equals its restatement from the places of the fingers."""
    assert list(between(passage)) == linked(passage, SOLVER)


def test_a_repeated_note_keeps_its_grip() -> None:
    """Only the link between two notes of one pitch is kept, and none of which a grip was asked for."""
    passage = played("A5 Bb5 Bb5 Bb5 C6")
    assert [link.kept for link in between(passage)] == [False, False, True, True, False]
    assert [link.kept for link in between(passage, 2)] == [False, False, False, False, False]
    assert [link.kept for link in between(passage, 1)] == [False, False, False, True, False]


def test_a_route_keeps_the_grip_of_a_repeated_note() -> None:
    """After B natural and in a flat key there is a B-flat for each: struck twice it has one grip."""
    route = SOLVER.solve(played("B5 Bb5:1/4 Bb5:1/4 A5 G5 F5", 120.0, fifths=-1))
    first, second = (note.candidate for note in route.notes[1:3])
    assert first.grip == second.grip


@pytest.mark.parametrize("pinned", [1, 2])
def test_a_pin_may_break_it(pinned: int) -> None:
    """One of two repeated notes pinned to the lever: the other may have another grip, the pin holds."""
    passage = played("C6:1/4 Bb5:1/4 Bb5:1/4 C6:1/4", 60.0, fifths=-1)
    route = SOLVER.solve(passage, Wishes(pins=(Pin(pinned, LEVER), Pin(3 - pinned, THUMB))))
    assert route.status == OPTIMAL
    assert [note.candidate.grip for note in route.notes[1:3]] == [
        LEVER if k == pinned else THUMB for k in (1, 2)
    ]


def test_where_it_cannot_be_kept_the_grip_may_change() -> None:
    """A repeated note without any grip that serves both falls back to a change, and is no gap."""
    passage = played("C6:1/1 Bb5:1/1 Bb5:1/1", 60.0)
    ground = SOLVER.ground(passage)
    columns = [(candidate("C6"),), (candidate("A#5", THUMB.text),), (candidate("A#5", LEVER.text),)]
    links = list(between(passage))
    assert links[2].kept
    found = list(
        stretch_trellises([NoteColumn(column) for column in columns], ground.builder, ground.settings, links)
    )
    assert [len(trellis.columns) for trellis in found] == [3]
    assert not links[2].kept


def test_only_pins_beside_the_same_pitch_change_a_link() -> None:
    """Of all sets of pinned notes those beside their own pitch alone give the links of the whole set."""
    passage = played("B4 B4 A4 G4 G4 G4 A4 B4")
    beside = {0, 1, 3, 4, 5}
    for chosen in range(1 << len(passage.notes)):
        asked = frozenset(k for k in range(len(passage.notes)) if chosen >> k & 1)
        left = relevant_places(passage.notes, asked)
        assert left == asked & beside
        assert between(passage, *left) == between(passage, *asked)


def test_links_asked_anew_are_those_of_the_whole_passage() -> None:
    """From any set of pinned notes to any other: the links changed are those made for the other alone."""
    passage = played("B4 B4 A4 G4 G4 G4 A4")
    sets = [frozenset(k for k in range(7) if chosen >> k & 1) for chosen in range(1 << 7)]
    links = {asked: between(passage, *asked) for asked in sets}
    for before, now in product(sets[::5], sets):
        assert asked_anew(links[before], passage.notes, now) == links[now]
