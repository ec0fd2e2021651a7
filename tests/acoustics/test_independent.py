"""What is told of a grip's lean, beside a code that is not ours.

The figures of independent_leans.csv were computed by us with openwind 0.12, a general library for
wind instruments, on the measured tube: its own junctions, losses and radiation, no key pads,
25 C. Each is the grip's resonance less that of the standard grip of the note, in cents.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from tests.oracles.flutes import number, solver_of

from gripway.effort.candidate import Tendency
from gripway.model.grip import Grip

LEAST_INSIDE = 22
"""Of 24; a range that holds nine tenths would miss two or three."""


@dataclass(frozen=True)
class Case:
    """A grip with the independent figure and what is told of it."""

    name: str
    independent_cents: float
    told: Tendency

    @property
    def inside(self) -> bool:
        """Whether the figure lies in the range that is told."""
        assert self.told.vs_standard is not None
        assert self.told.vs_spread_cents is not None
        return abs(self.independent_cents - self.told.vs_standard) <= self.told.vs_spread_cents


@cache
def cases() -> tuple[Case, ...]:
    """Every row of the table beside the tendency of its grip."""
    book = solver_of().book
    found = []
    with (Path(__file__).parent / "independent_leans.csv").open(encoding="utf-8", newline="") as stream:
        for line in csv.DictReader(stream):
            pitch, grip = number(line["pitch"]), Grip.parse(line["grip"])
            row = next(row for row in book.rows(pitch) if row.grip == grip)
            name = f"{line['pitch']} {grip}"
            found.append(Case(name, float(line["vs_standard_cents"]), book.plain(row).tendency))
    return tuple(found)


def test_nearly_all_independent_figures_lie_in_the_range_that_is_told() -> None:
    """At least 22 of the 24 grips."""
    assert len(cases()) == 24
    outside = [case.name for case in cases() if not case.inside]
    assert len(outside) <= 24 - LEAST_INSIDE, outside


def test_the_ranges_are_not_wide_for_the_sake_of_it() -> None:
    """Half of them are narrower than 12 cents, and none reaches 25."""
    spreads = sorted(case.told.vs_spread_cents or 0.0 for case in cases())
    assert spreads[11] < 12.0
    assert spreads[-1] < 25.0


def test_what_is_told_has_the_independent_direction() -> None:
    """Where the other code finds more than 5 cents, the lean that is told is on the same side."""
    wrong = [
        case.name
        for case in cases()
        if abs(case.independent_cents) > 5.0
        and (case.told.vs_standard or 0.0) * case.independent_cents <= 0.0
    ]
    assert wrong == []


@pytest.mark.parametrize("name", ["D#6 T L1 L2 L3 | R1 R2 R3 Eb", "G#6 T L1 L2 L3 L4 | Eb", "B6 T L1 | Eb"])
def test_an_overblown_fourth_partial_is_told_clearly_below_the_standard_grip(name: str) -> None:
    """Opening a hole can only raise a resonance, and the standard grip has one more open."""
    (case,) = (case for case in cases() if case.name == name)
    assert case.told.vs_standard is not None
    assert case.told.vs_spread_cents is not None
    assert case.told.vs_standard + case.told.vs_spread_cents < 0.0
