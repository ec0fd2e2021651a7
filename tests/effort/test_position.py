"""Hand positions: every way to hold a grip, with the resting places that matter."""

import csv
from pathlib import Path

import pytest
from tests.every import every
from tests.oracles.flutes import solver_of

from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.tables.locator import tables_folder
from gripway.effort.position import Position, is_down, positions
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS

MECHANISM = load_instrument("concert-flute", ("high-c", "c-sharp-trill")).mechanism


def held(text: str, **rests: bool) -> list[Position]:
    """All positions of a grip."""
    return list(positions(MECHANISM, Grip.parse(text), **rests))


def reach_table() -> set[tuple[str, str]]:
    """(finger, touches) of the table of reaches, read as text."""
    path = Path(str(tables_folder())) / "instruments" / "concert-flute" / "reach.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return {(row["finger"], row["touches"]) for row in csv.DictReader(stream)}


def test_a_plain_grip_has_one_position() -> None:
    """G5: four fingers on their own touches, the others at home."""
    (only,) = held("T L1 L2 L3 | Eb")
    assert only == Position(("T", "L1", "L2", "L3", ""), ("-R1", "", "", "Eb"))


def test_a_lifted_thumb_may_rest_over_either_key() -> None:
    """Where it matters, the thumb of C5 rests over T or over Tb, T first."""
    assert [p.left[0] for p in held("L1 | Eb", thumb_rests=True)] == ["-T", "-Tb"]
    assert [p.left[0] for p in held("L1 | Eb")] == ["-T"]


def test_a_lifted_index_may_rest_over_the_side_lever() -> None:
    """Where it matters, R1 of B5 rests over its plate or over Sb, the plate first."""
    assert [p.right[0] for p in held("T L1 | Eb", lever_rests=True)] == ["-R1", "-Sb"]


def test_two_fingers_may_share_a_trill_key() -> None:
    """Kd is pressed by R2, its usual finger, or by R1, which counts as a second choice."""
    first, second = held("L1 | Kd Eb")
    assert (first.right[1], first.second_choices) == ("Kd", 0)
    assert (second.right[0], second.second_choices) == ("Kd", 1)


@pytest.mark.parametrize(
    "text", ["| R1 R2 Kd", "| R2 R3 Kds", "| R1 R3 Kd Kds", "| Sb R2 Kd", "| Kcs R3 Kd Kds"]
)
def test_what_no_hand_can_hold(text: str) -> None:
    """The holds that the layout of the keys forbids are refused (see the mechanism's facts)."""
    with pytest.raises(ImpossibleHoldError):
        held(text)


@pytest.mark.parametrize("text", ["| R1 R2 Kds", "| R2 R3 Kd", "| R1 Kd Kds", "| R2 Kd Kds"])
def test_what_a_hand_can_hold(text: str) -> None:
    """The holds that look alike and can be done are there."""
    assert held(text)


@every(range(59, 101))
def test_positions_press_just_the_grip(pitch: int) -> None:
    """In every candidate each finger does what the table of reaches lets it, and nothing is missing."""
    reaches = reach_table()
    for c in solver_of("concert-flute", "high-c", "c-sharp-trill").book.column(pitch, True, True):
        places = dict(zip(FINGERS, c.position.left + c.position.right, strict=True))
        down = {finger: place for finger, place in places.items() if is_down(place)}
        assert sorted(" ".join(down.values()).split()) == sorted(c.grip.touches)
        assert set(down.items()) <= reaches
