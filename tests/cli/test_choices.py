"""The texts of shared options: players, parts, dials, pins and bans."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.every import every

from gripway.asked.pins import ban_of, pin_of
from gripway.asked.wishes import Pin
from gripway.cli.options.shared import parts_of, player_of
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.player import Ban

GRIP = Grip.parse("T L1 L3 | R3 Eb")


@pytest.mark.parametrize("text", ["T L1 L3 | R3 Eb", "T 1 3 | 3 Eb", "[T 1 3 | 3 Eb]", "eb l3 r3 t l1"])
def test_a_grip_may_be_typed_as_it_is_printed(text: str) -> None:
    """Canonical, without the hand letters, in brackets, or in any order."""
    assert pin_of(f"n2={text}", 5) == Pin("n2", GRIP)
    assert ban_of(f"F#6={text}") == Ban(90, GRIP)  # F#6 is note number 90 of the MIDI standard


def test_a_number_counts_notes_as_the_text_does() -> None:
    """Note 1 of the text output is index 0."""
    assert pin_of("1=T 1 3 | 3 Eb", 5) == Pin(0, GRIP)


@every(
    [
        (["--pin", "x"], "--pin", "Write for example --pin"),
        (["--pin", "0=T 1 | Eb"], "--pin 0=T 1 | Eb", "The notes are 1 to 2"),
        (["--pin", "3=T 1 | Eb"], "--pin 3=T 1 | Eb", "The notes are 1 to 2"),
        (["--pin", "1=T 1 Q | Eb"], "--pin 1=T 1 Q | Eb", "Write a grip as the output does"),
        (["--pin", "1=T 1 Eb"], "--pin 1=T 1 Eb", "Write a grip as the output does"),
        (["--pin", "²=T 1 | Eb"], "pin ²=T L1 | Eb", "note's id"),
        (["--pin", "n9=T 1 | Eb"], "pin n9=T L1 | Eb", "note's id"),
        (["--pin", "1=T 1 | Eb"], "note n1", "Its grips are"),
        (["--pin", "1=T 1 2 | 1 2 Eb", "--pin", "n1=T 1 2 | 1 2"], "note 1 (id n1)", "Keep one of them"),
        (["--ban", "foo"], "--ban", "alternate, vented, trill, harmonic"),
        (["--ban", "standard"], "--ban", "alternate, vented, trill, harmonic"),
        (["--ban", "H6=T | Eb"], "--ban H6=T | Eb", "In English it is B6"),
        (["--ban", "X6=T | Eb"], "--ban X6=T | Eb", "letter"),
        (["--ban", "F#6=T 9 | Eb"], "--ban F#6=T 9 | Eb", "Write a grip"),
        (["--dial", "tuning"], "--dial", "--dial tuning=2"),
        (["--dial", "tuning=much"], "--dial", "--dial tuning=2"),
        (["--dial", "tone=2"], "--dial tone=2", "speed, steadiness, tuning, familiarity"),
        (["--dial", "tuning=9"], "--dial tuning=9", "from 0 to 4"),
        (["--dial", "tuning=-1"], "--dial tuning=-1", "from 0 to 4"),
        (["--dial", "tuning=nan"], "--dial tuning=nan", "from 0 to 4"),
    ]
)
def test_a_choice_that_cannot_be_used_says_where_and_what_next(
    words: list[str], place: str, next_step: str
) -> None:
    """Exit 2, nothing on standard output, the option named, the next step given."""
    answer = ask("finger", "--notes", "E6 F#6", *words)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith(f"gripway: {place}: ")
    assert next_step in answer.err


def test_the_last_dial_wins_over_the_file(tmp_path: Path) -> None:
    """Options beat the player's file, the later option the earlier."""
    mine = tmp_path / "me.toml"
    mine.write_text("[dials]\ntuning = 2\nspeed = 3\n")
    player = player_of(mine, ("tuning=1", "tuning=0.5"))
    assert dict(player.dials) == {"tuning": 0.5, "speed": 3.0}


def test_parts_stand_between_commas() -> None:
    """Blanks and empty places do not matter."""
    assert parts_of(" b-foot, split-e,,") == ("b-foot", "split-e")


def test_a_dial_out_of_range_is_no_player() -> None:
    """The same refusal without the command."""
    with pytest.raises(RequestError):
        player_of(None, ("speed=5",))


@pytest.mark.parametrize("number", ["9" * 5000, "0", "\u0663", "\u00b2"])
def test_a_pin_on_a_number_that_is_no_note_is_refused(number: str) -> None:
    """5,000 digits, zero, and digits of other scripts: the notes there are, never a traceback."""
    answer = ask("finger", "--notes", "E6 F6", "--pin", f"{number}=T 1 | Eb")
    assert (answer.code, answer.data) == (2, b"")
    assert "there is no note" in answer.err
    assert len(answer.err) < 3000
