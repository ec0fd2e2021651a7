"""The atlas: which patterns there are, and how exactly their resonances are found."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.acoustics.flute import flute, tube_of

from gripway.acoustics import atlas as module
from gripway.acoustics.atlas import (
    HIGHEST_NUMBER,
    LOWEST_NUMBER,
    MOST_RESONANCES,
    Atlas,
    atlas,
    grid,
    open_holes,
    reachable_patterns,
    resonances,
)

FLUTE = flute()
TUBE = tube_of(FLUTE)
PATTERNS = reachable_patterns(FLUTE)
EVERY_40TH = PATTERNS[::40]


@cache
def whole_atlas() -> Atlas:
    """The atlas of all patterns."""
    return atlas(FLUTE, TUBE, PATTERNS)


@pytest.mark.parametrize(("parts", "count"), [((), 3840), (("b-foot",), 5760)])
def test_the_hands_make_as_many_hole_patterns_as_were_counted(parts: tuple[str, ...], count: int) -> None:
    """3,840 hole patterns with a C foot, 5,760 with a B foot, none twice."""
    # counted independently over the choices of each finger (own calculation)
    patterns = reachable_patterns(flute(*parts))
    assert len(patterns) == count
    assert (np.diff(patterns) > 0).all()


def test_holes_are_matched_by_name_not_by_place() -> None:
    """A bore whose holes stand in another order opens the same ones."""
    turned = replace(TUBE, bore=replace(TUBE.bore, holes=tuple(reversed(TUBE.bore.holes))))
    own, other = open_holes(FLUTE, TUBE, EVERY_40TH), open_holes(FLUTE, turned, EVERY_40TH)
    assert (own == other[:, ::-1]).all()
    assert own.any(axis=0).all()


def test_every_row_stands_from_low_to_high_inside_the_grid() -> None:
    """Note numbers rise along a row, then there is nothing; loss and sharpness are there with them."""
    there = ~np.isnan(whole_atlas().numbers)
    assert (np.diff(whole_atlas().numbers, axis=1)[there[:, 1:]] > 0.0).all()
    assert (there[:, :-1] >= there[:, 1:]).all()
    assert (there == ~np.isnan(whole_atlas().loss)).all()
    assert (there == ~np.isnan(whole_atlas().sharpness)).all()
    assert np.nanmin(whole_atlas().numbers) > LOWEST_NUMBER
    assert np.nanmax(whole_atlas().numbers) < HIGHEST_NUMBER
    assert np.nanmin(whole_atlas().loss) > 0.0


def test_no_row_is_full() -> None:
    """There is room for every resonance up to the top of the grid."""
    assert (~np.isnan(whole_atlas().numbers)).sum(axis=1).max() < MOST_RESONANCES


def test_a_pattern_sounds_the_same_alone_and_in_company() -> None:
    """What else is asked for does not change a row, and rows are found by pattern."""
    few = atlas(FLUTE, TUBE, [int(PATTERNS[70]), int(PATTERNS[3])])
    rows = whole_atlas().rows()
    for row, pattern in enumerate(few.patterns):
        np.testing.assert_allclose(few.numbers[row], whole_atlas().numbers[rows[int(pattern)]], atol=1e-9)


def test_ten_cents_between_grid_points_are_fine_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Against a grid of one cent, resonances that can sound lie within 2 cents, 0.25 in the mean square."""
    # expected from a first trial of the method: rms 0.13, most 1.7 cents; up to C#7, quality factor above 15
    coarse = atlas(FLUTE, TUBE, EVERY_40TH)
    monkeypatch.setattr(module, "GRID_CENTS", 1.0)
    fine = atlas(FLUTE, TUBE, EVERY_40TH)
    counted = (coarse.numbers <= 97.5) & (coarse.sharpness > 15.0)
    errors = np.array(
        [
            100.0 * np.nanmin(np.abs(exact - number))
            for exact, row, kept in zip(fine.numbers, coarse.numbers, counted, strict=True)
            for number in row[kept]
        ]
    )
    assert len(errors) > 400
    assert np.sqrt(np.mean(errors**2)) < 0.25
    assert errors.max() < 2.0


def test_resonances_of_a_line_that_is_known() -> None:
    """A series circuit in log frequency gives back its note, its resistance and its quality factor."""
    # R + j R Q (f/f0 - f0/f): resonance f0, resistance R, quality factor Q by definition
    freq_hz, resonant_hz = grid(), 440.0 * 2.0 ** (2.345 / 12.0)
    ratio = freq_hz / resonant_hz
    impedance = 0.2 + 0.2j * 30.0 * (ratio - 1.0 / ratio)
    numbers, loss, sharpness = resonances(freq_hz, np.array([impedance, 0.2 - 1.0j + 0.0 * freq_hz]))
    assert numbers[0, 0] == pytest.approx(71.345, abs=1e-4)
    assert loss[0, 0] == pytest.approx(0.2)
    assert sharpness[0, 0] == pytest.approx(30.0, rel=1e-3)
    assert np.isnan(numbers[0, 1:]).all()
    assert np.isnan(numbers[1]).all()


def test_a_falling_zero_is_no_resonance() -> None:
    """Where the reactance falls through zero the flute does not play."""
    freq_hz = grid()
    numbers, _, _ = resonances(freq_hz, (0.1 - 1j * np.log2(freq_hz / 440.0))[np.newaxis, :])
    assert np.isnan(numbers).all()
