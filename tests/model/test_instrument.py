"""Instruments as values: the flute family as the trade knows it (common practice, no source)."""

import pytest

from gripway.catalog.flute.instruments import load_instrument
from gripway.model.grip import FOOT_TOUCHES, Grip
from gripway.model.instrument import Instrument


@pytest.mark.parametrize(
    ("name", "sounds_semitones"),
    # transposition of the flute family: common practice, no source
    [("concert-flute", 0), ("piccolo", 12), ("alto-flute", -5), ("bass-flute", -12)],
)
def test_the_family_transposes_as_the_trade_writes_it(name: str, sounds_semitones: int) -> None:
    """Piccolo an octave up, alto a fourth down, bass an octave down."""
    assert load_instrument(name).sounds_semitones == sounds_semitones


def test_a_piccolo_ends_below_its_d_sharp_hole() -> None:
    """The piccolo has the Eb key and no other foot key, and its tube ends where D4 sounds."""
    piccolo = load_instrument("piccolo").mechanism
    assert set(piccolo.touches) & set(FOOT_TOUCHES) == {"Eb"}
    assert piccolo.holes[-1].id == "ds"
    assert piccolo.open_holes(Grip.parse("T L1 L2 L3 | R1 R2 R3")) == ()


@pytest.mark.parametrize("name", ["alto-flute", "bass-flute"])
def test_alto_and_bass_have_the_flute_s_linkages(name: str) -> None:
    """The low flutes have the mechanism of the concert flute with a C foot."""
    assert load_instrument(name).mechanism == load_instrument("concert-flute").mechanism


@pytest.mark.parametrize("name", ["alto-flute", "bass-flute"])
def test_high_grips_of_the_low_flutes_count_as_unsure(name: str) -> None:
    """Written notes above G#6 (number 92) are of low confidence on alto and bass."""
    assert load_instrument(name).unsure_above == 92


def test_the_flute_s_cents_are_for_the_flute_alone() -> None:
    """Curated tendencies hold for the concert flute; its relatives share grips, not cents."""
    for name in ("piccolo", "alto-flute", "bass-flute"):
        relative = load_instrument(name)
        assert (relative.family, relative.tendencies) == ("concert-flute", False)
    assert load_instrument("concert-flute").tendencies


def test_equal_instruments_are_one_value() -> None:
    """Instruments with the same facts are equal and can be keys of a cache."""
    mechanism = load_instrument("piccolo").mechanism
    one = Instrument("a", "a flute", mechanism, 60, 96)
    assert {one: 1}[Instrument("a", "a flute", mechanism, 60, 96)] == 1
