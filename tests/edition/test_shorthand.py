"""Editors' shorthand is read as the grip it means, and what means none stays as it is."""

from dataclasses import replace

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import fingering, note, part, score

from gripway.candidates.grip_check import GripCheck
from gripway.edition.shorthand import short_text, spelt_out
from gripway.model.grip import Grip
from gripway.model.mark_text import GRIP, MarkSign
from gripway.model.pitch import Pitch
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes


@pytest.mark.parametrize(
    ("pitch", "text", "meant"),
    [
        ("F#6", "R2", "T L1 L3 | R2 Eb"),
        ("F#6", "[R2]", "T L1 L3 | R2 Eb"),
        ("C#5", "+R2 R3", "| R2 R3 Eb"),
        ("F#5", "+Tb R2 -R3", "Tb L1 L2 L3 | R2 Eb"),
        ("F#6", "T", "T"),
        ("Bb5", "Tb", "Tb"),
        ("F#6", "R3", "R3"),
        ("F#6", "+Kd", "+Kd"),
        ("F#6", "2", "2"),
        ("F#6", "R2 please", "R2 please"),
    ],
    ids=[
        "instead of the standard finger",
        "in brackets",
        "besides the standard grip",
        "the thumb on its other place",
        "the thumb's own sign",
        "the lever's own sign",
        "what the standard grip has already",
        "no grip",
        "a finger number",
        "words",
    ],
)
def test_shorthand_is_spelt_out(pitch: str, text: str, meant: str) -> None:
    """F#6 with the middle for the ring finger, C#5 with fingers down (common practice, no source)."""
    check = GripCheck(FlutePlayer(flute()).plain.book)
    one = replace(notes(pitch).notes[0], fingering=(text,))
    assert spelt_out(one, check).fingering == (meant,)


def test_shorthand_is_kept_and_checked() -> None:
    """As a pin with --keep-fingerings; as a grip in the report, which finds nothing unreadable."""
    data = score(part(note("E6") + note("F#6", inside=fingering("R2")) + note("G6")))
    kept = ask("finger", "-", "--keep-fingerings", "--format", "json", stdin=data).json
    assert kept["notes"][1]["grip"] == "T L1 L3 | R2 Eb"
    assert ask("consistency", "-", stdin=data).code == 0


HOLES = "<hole><hole-closed>yes</hole-closed></hole>"


@pytest.mark.parametrize("sign", ["<harmonic/>", "<open-string/>", HOLES])
def test_a_sign_that_names_no_grip_is_said(sign: str) -> None:
    """With its bar and note, on standard error."""
    inside = f"<notations><technical>{sign}</technical></notations>"
    answer = ask("finger", "-", stdin=score(part(note("E6") + note("F#6", inside=inside))))
    assert answer.code == 0
    assert "remark: bar 1: the " in answer.err
    assert "on F#6 is left as it is: it names no grip" in answer.err


@pytest.mark.parametrize(
    ("pitch", "grip", "short"),
    [
        ("F#5", "T L1 L2 L3 | R2 Eb", "+R2 -R3"),
        ("F#5", "Tb L1 L2 L3 | R2 Eb", "+Tb R2 -R3"),
        ("C#6", "T L1 L2 L3 | R1 R2 R3 Cs", ""),
        ("Bb6", "T L1 L2 | R1 R2", ""),
        ("F#6", "T L1 L3 | R2 Eb", "R2"),
    ],
    ids=["two words", "the thumb leaves T for Tb", "too many words", "several for one", "one for one"],
)
def test_a_long_difference_is_written_as_the_whole_grip(pitch: str, grip: str, short: str) -> None:
    """F#5 with the middle for the ring finger, C#6 overblown from the lowest (common practice, no source)."""
    check = GripCheck(FlutePlayer(flute()).plain.book)
    assert short_text(MarkSign(GRIP, Grip.parse(grip)), Pitch.parse(pitch).number, check) == short
