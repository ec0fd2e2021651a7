"""`gripway trill LOW HIGH`: formats, options, what is refused."""

import csv
import io
from pathlib import Path

import music21
import pytest
from tests.cli.run_gripway import ask
from tests.score.w3c_schema import schema_errors
from tests.tiers import whole

from gripway.model.grip import Grip

PAIR_KEYS = {
    "lower_grip", "upper_grip", "movers", "one_finger", "lower_cents", "upper_cents", "notes_per_s",
    "requires", "kind", "source", "flags", "lower_cents_spread", "upper_cents_spread",
    "lower_cents_source", "upper_cents_source", "lower_response", "upper_response", "interval",
}  # fmt: skip


def test_json_has_the_documented_keys() -> None:
    """Lower, upper, instrument, pairs; each pair with its documented keys, best first."""
    answer = ask("trill", "F6", "G6", "--format", "json")
    assert answer.code == 0
    data = answer.json
    assert (data["lower"], data["upper"], data["instrument"]) == ("F6", "G6", "concert-flute")
    assert "problem" not in data
    for pair in data["pairs"]:
        assert pair.keys() >= PAIR_KEYS
        assert isinstance(pair["one_finger"], bool)
        assert all(isinstance(pair[key], float) for key in ("lower_cents", "upper_cents", "notes_per_s"))
    first = [pair["kind"] == "printed" and pair["confidence"] != "low" for pair in data["pairs"]]
    thumb = [pair["upper_grip"] for pair in data["pairs"]].index("L1 L3 | R1 Eb")
    first[thumb] = False  # printed, but grossly flat
    assert first == sorted(first, reverse=True)
    for some in (True, False):
        points = [
            pair["points"] for pair, printed in zip(data["pairs"], first, strict=True) if printed is some
        ]
        assert points == sorted(points)


def test_either_order_is_taken_and_said() -> None:
    """High before low gives the same pairs and a remark."""
    up, down = (ask("trill", *pitches, "--format", "json").json for pitches in (("F6", "G6"), ("G6", "F6")))
    assert up["pairs"] == down["pairs"]
    assert not up["remarks"]
    assert down["remarks"] == ["read as F6 G6, the lower note first"]


def test_the_spelling_asked_for_is_kept() -> None:
    """Bb5 stays Bb5; the pairs are those of A#5."""
    flat, sharp = (ask("trill", name, "C6", "--format", "json").json for name in ("Bb5", "A#5"))
    assert flat["lower"] == "Bb5"
    assert flat["pairs"] == sharp["pairs"]


def test_csv_has_one_row_a_pair() -> None:
    """The same names as the JSON, lists as text."""
    rows = list(csv.DictReader(io.StringIO(ask("trill", "C5", "D5", "--format", "csv").out)))
    pairs = ask("trill", "C5", "D5", "--format", "json").json["pairs"]
    assert [row["lower_grip"] for row in rows] == [pair["lower_grip"] for pair in pairs]
    assert [row["movers"] for row in rows] == ["; ".join(pair["movers"]) for pair in pairs]


def test_text_shows_pair_fingers_speed_and_interval() -> None:
    """The first pair of C5-D5 is the trill key."""
    out = ask("trill", "C5", "D5").out
    assert out.startswith("C5 with D5, whole tone, on the concert flute\n")
    first = next(line for line in out.splitlines() if line.startswith("1 "))
    told = ask("trill", "C5", "D5", "--format", "json").json["pairs"][0]
    cents = [
        f"{round(told[f'{side}_cents']):+d} ±{told[f'{side}_cents_spread']:.0f}"
        for side in ("lower", "upper")
    ]
    heading = f"best pair: C5 {cents[0]} cents, D5 {cents[1]} cents; whole tone 7 cents narrow"
    assert out.splitlines()[1] == heading
    assert "1 | Eb" in first
    assert "1 | Kd Eb" in first
    assert "whole tone 7 cents narrow" in first


def test_the_heading_names_no_pair_the_flute_cannot_play() -> None:
    """C4-B3 needs a B foot: nothing is said of its cents; cents nobody knows are told as unknown."""
    assert "best pair" not in ask("trill", "B3", "C4").out
    assert (
        "best pair: C5 unknown, D5 unknown; whole tone\n"
        in ask("trill", "C5", "D5", "--instrument", "piccolo").out
    )


def test_explain_adds_up_points_and_names_sources() -> None:
    """Points by part, change time by term, cents by source, what sounds on the way."""
    out = ask("trill", "C#6", "D#6", "--explain").out
    for words in (
        "points ",
        "change ",
        "slowest finger x",
        "source: ",
        "against standard",
        "lineage",
        "on the way",
    ):
        assert words in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("F6", "F6"), "are one pitch"),
        (("A#5", "Bb5"), "are one pitch"),
        (("C4", "C#5"), "more than an octave"),
        (("X", "G6"), "LOW"),
        (("F6", "H6"), "HIGH"),
        (("F6",), "HIGH"),
        (("F6", "G6", "--instrument", "oboe"), "oboe"),
        (("F6", "G6", "--with", "wings"), "wings"),
    ],
)
def test_what_cannot_be_asked_is_refused(words: tuple[str, ...], told: str) -> None:
    """One message with what is wrong, exit 2, nothing on standard output."""
    answer = ask("trill", *words)
    assert answer.code == 2
    assert told in answer.err
    assert answer.out == ""
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("words", [("F#7", "G7"), ("A3", "B3"), ("C8", "D8")])
def test_outside_the_flute_is_a_status(words: tuple[str, ...]) -> None:
    """No pairs, the reason, exit 1."""
    answer = ask("trill", *words, "--format", "json")
    assert answer.code == 1
    assert answer.json["pairs"] == []
    assert "outside the concert flute" in answer.json["problem"]


def test_a_pitch_outside_is_said_before_a_part_that_lacks() -> None:
    """Naming the part E7 needs would not help F7."""
    answer = ask("trill", "E7", "F7", "--format", "json")
    assert answer.code == 1
    assert answer.json["problem"].startswith("F7: outside the concert flute")


@whole
def test_parts_the_flute_lacks_are_named_last() -> None:
    """F#6-G#6 with the C-sharp trill key needs it; a flute that has it puts it among the first."""
    plain = ask("trill", "F#6", "G#6", "--format", "json").json["pairs"]
    assert plain[-1]["requires"] == ["c-sharp-trill"]
    assert "needs c-sharp-trill" in plain[-1]["flags"]
    with_key = ask("trill", "F#6", "G#6", "--with", "c-sharp-trill", "--format", "json").json["pairs"]
    grips = [(pair["lower_grip"], pair["upper_grip"]) for pair in with_key[:3]]
    assert (plain[-1]["lower_grip"], plain[-1]["upper_grip"]) in grips


def test_the_players_file_is_respected(tmp_path: Path) -> None:
    """A banned grip goes, own cents are measured, a slower finger makes fewer notes a second."""
    (tmp_path / "tuner.csv").write_text(
        "pitch,grip,cents,spread_cents\nD5,L1 | Kd Eb,4,3\n", encoding="utf-8"
    )
    file = tmp_path / "player.toml"
    file.write_text(
        '[cents]\nfile = "tuner.csv"\n[hands]\nslower = { R1 = 1.5, R2 = 1.5 }\n'
        '[bans]\ngrips = ["C5: L1 | R2 R3 Eb"]\n',
        encoding="utf-8",
    )
    plain = ask("trill", "C5", "D5", "--format", "json").json["pairs"]
    own = ask("trill", "C5", "D5", "--player", file, "--format", "json").json["pairs"]
    key = ("L1 | Eb", "L1 | Kd Eb")
    before, after = (next(p for p in ps if (p["lower_grip"], p["upper_grip"]) == key) for ps in (plain, own))
    assert (after["upper_cents"], after["upper_cents_source"]) == (4.0, "measured")
    assert after["notes_per_s"] < before["notes_per_s"]
    assert any(pair["lower_grip"] == "L1 | R2 R3 Eb" for pair in plain)
    assert all(pair["lower_grip"] != "L1 | R2 R3 Eb" for pair in own)


def test_an_answer_goes_to_a_file(tmp_path: Path) -> None:
    """--out writes what would have been printed."""
    assert ask("trill", "F6", "G6", "--out", tmp_path / "trill.txt").code == 0
    assert (tmp_path / "trill.txt").read_text(encoding="utf-8") == ask("trill", "F6", "G6").out


def test_the_drills_of_a_pair_are_a_part_and_a_page() -> None:
    """F6 to G6 with the best pair of the list: valid music of these two notes, and one page with boxes."""
    best = ask("trill", "F6", "G6", "--format", "json").json["pairs"][0]
    data = ask("trill", "F6", "G6", "--format", "musicxml").data
    assert schema_errors(data) == []
    part = music21.converter.parseData(data, format="musicxml").parts[0]
    assert {note.pitch.nameWithOctave for note in part.flatten().notes} == {"F6", "G6"}
    page = ask("trill", "F6", "G6", "--format", "html").out
    assert page.count('class="day') == 1
    assert "To and fro, measured" in page
    assert "To and fro, even" in page
    for side in ("lower_grip", "upper_grip"):
        assert Grip.parse(best[side]).short in page


def test_a_wide_pair_is_drilled_as_a_tremolo() -> None:
    """A minor third and wider are tremolos."""
    assert "E6 G6 tremolo" in ask("trill", "E6", "G6", "--format", "html").out


def test_drills_are_refused_where_there_is_no_pair() -> None:
    """Beyond the flute there is no pair: the error says so and which list to look at."""
    answer = ask("trill", "C7", "F7", "--format", "html")
    assert answer.code == 2
    assert "gripway trill C7 F7" in answer.err
