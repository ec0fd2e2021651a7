"""What differs between two routes."""

from dataclasses import replace

from tests.oracles.flutes import candidate
from tests.oracles.passages import played

from gripway.compare.route_diff import GripDifference, difference_data, differences

PASSAGE = played("F#6 G#6 F#6", 100.0)
STANDARD, OTHER = candidate("F#6"), candidate("F#6", "T L1 | Eb")
G_SHARP = candidate("G#6")


def test_notes_of_one_pitch_and_pair_of_grips_are_told_together() -> None:
    """With their indices, and what stood there before."""
    found = differences(PASSAGE, (0, 1, 2), (STANDARD, G_SHARP, STANDARD), (OTHER, G_SHARP, OTHER))
    assert found == (GripDifference("F#6", OTHER.grip, STANDARD.grip, (0, 2)),)
    assert difference_data(PASSAGE, found[0]) == {
        "pitch": "F#6",
        "grip": "T L1 | Eb",
        "instead_of": "T L1 L3 | R3 Eb",
        "notes": [0, 2],
        "bars": [],
    }


def test_a_finger_that_may_stay_is_no_difference() -> None:
    """The same grip of the tables with a free finger held is the same."""
    held = replace(G_SHARP, grip=G_SHARP.grip.with_touches("R1"))
    assert differences(PASSAGE, (1,), (G_SHARP,), (held,)) == ()
