"""Pairs the model finds: moves of one and two fingers, counted again by brute force."""

from dataclasses import replace

import pytest
from tests.trills.hands import FINGERS, reaches, ways

import gripway
from gripway.acoustics.atlas import atlas, reachable_patterns
from gripway.candidates.found_rows import tubes_of
from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.tasks.trill_lists import pair_survey_of
from gripway.trills.found import _fine, moves
from gripway.trills.pair import WIDEST

FLUTE = gripway.flute()
PLAIN: frozenset[str] = frozenset()


@pytest.mark.parametrize("text", ["T L1 L2 L3 | R1 R2 Eb", "| Eb", "T L1 L3 | Kds"])
def test_moves_are_all_that_one_and_two_fingers_can_do(text: str) -> None:
    """Every other thing one or two fingers can press, and nothing else."""
    grip = Grip.parse(text)
    hold = FLUTE.mechanism.holds(grip)[0]
    places = [frozenset(reach.touches) if reach else frozenset() for reach in hold.reaches]
    wanted = set()
    for first in range(9):
        for second in range(first, 9):
            for a in reaches(PLAIN)[FINGERS[first]]:
                for b in reaches(PLAIN)[FINGERS[second]]:
                    fingers = list(places)
                    fingers[first] = a
                    fingers[second] = b
                    wanted.add(Grip.of(frozenset().union(*fingers)))
    found = {Grip(move.mask) for move in moves(FLUTE.mechanism, grip)}
    assert found == wanted - {grip}
    for move in moves(FLUTE.mechanism, grip):
        assert move.pattern == FLUTE.mechanism.hole_pattern(Grip(move.mask))


def test_every_found_pair_can_be_held_and_has_a_verdict() -> None:
    """One grip is new and heard near its note; both can be held; no more than are kept."""
    survey = pair_survey_of(FLUTE)
    assert survey is not None
    assert len(survey.pairs) > 300
    window = pair_figures().found_window_cents
    for (low, high), pairs in survey.pairs.items():
        assert 0 < high - low <= WIDEST
        assert len(pairs) <= pair_figures().found_kept_pairs
        for pair in pairs:
            assert all(ways(grip.text) for grip in pair)
            new = [key for key in zip((low, high), pair, strict=True) if key in survey.verdicts]
            assert len(new) >= 1
    octaves = [(pitches, pair) for pitches, pairs in survey.pairs.items() for pair in pairs]
    octaves = [each for each in octaves if each[0][1] - each[0][0] == WIDEST]
    for side in (0, 1):  # the lower grip is new in some, the upper one in others
        assert any((pitches[side], pair[side]) in survey.verdicts for pitches, pair in octaves)
    assert all(abs(verdict.vs_standard) <= window + 0.01 for verdict in survey.verdicts.values())
    assert all(verdict.spread_cents > 0.0 for verdict in survey.verdicts.values())


def test_found_grips_are_in_no_table() -> None:
    """A new grip is none of the grips the tables have for its note, nor one with the same holes."""
    survey = pair_survey_of(FLUTE)
    assert survey is not None
    pattern = FLUTE.mechanism.hole_pattern
    for number, grip in list(survey.verdicts)[::25]:
        known = gripway.grips(Pitch.from_number(number), FLUTE).grips
        assert pattern(grip) not in {pattern(fact.grip) for fact in known if fact.candidate}


def test_a_found_grip_may_lose_and_lean_as_much_as_the_figures_say() -> None:
    """With a figure just as large as what a grip has it is found, with one a trace smaller it is not."""
    pitch, figures = Pitch.parse("D6").number, pair_figures()
    whole = atlas(FLUTE, tubes_of(FLUTE)[0], reachable_patterns(FLUTE))
    standard = next(row.grip for row in grip_rows(FLUTE)[pitch] if row.kind == "standard")
    found = _fine(FLUTE, whole, pitch, standard, figures)
    dearest, (_, loss) = max(found.items(), key=lambda item: item[1][1])
    farthest, (lean, _) = max(found.items(), key=lambda item: abs(item[1][0]))
    for name, size, pattern in (
        ("found_loss_ratio", loss, dearest),
        ("found_window_cents", abs(lean), farthest),
    ):
        for less, there in ((0.0, True), (1e-9, False)):
            narrower = replace(figures, **{name: size - less})
            assert (pattern in _fine(FLUTE, whole, pitch, standard, narrower)) == there
