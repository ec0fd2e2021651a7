"""Harmonic series of low grips, against names of partials and pure intervals."""

import pytest

from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.harmonic_series import Partial, interval, partials, series
from gripway.acoustics.ladder import Tube
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.instruments import load_instrument
from gripway.model.grip import Grip
from gripway.model.pitch import plain_name

FLUTE = load_instrument("concert-flute")
TUBE = Tube(bores(FLUTE)[0], PlayerTerm(121.3, 41.3))


def series_of(grip: str) -> tuple[Partial, ...]:
    """The series of a grip on the measured flute."""
    return series(FLUTE, TUBE, Grip.parse(grip))


def test_partials_of_low_c_are_those_players_practise() -> None:
    """Low C gives C5 G5 C6 E6 G6 B-flat6 C7 above itself, none left out."""
    # Common practice, no source.
    found = series_of("T L1 L2 L3 | R1 R2 R3 C")
    assert [plain_name(each.pitch) for each in found] == ["C4", "C5", "G5", "C6", "E6", "G6", "A#6", "C7"]
    assert [each.partial for each in found] == list(range(1, 9))


def test_the_seventh_partial_of_low_c_is_a_flat_b_flat() -> None:
    """The seventh partial lies well below the tempered B-flat."""
    # Common practice, no source; the pure one is 31 cents flat: 1200 log2(7/4) = 968.8.
    seventh = series_of("T L1 L2 L3 | R1 R2 R3 C")[6]
    assert -60.0 < seventh.tempered_cents < -20.0


def test_five_partials_of_low_d() -> None:
    """Low D gives D5 A5 D6 F#6 A6 above itself."""
    # Common practice, no source.
    names = [plain_name(each.pitch) for each in series_of("T L1 L2 L3 | R1 R2 R3")]
    assert names[:6] == ["D4", "D5", "A5", "D6", "F#6", "A6"]


@pytest.mark.parametrize("grip", ["T L1 L2 L3 | R1 R2 R3 C", "T L1 L2 L3 | Eb", "| Eb"])
def test_cents_from_pure_and_from_tempered_agree_on_where_it_sounds(grip: str) -> None:
    """Both deviations lead back to the same sounding pitch, and the fundamental is pure by definition."""
    found = series_of(grip)
    assert found[0].pure_cents == 0.0
    for each in found:
        from_pure = found[0].sounding + interval(each.partial) + each.pure_cents / 100.0
        assert each.sounding == pytest.approx(from_pure)
        assert each.sounding == pytest.approx(each.pitch + each.tempered_cents / 100.0)


@pytest.mark.parametrize("grip", ["T L1 L2 L3 | R1 R2 R3 C", "T L1 L2 L3 | R1 R2 R3", "T L1 L2 L3 | Eb"])
def test_low_partials_of_a_real_flute_stay_near_the_pure_ones(grip: str) -> None:
    """The second and third partials are playable as harmonics: within 30 cents of pure."""
    # Common practice, no source.
    assert all(abs(each.pure_cents) < 30.0 for each in series_of(grip)[1:3])


@pytest.mark.parametrize(("partial", "cents"), [(2, 1200.0), (3, 1901.955), (5, 2786.314), (7, 3368.826)])
def test_pure_intervals(partial: int, cents: float) -> None:
    """Intervals above the fundamental are those of whole-number ratios."""
    # Table of just intervals: octave, twelfth, 5/4 two octaves up (386.314), 7/4 (968.826).
    assert 100.0 * interval(partial) == pytest.approx(cents, abs=0.001)


def test_a_missing_resonance_leaves_its_partial_out() -> None:
    """With the third resonance gone, the fourth still counts as the fourth."""
    assert partials([60.0, 72.0, 84.1]) == {1: 60.0, 2: 72.0, 4: 84.1}


def test_of_two_resonances_near_one_partial_the_nearer_counts() -> None:
    """A side resonance of a forked grip does not take the partial's place."""
    assert partials([60.0, 71.2, 72.1]) == {1: 60.0, 2: 72.1}


def test_no_resonances_give_no_partials() -> None:
    """Without resonances the series is empty."""
    assert partials([]) == {}
