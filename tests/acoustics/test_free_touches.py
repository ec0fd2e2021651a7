"""Free fingers: what may stay down or up while a note sounds, by the model.

Expected: C5 and C#5 bear R2 R3 down, C5 not R1 (teachers keep the right hand down across
C5-C#5-D5: common practice, no source); a thumb key and the side lever move no hole while L2 is down
(linkages of the mechanism).
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.acoustics.measured_flute import FLUTE, atlas_of, number, standard_grips
from tests.tiers import examples

from gripway.acoustics.free_touches import MOST_VARIANTS, FreeVariant, free_variants
from gripway.acoustics.sounds import nearest_resonances
from gripway.catalog.tables.acoustic_limits import acoustic_limits
from gripway.model.grip import Grip

ATLAS = atlas_of()
STANDARD = standard_grips()


def variants(pitch: str, most: int = MOST_VARIANTS) -> dict[str, FreeVariant]:
    """Free variants of the standard grip of a pitch, by their text."""
    note = number(pitch)
    return {v.grip.text: v for v in free_variants(FLUTE, ATLAS, STANDARD[note], note, most)}


@pytest.mark.parametrize(
    ("pitch", "grip"), [("C5", "L1 | R2 R3 Eb"), ("C#5", "| R2 R3 Eb"), ("C6", "L1 | R2 R3 Eb")]
)
def test_right_hand_stays_down_across_the_break(pitch: str, grip: str) -> None:
    """R2 and R3 are free on C5, C#5 and C6, and come first."""
    found = variants(pitch)
    assert next(iter(found)) == grip
    assert found[grip].held == ("R2", "R3")
    assert found[grip].lifted == ()


def test_they_stay_down_with_the_little_finger_up() -> None:
    """On the way to D5, which lifts Eb, C5 and C#5 bear R2 R3 without it."""
    assert "L1 | R2 R3" in variants("C5")
    assert "| R2 R3" in variants("C#5")


def test_r1_is_not_free_on_c5() -> None:
    """R1 shuts the hole of B4 too, which C5 needs: it lowers C5 by some 17 cents."""
    assert not any("R1" in v.held for v in variants("C5", most=1000).values())


def test_nothing_below_the_first_open_hole_of_a_low_note_is_free_to_shut() -> None:
    """On D#4 and E4 nothing but the other thumb key is free."""
    assert set(variants("D#4")) == {"Tb L1 L2 L3 | R1 R2 R3 Eb"}
    assert set(variants("E4")) == {"Tb L1 L2 L3 | R1 R2 Eb"}


def test_what_moves_no_hole_is_free() -> None:
    """On G4 Tb for T and the side lever leave every hole as it is: no shift at all."""
    found = variants("G4")
    for text in ("Tb L1 L2 L3 | Eb", "T L1 L2 L3 | Sb Eb", "Tb L1 L2 L3 | Sb Eb"):
        assert found[text].shift_cents == 0.0
    assert (found["Tb L1 L2 L3 | Eb"].held, found["Tb L1 L2 L3 | Eb"].lifted) == (("Tb",), ("T",))


@pytest.mark.parametrize("pitch", ["B4", "B5", "B6", "F#6"])
def test_the_b_flat_keys_are_not_free_where_the_note_needs_their_hole(pitch: str) -> None:
    """Never Tb or Sb with B4 B5 B6 and F#6 (common practice, no source)."""
    assert not any({"Tb", "Sb"} & set(v.held) for v in variants(pitch, most=1000).values())


@pytest.mark.parametrize("pitch", ["D#6", "F#6", "A6"])
def test_the_little_finger_is_never_taken_off(pitch: str) -> None:
    """R4 stays on Eb for D#6, F#6 and A6 (common practice, no source)."""
    assert not any("Eb" in v.lifted for v in variants(pitch, most=1000).values())


@pytest.mark.parametrize("pitch", ["C#7", "D7", "D#7"])
def test_nothing_is_free_from_c_sharp_7_up(pitch: str) -> None:
    """The model claims nothing there."""
    assert variants(pitch) == {}


def test_a_grip_that_does_not_sound_the_note_has_none() -> None:
    """The low C grip has no free fingers for D5, which it does not sound."""
    assert free_variants(FLUTE, ATLAS, Grip.parse("T L1 L2 L3 | R1 R2 R3 C"), number("D5")) == ()


def test_no_more_than_asked() -> None:
    """The nearest ones are kept."""
    assert list(variants("C5", most=3)) == list(variants("C5"))[:3]


@settings(max_examples=examples(60), deadline=None)
@given(st.sampled_from([note for note in sorted(STANDARD) if note < number("C#7")]))
def test_every_variant_keeps_its_word(note: int) -> None:
    """Holdable, other touches as it says, no more than so many, and inside every limit by the atlas."""
    limits, grip = acoustic_limits(), STANDARD[note]
    found = free_variants(FLUTE, ATLAS, grip, note)
    assert len(found) <= MOST_VARIANTS
    assert len({variant.grip for variant in found} | {grip}) == len(found) + 1
    rows = ATLAS.rows()
    base_row = rows[FLUTE.mechanism.hole_pattern(grip)]
    base = nearest_resonances(ATLAS, note)
    own = nearest_resonances(ATLAS, float(base.numbers[base_row]))
    for variant in found:
        row = rows[FLUTE.mechanism.hole_pattern(variant.grip)]
        assert FLUTE.mechanism.holds(variant.grip)
        assert grip.with_touches(*variant.held).without(*variant.lifted) == variant.grip
        assert abs(variant.shift_cents) < limits.free_cents
        assert variant.shift_cents == pytest.approx(100.0 * (own.numbers[row] - base.numbers[base_row]))
        assert own.loss[row] < (1.0 + limits.free_loss_share) * base.loss[base_row]
        gap = own.gap_cents[row]
        assert gap > limits.free_gap_wide_cents or gap > base.gap_cents[base_row] - limits.free_gap_cents
