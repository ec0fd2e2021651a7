"""Whether a written grip is one, of its note, on this flute."""

import pytest

from gripway.candidates.candidates import Candidates
from gripway.candidates.grip_check import NEEDS, NO_GRIP, NO_HOLD, GripCheck
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import Ban, Player
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.flutes import flute


def check(*parts: str) -> GripCheck:
    """The check of a concert flute with these parts."""
    return GripCheck(Candidates(knowledge_of(flute("concert-flute", parts))))


@pytest.mark.parametrize(
    ("pitch", "grip", "kind"),
    [
        # All by common practice, no source, but for the free fingers, which are the model's.
        ("F#6", "T L1 L3 | R3 Eb", None),
        ("F#6", "T L1 L3 | R2 Eb", None),
        ("D6", "Tb L2 L3 | Eb", None),  # the thumb may stay on Tb
        ("F#6", "T L1 L2 | R3 Eb", NO_GRIP),
        ("B3", "T L1 L2 L3 | R1 R2 R3 C B", NEEDS),
        ("G5", "T L1 L2 L3 | Kd Sb R1", NO_HOLD),  # R1 presses either Sb or its plate
    ],
)
def test_what_is_amiss_with_a_grip(pitch: str, grip: str, kind: str | None) -> None:
    """Nothing, not of this note, a part that lacks, or no hand."""
    amiss = check().amiss(Pitch.parse(pitch).number, Grip.parse(grip))
    assert (amiss.kind if amiss else None) == kind
    assert amiss is None or (amiss.what and amiss.next_step)


def test_the_flutes_own_parts_count() -> None:
    """With the B foot the low B is a grip."""
    grip, low = Grip.parse("T L1 L2 L3 | R1 R2 R3 C B"), Pitch.parse("B3").number
    assert "b-foot" in check().amiss(low, grip).what  # type: ignore[union-attr]
    assert check("b-foot").amiss(low, grip) is None


def test_the_part_to_name_is_named() -> None:
    """A key is called B, the part that brings it b-foot; a piccolo has no part that brings one."""
    grip, low = Grip.parse("| R2 R3 Eb B"), Pitch.parse("C6").number
    assert "the part b-foot " in check().amiss(low, grip).next_step  # type: ignore[union-attr]
    small = GripCheck(Candidates(knowledge_of(flute("piccolo"))))
    assert "no part of this flute" in small.amiss(low, grip).next_step  # type: ignore[union-attr]


def test_a_banned_grip_is_called_so() -> None:
    """It stands in the tables; it is the player who will not have it."""
    pitch, grip = Pitch.parse("F#6").number, Grip.parse("T L1 L3 | R3 Eb")
    banned = GripCheck(Candidates(knowledge_of(flute(), Player(bans=(Ban(pitch, grip),)))))
    assert "banned" in banned.amiss(pitch, grip).what  # type: ignore[union-attr]
