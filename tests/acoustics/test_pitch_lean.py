"""Tuning: a grip against the standard grip of its note, with the spread over an ensemble of tubes.

Expected differences and gaps are those of tests/acoustics/figures.py, with its bounds.
"""

from functools import cache
from itertools import product
from math import hypot

import numpy as np
import pytest
from tests.acoustics.figures import EXPECTED_GAPS, Gap
from tests.acoustics.flute import flute, number, standard_grip, tube_of
from tests.tiers import thinned

from gripway.acoustics.atlas import Atlas, atlas
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.hole import FORMULAS
from gripway.acoustics.ladder import Tube
from gripway.acoustics.pitch_lean import PLAYERS, REACH_CENTS, Sought, ensemble, nearest, verdicts
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.player_terms import player_term
from gripway.catalog.flute.regulation import regulation_cents
from gripway.model.grip import Grip
from gripway.model.survey import HIGHEST_CLAIM, Verdict

PERFECT = (0.0, 0.0, 0.0)
"""A flute without any unevenness of regulation."""

FEW = 3
"""So many tubes do where the ensemble as a whole decides nothing."""

DIFFERENCE_BOUND_CENTS = 0.6
GAP_BOUND_CENTS = 8.0


@cache
def members(*parts: str) -> tuple[Tube, ...]:
    """The ensemble of the concert flute."""
    tubes = bores(flute(*parts))
    return ensemble(tubes, [PlayerTerm(*player_term(bore.id)) for bore in tubes])


@cache
def verdict_of(
    name: str, grip: str, *parts: str, regulation: tuple[float, ...] = PERFECT, tubes: int | None = None
) -> Verdict | None:
    """What the model says of one grip of a note, by the first so many tubes of the ensemble."""
    pattern = flute(*parts).mechanism.hole_pattern
    sought = Sought(number(name), pattern(Grip.parse(grip)), pattern(standard_grip(name)))
    (found,) = verdicts(flute(*parts), members(*parts)[:tubes], [sought], regulation)
    return found


def test_the_ensemble_has_every_combination_once() -> None:
    """Two bores, keys on all, wide or no holes, two hole formulas, three players; the measured tube first."""
    assert len(members()) == 2 * 3 * len(FORMULAS) * len(PLAYERS) == 36
    made = [(t.bore.id, keyed(t), t.formula, round(t.player.inertance_per_m, 6)) for t in members()]
    wide = len([hole for hole in tube_of(flute()).bore.holes if hole.shape.radius_m > 0.005])
    expected = [
        (bore.id, keys, formula, round(player_term(bore.id)[0] * factor, 6))
        for bore, keys, formula, factor in product(
            bores(flute()), (len(bores(flute())[0].holes), wide, 0), FORMULAS, PLAYERS
        )
    ]
    assert made == expected
    assert members()[0] == tube_of(flute())


def keyed(tube: Tube) -> int:
    """How many holes of a tube have a key above them."""
    return sum(hole.shape.key_radius_m > 0.0 for hole in tube.bore.holes)


@pytest.mark.parametrize("name", thinned(["C4", "E5", "D6", "E6", "C7", "C#7"], 3))
def test_a_standard_grip_against_itself_is_nothing(name: str) -> None:
    """No difference, no spread, though no flute is evenly regulated; the loss is that of itself."""
    found = verdict_of(name, standard_grip(name).text, regulation=regulation_cents(), tubes=FEW)
    assert (found.vs_standard, found.spread_cents, found.loss_ratio) == (0.0, 0.0, 1.0)


@pytest.mark.parametrize("gap", [g for g in EXPECTED_GAPS if g.vs_standard is not None and not g.parts],
                         ids=lambda gap: f"{gap.note} {gap.grip}")  # fmt: skip
def test_differences_from_the_standard_grip_are_the_expected_ones(gap: Gap) -> None:
    """E6 without Eb 15 cents lower, F#6 with R2 and G#6 with R2 R3 about 8, each with its gap."""
    found = verdict_of(gap.note, gap.grip, tubes=1)
    assert found.vs_standard == pytest.approx(gap.vs_standard, abs=DIFFERENCE_BOUND_CENTS)
    assert found.gap_cents == pytest.approx(gap.gap_cents, abs=GAP_BOUND_CENTS)


def test_the_split_e_widens_the_gap_of_e6() -> None:
    """From 187 to 411 cents: what the mechanism is built for (common practice, no source)."""
    plain, split = (verdict_of("E6", "T L1 L2 | R1 R2 Eb", *parts, tubes=1) for parts in ((), ("split-e",)))
    assert plain.gap_cents == pytest.approx(187, abs=GAP_BOUND_CENTS)
    assert split.gap_cents == pytest.approx(411, abs=GAP_BOUND_CENTS)


def test_the_lowest_resonance_has_no_gap() -> None:
    """Below the fundamental of C4 nothing can sound."""
    assert verdict_of("C4", "T L1 L2 L3 | R1 R2 R3 C", tubes=1).gap_cents is None


@pytest.mark.parametrize(("name", "grip"), [("E6", "T L1 L2 | R1 R2"), ("F#6", "T L1 L3 | R2 Eb")])
def test_the_spread_comes_from_the_ensemble(name: str, grip: str) -> None:
    """Positive over the ensemble, nothing over one tube; cents are those of the nominal tube."""
    alone, whole = verdict_of(name, grip, tubes=1), verdict_of(name, grip)
    assert alone.spread_cents == 0.0 < whole.spread_cents
    assert alone.cents == whole.cents
    assert abs(alone.vs_standard - whole.vs_standard) < whole.spread_cents


def test_the_difference_is_a_mean_and_the_spread_nine_tenths_of_the_deviations() -> None:
    """Restated from the difference on each tube asked by itself (numpy.mean, numpy.quantile)."""
    pattern = flute().mechanism.hole_pattern
    item = Sought(number("E6"), pattern(Grip.parse("T L1 L2 | R1 R2")), pattern(standard_grip("E6")))
    each = [verdicts(flute(), [tube], [item], PERFECT)[0].vs_standard for tube in members()]
    mean = float(np.mean(each))
    deviations = [abs(difference - mean) for difference in each]
    found = verdict_of("E6", "T L1 L2 | R1 R2")
    assert found.vs_standard == pytest.approx(mean)
    assert found.spread_cents == pytest.approx(float(np.quantile(deviations, 0.9)))


def test_the_trill_key_s_d6_lies_between_a_shaded_and_a_bare_hole() -> None:
    """20 to 45 cents below the standard D6, all of it in the range: what is above its small hole decides."""
    # two codes on the same geometry: -43 with the key of the measured flute, -20 with no key at all
    found = verdict_of("D6", "L1 | Kd Eb", regulation=regulation_cents())
    assert found.vs_standard - found.spread_cents <= -45.0
    assert found.vs_standard + found.spread_cents >= -20.0
    assert found.spread_cents < 20.0


@pytest.mark.whole
@pytest.mark.parametrize(("name", "grip", "octave"), [("F#4", "T L1 L2 L3 | R2 Eb", 0),
                         ("F#5", "T L1 L2 L3 | R2 Eb", 1), ("F#6", "T L1 L3 | R2 Eb", 2)])  # fmt: skip
def test_regulation_adds_as_a_square_by_octave(name: str, grip: str, octave: int) -> None:
    """Each octave takes its own figure, and only that one."""
    regulation = tuple(20.0 if k == octave else 500.0 for k in range(3))
    even, uneven = verdict_of(name, grip), verdict_of(name, grip, regulation=regulation)
    assert uneven.spread_cents == pytest.approx(hypot(even.spread_cents, 20.0))
    assert uneven.vs_standard == even.vs_standard


def test_the_regulation_of_the_tables_is_a_few_cents() -> None:
    """3, 9 and 7 cents in the three octaves: the same flute, unevenly regulated."""
    assert regulation_cents() == (3.0, 9.0, 7.0)


@pytest.mark.parametrize("name", ["D7", "D#7"])
def test_nothing_is_said_above_c_sharp_7(name: str) -> None:
    """Above the highest claim even the standard grip has no verdict; C#7 itself has one."""
    assert number("C#7") == HIGHEST_CLAIM
    assert verdict_of(name, standard_grip(name).text, tubes=FEW) is None
    assert verdict_of("C#7", standard_grip("C#7").text, tubes=FEW) is not None


def test_a_grip_that_does_not_sound_the_note_has_no_verdict() -> None:
    """The tube closed down to C4 has nothing within 120 cents of D4, and the grip of D4 nothing near E4."""
    assert verdict_of("D4", "T L1 L2 L3 | R1 R2 R3 C", tubes=FEW) is None
    assert verdict_of("E4", "T L1 L2 L3 | R1 R2 R3", tubes=FEW) is None


def test_the_nearest_resonance_within_reach_is_taken() -> None:
    """Of the resonances of a row the one nearest to a note number, none farther than the reach."""
    made = Atlas(
        np.array([0, 1]), np.array([[60.0, 72.5, 73.5], [np.nan] * 3]), np.ones((2, 3)), np.ones((2, 3))
    )
    edge = REACH_CENTS / 100.0
    asked = [60.0, 72.9, 73.1, 60.0 + edge - 0.01, 60.0 + edge + 0.01]
    assert [nearest(made, 0, n) for n in asked] == [0, 1, 2, 0, None]
    assert nearest(made, 1, 60.0) is None


def test_cents_are_those_of_the_nominal_tube() -> None:
    """`cents` is the resonance of the measured tube against equal temperament, as its atlas has it."""
    pattern = flute().mechanism.hole_pattern(standard_grip("A5"))
    numbers = atlas(flute(), tube_of(flute()), [pattern]).numbers[0]
    own = min(numbers[~np.isnan(numbers)], key=lambda n: abs(n - number("A5")))
    found = verdict_of("A5", standard_grip("A5").text, tubes=1)
    assert found.cents == pytest.approx(100.0 * (own - number("A5")))
