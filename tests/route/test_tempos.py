"""The efforts of a passage at other tempos: those of the whole search, found with less work."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import solver_of
from tests.oracles.passages import played
from tests.oracles.tempos import at_tempo

from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Pin, Wishes
from gripway.model.grip import Grip
from gripway.route.tempo.tempos import Efforts, Tempos

SOLVER = solver_of()
LINES = (
    "(E6 F#6 G#6 A6 G#6 F#6 E6 F#6)",
    "mf Bb4 B4 Bb4 (Bb5 A5 Bb5 C6) r Bb5 Bb5",
    "F#6:1/1 E6:1/2 (F#6 A6 F#6 A6) D7 C#7 D7",
    "B3 G2 (E6 F#6 E6 F#6) G2",
)
"""Grips to learn, the three B-flats and repeated notes, long notes, notes outside the flute."""

WISHES = (
    Wishes(),
    Wishes(choose=STANDARD_ONLY),
    Wishes(pins=(Pin(1, Grip.parse("T 1 3 | 2 Eb")),)),
)


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("wishes", WISHES[:2], ids=["effort", "standard"])
def test_the_effort_is_that_of_the_whole_search(line: str, wishes: Wishes) -> None:
    """Whatever the tempo, the effort is that of the route that `Solver.solve` gives."""
    passage = played(line, 120.0)
    efforts = Efforts(Tempos(SOLVER, passage), wishes)
    for factor in (0.25, 0.7, 1.0, 2.0):
        assert efforts.effort(factor) == SOLVER.solve(at_tempo(passage, factor), wishes).effort_milli


def test_pins_are_kept_at_every_tempo() -> None:
    """A pinned grip stands at every tempo, and its effort is counted."""
    passage = played(LINES[0], 120.0)
    efforts = Efforts(Tempos(SOLVER, passage), WISHES[2])
    for factor in (0.25, 1.0, 2.0):
        assert efforts.candidates(factor)[1].grip == WISHES[2].pins[0].grip
        assert efforts.effort(factor) == SOLVER.solve(at_tempo(passage, factor), WISHES[2]).effort_milli


@pytest.mark.parametrize("line", LINES)
def test_below_says_what_the_effort_says(line: str) -> None:
    """Searched only as far as needed, a bound is told from the effort itself: just at it, and just above."""
    passage = played(line, 120.0)
    tempos = Tempos(SOLVER, passage)
    for factor in (0.25, 1.0, 2.0):
        milli = Efforts(tempos, Wishes()).effort(factor)
        for more in (-2000, -1, 0, 1, 30, 2000):
            fresh = Efforts(tempos, Wishes(choose=LEAST_EFFORT))
            assert fresh.below(factor, milli + more) == (more > 0)


def test_a_passage_without_any_grip_has_no_effort() -> None:
    """Where no note has a grip the effort is 0 and no grip is named."""
    efforts = Efforts(Tempos(SOLVER, played("G2 A2", 100.0)), Wishes())
    assert (efforts.effort(1.0), efforts.candidates(1.0)) == (0, {})
    assert not efforts.below(1.0, 0)
    assert efforts.below(1.0, 1)


def test_the_grips_are_those_of_the_route() -> None:
    """The grips at a tempo are those of the route of least effort."""
    passage = played(LINES[2], 120.0)
    route = SOLVER.solve(at_tempo(passage, 0.25), replace(Wishes(), others=0))
    found = Efforts(Tempos(SOLVER, passage), Wishes()).candidates(0.25)
    assert found == {note.index: note.candidate for note in route.notes if note.candidate}


def test_at_tempo_scales_every_time() -> None:
    """Twice as fast halves onsets and lengths in ms and leaves the written values."""
    passage = played("E6 r F#6:1/8", 100.0)
    for note, fast in zip(passage.notes, at_tempo(passage, 2.0).notes, strict=True):
        assert (fast.onset_ms, fast.length_ms) == (note.onset_ms / 2, note.length_ms / 2)
        assert replace(fast, onset_ms=note.onset_ms, length_ms=note.length_ms) == note
