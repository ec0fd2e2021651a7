"""Pairs for trills join the grips of both pitches: grips of the tables learn their partner."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import number

from gripway.candidates.trill_grips import with_trill_grips
from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.trills import TrillRow, trill_rows

FLUTE = load_instrument()
LOWER, UPPER = number("C#6"), number("D6")
PAIR = trill_rows(FLUTE)[LOWER, UPPER][0]


def joined(pair: TrillRow) -> dict[int, tuple[object, ...]]:
    """What a pair alone gives to the two pitches, where the tables have no row."""
    return {**with_trill_grips({}, {(pair.lower, pair.upper): (pair,)})}


def test_a_pair_gives_each_pitch_its_grip_with_the_other_as_partner() -> None:
    """Of kind trill, for motion only."""
    (lower,), (upper,) = (with_trill_grips({}, {(LOWER, UPPER): (PAIR,)})[pitch] for pitch in (LOWER, UPPER))
    assert (lower.grip, lower.partners) == (PAIR.lower_grip, {UPPER})
    assert (upper.grip, upper.partners) == (PAIR.upper_grip, {LOWER})
    assert {lower.kind, upper.kind} == {"trill"}
    assert lower.for_ == upper.for_ == {"motion"}
    assert (lower.place, upper.place) == (0, 1)


@pytest.mark.parametrize(
    "pair",
    [
        replace(PAIR, flags=frozenset({"no-good-trill"})),
        replace(PAIR, lower_grip=None),
        replace(PAIR, upper_grip=None),
        replace(PAIR, lower_grip=None, upper_grip=None, flags=frozenset({"no-good-trill"})),
    ],
    ids=["no good trill", "no lower grip", "no upper grip", "neither"],
)
def test_what_is_no_pair_gives_nothing(pair: TrillRow) -> None:
    """One that is called no good trill, or has not both its grips."""
    assert joined(pair) == {}


def test_a_grip_of_the_tables_stays_what_it_is() -> None:
    """It only learns its partner; rows of the tables stand first."""
    rows = grip_rows(FLUTE)
    known = rows[UPPER][0]
    pair = replace(PAIR, upper_grip=known.grip)
    found = with_trill_grips({UPPER: rows[UPPER]}, {(LOWER, UPPER): (pair,)})
    assert found[UPPER][0] == replace(known, partners=known.partners | {LOWER})
    assert found[UPPER][1:] == rows[UPPER][1:]
