"""`gripway grips`: every pitch of every instrument, its formats and options."""

import csv
import io

import pytest
from tests.cli.run_gripway import ask
from tests.cli.test_finger_command import CENTS, NULL, NUMBER, TEXT, fits

from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.model.pitch import Pitch, plain_name

GRIP = {
    "grip": TEXT,
    "touches": list,
    "kind": TEXT,
    **CENTS,
    "response": (TEXT, NULL),
    "lineage": TEXT,
    "model": (dict, NULL),
    "requires": list,
    "source": TEXT,
    "how": TEXT,
    "confidence": TEXT,
    "use": TEXT,
    "playable": (bool,),
    "flags": list,
}
MODEL = {
    "cents_vs_standard": NUMBER,
    "cents_spread": NUMBER,
    "gap_cents": (int, NULL),
    "loss_ratio": NUMBER,
}
LOWEST, HIGHEST = Pitch.parse("B3").number, Pitch.parse("F#7").number


@pytest.mark.parametrize("instrument", instrument_names())
def test_every_pitch_has_an_answer(instrument: str) -> None:
    """From B3 to F#7: grips with the documented keys, standard first; else a reason and exit 1."""
    flute = load_instrument(instrument)
    for number in range(LOWEST, HIGHEST + 1):
        answer = ask("grips", plain_name(number), "--instrument", instrument, "--format", "json")
        grips = answer.json["grips"]
        assert answer.json["pitch"] == plain_name(number)
        for each in grips:
            assert fits({**each, "playable": 0}, {**GRIP, "playable": int})
            assert each["model"] is None or fits(each["model"], MODEL)
            assert each["touches"] == each["grip"].replace("|", " ").split()
        playable = [each for each in grips if each["playable"]]
        assert (answer.code, "problem" in answer.json) == ((0, False) if playable else (1, True))
        assert not flute.lowest <= number <= flute.highest or grips
        assert not playable or playable[0]["kind"] == "standard"


@pytest.mark.parametrize("pitch", ["F7", "F#7", "C1", "Bb3"])
def test_a_pitch_outside_the_tables_says_what_they_cover(pitch: str) -> None:
    """No grip is made up: exit 1 and the range."""
    answer = ask("grips", pitch)
    assert answer.code == 1
    assert "outside the concert flute: its tables cover B3 to E7" in answer.out


def test_the_text_says_how_to_name_a_part_the_flute_has() -> None:
    """B3 without a B foot: the reason and the option that lifts it."""
    answer = ask("grips", "B3")
    assert answer.code == 1
    assert "needs b-foot: name the parts your flute has, for example --with b-foot" in answer.out
    assert ask("grips", "B3", "--with", "b-foot").code == 0


@pytest.mark.parametrize(("pitch", "instrument", "told"), [
    ("F#6", "concert-flute", True), ("C#7", "concert-flute", True),
    ("D7", "concert-flute", False), ("F#6", "piccolo", False),
])  # fmt: skip
def test_the_model_speaks_up_to_c_sharp_7_of_the_concert_flute_only(
    pitch: str, instrument: str, told: bool
) -> None:
    """The standard grip has its word, of no difference from itself; else no grip of the pitch has one."""
    grips = ask("grips", pitch, "--instrument", instrument, "--format", "json").json["grips"]
    assert (grips[0]["model"] is not None) == told
    assert told or {each["model"] for each in grips} == {None}
    assert not told or (grips[0]["model"]["cents_vs_standard"], grips[0]["model"]["loss_ratio"]) == (0.0, 1.0)


def test_csv_has_the_grips_of_the_json() -> None:
    """One row a grip, read back by an independent reader (Python's csv)."""
    data = ask("grips", "F#6", "--format", "json").json
    rows = list(csv.DictReader(io.StringIO(ask("grips", "F#6", "--format", "csv").out)))
    assert list(rows[0]) == list(GRIP)
    assert [row["grip"] for row in rows] == [each["grip"] for each in data["grips"]]
    assert [row["touches"].split() for row in rows] == [each["touches"] for each in data["grips"]]


def test_explain_shows_open_holes_and_sources() -> None:
    """Where a grip is known from, and what it opens."""
    text = ask("grips", "F#6", "--explain").out
    assert "T L1 L3 | R3 Eb (standard" in text
    assert text.count("source: ") >= text.count("open holes: ") > 3


@pytest.mark.parametrize("spelling", ["Bb5", "A#5", "Cbb6", "bb5"])
def test_a_pitch_may_be_spelt_in_any_way(spelling: str) -> None:
    """Enharmonic spellings have the same grips (Cbb6 sounds a whole tone below C6)."""
    assert [each["grip"] for each in ask("grips", spelling, "--format", "json").json["grips"]] == [
        each["grip"] for each in ask("grips", "A#5", "--format", "json").json["grips"]
    ]


@pytest.mark.parametrize("pitch", ["X", "", "F#", "F#6 G6", "6F#"])
def test_what_is_no_pitch_is_a_bad_request(pitch: str) -> None:
    """The argument is named and an example given."""
    answer = ask("grips", pitch)
    assert (answer.code, answer.data) == (2, b"")
    assert answer.err.startswith(f"gripway: PITCH: {pitch!r} is not a pitch")
    assert "F#6" in answer.err


def test_an_unknown_instrument_or_part_lists_the_known_ones() -> None:
    """The lists come from the tables."""
    instrument = ask("grips", "F#6", "--instrument", "oboe")
    assert instrument.code == 2
    assert all(name in instrument.err for name in instrument_names())
    part = ask("grips", "F#6", "--with", "split-x")
    assert part.code == 2
    assert all(name in part.err for name in load_instrument().known_parts)


def test_the_answer_can_be_written_to_a_file(tmp_path: object) -> None:
    """--out holds what the screen would have shown."""
    out = f"{tmp_path}/grips.txt"
    answer = ask("grips", "F#6", "--out", out)
    assert (answer.code, answer.data, answer.err) == (0, b"", f"wrote {out}\n")
    with open(out, encoding="utf-8") as written:
        assert written.read() == ask("grips", "F#6").out


def test_a_low_grip_is_explained_with_its_partials() -> None:
    """Common practice, no source: D4 overblown gives D5, A5, D6, F#6; a high grip has no such line."""
    told = ask("grips", "D4", "--explain").out
    line = " ".join(told[told.index("partials") :].split("source:")[0].split())
    assert [word for word in line.replace(",", "").split() if word[0] in "ABCDEFG"][:5] == [
        "D4", "D5", "A5", "D6", "F#6",
    ]  # fmt: skip
    assert "1: D4 +0" in line
    assert "partials (cents" not in ask("grips", "D6", "--explain").out
    assert "partials (cents" not in ask("grips", "D4", "--explain", "--instrument", "piccolo").out
