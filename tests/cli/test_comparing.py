"""--tradeoff and --alternatives as users meet them."""

import csv
from io import StringIO
from itertools import pairwise

import pytest
from tests.cli.run_gripway import FLUTE, PASSAGE, PICCOLO, REPEATS, ask

LINE = ("--notes", "(E6 F#6 G#6 A6) (B6 A6 G#6 F#6) E6:1/4", "--tempo", "100")


def test_the_tradeoff_in_words() -> None:
    """Points from the least effort to the best in tune, each with what changes, and where the answer lies."""
    out = ask("finger", *LINE, "--tradeoff").out
    rows = [line.split() for line in out.splitlines() if line[:5].strip().isdecimal()]
    efforts, cents = ([float(row[k]) for row in rows] for k in (1, 2))
    assert efforts == sorted(efforts)
    assert cents == sorted(cents, reverse=True)
    assert "instead of" in out
    assert "Your answer (effort" in out
    assert "Stop on pain" in out
    assert max(map(len, out.splitlines())) <= 100


def test_the_tradeoff_as_data() -> None:
    """The JSON adds `front` and `tradeoff`; cents follow from the grips' cents and lengths."""
    plain, answer = (
        ask("finger", *LINE, "--format", "json").json,
        ask("finger", *LINE, "--tradeoff", "--format", "json"),
    )
    assert answer.code == 0
    data = answer.json
    assert {key: data[key] for key in plain} == plain
    tuning = sum(note["parts"].get("tuning", 0) for note in plain["notes"])
    assert data["front"]["effort"] == pytest.approx(plain["effort"] - tuning)
    lengths = [note["length_ms"] for note in plain["notes"]]
    mean = sum(abs(n["cents"]) * n["length_ms"] for n in plain["notes"]) / sum(lengths)
    assert data["front"]["cents"] == pytest.approx(mean, abs=0.006)
    points = data["tradeoff"]
    for before, after in pairwise(points):
        assert before["effort"] < after["effort"]
        assert before["cents"] >= after["cents"]
        changed = {k for change in after["changes"] for k in change["notes"]}
        assert changed <= {
            k
            for k, pair in enumerate(zip(before["grips"], after["grips"], strict=True))
            if len(set(pair)) > 1
        }
        assert changed


def test_the_whole_front_has_the_corners_and_more() -> None:
    """`--whole-front` adds the points between the corners and says so."""
    corners, whole = (
        ask("finger", *LINE, "--tradeoff", *more, "--format", "json").json
        for more in ((), ("--whole-front",))
    )
    some, every = ([(p["effort"], p["cents"]) for p in data["tradeoff"]] for data in (corners, whole))
    assert (corners["front"]["status"], whole["front"]["status"]) == ("corners", "whole")
    assert set(some) < set(every)
    assert [(p["effort"], p["cents"]) for p in whole["tradeoff"] if p["corner"]] == some


def test_the_tradeoff_as_csv() -> None:
    """One point a row."""
    rows = list(csv.DictReader(StringIO(ask("finger", *LINE, "--tradeoff", "--format", "csv").out)))
    assert list(rows[0]) == ["point", "effort", "cents", "corner", "normal", "changes"]
    assert rows[0]["changes"] == ""
    assert all("instead of" in row["changes"] for row in rows[1:])


def test_with_the_tuning_dial_off_the_answer_is_the_first_point() -> None:
    """Where tuning counts nothing the normal answer has the least effort on the front, and is marked."""
    data = ask("finger", *LINE, "--dial", "tuning=0", "--tradeoff", "--format", "json").json
    assert data["front"]["effort"] == data["tradeoff"][0]["effort"]
    out = ask("finger", "--notes", "D6:1/1", "--tempo", "60", "--tradeoff").out
    assert "YOUR ANSWER" in out


def test_pins_and_bans_hold_on_the_front_and_in_alternatives() -> None:
    """A pinned note keeps its grip and a banned kind comes nowhere."""
    words = (*LINE, "--pin", "2=T 1 3 | 3 Eb", "--ban", "harmonic", "--format", "json")
    points = ask("finger", *words, "--tradeoff").json["tradeoff"]
    others = ask("finger", *words, "--alternatives", "3").json["alternatives"]
    for each in (*points, *others):
        assert each["grips"][1] == "T L1 L3 | R3 Eb"
        assert "T L1 | Eb" not in each["grips"]


def test_alternatives_in_words() -> None:
    """The normal answer first, then the others with what differs."""
    plain, out = ask("finger", *LINE).out, ask("finger", *LINE, "--alternatives", "2").out
    assert "Other routes, each with another grip on at least 2 notes" in out
    assert [line for line in plain.splitlines() if line not in out.splitlines()] == []
    assert out.count("2 notes: ") >= 2


def test_alternatives_as_data() -> None:
    """Each says what it takes more, the least any could take, and its grips."""
    answer = ask("finger", *LINE, "--alternatives", "3", "--differ", "4", "--format", "json")
    data = answer.json
    assert (answer.code, data["differ"]) == (0, {"notes": 4, "bar": None, "no_more": False})
    for other in data["alternatives"]:
        assert 0 <= other["effort_more_at_least"] <= other["effort_more"]
        assert other["proved"] == (other["effort_more_at_least"] == other["effort_more"])
        assert sum(len(change["notes"]) for change in other["changes"]) >= 4
    more = [other["effort_more"] for other in data["alternatives"]]
    assert more == sorted(more)


def test_alternatives_as_csv() -> None:
    """One note a row, a column for each route."""
    rows = list(csv.DictReader(StringIO(ask("finger", *LINE, "--alternatives", "2", "--format", "csv").out)))
    assert list(rows[0]) == ["index", "id", "bar", "pitch", "grip", "grip_1", "grip_2"]
    assert len(rows) == 9


def test_alternatives_in_one_bar_of_a_score() -> None:
    """`--differ-in` names a bar as printed; a bar that is not there is refused with those that are."""
    words = ("finger", str(FLUTE), "--bars", "20-24", "--alternatives", "2")
    data = ask(*words, "--differ-in", "23", "--format", "json").json
    for other in data["alternatives"]:
        assert "23" in {bar for change in other["changes"] for bar in change["bars"]}
    refused = ask(*words, "--differ-in", "99")
    assert refused.code == 2
    assert "--differ-in: there is no bar 99" in refused.err
    assert "20 to 24" in refused.err


def test_fewer_alternatives_than_asked_are_a_remark() -> None:
    """Exit 0, and the text says that there are no more."""
    answer = ask("finger", "--notes", "D6:1/1", "--tempo", "60", "--alternatives", "20", "--differ", "2")
    assert answer.code == 0
    assert "There is no other route with another grip on 2 notes." in answer.out


def test_a_gap_gives_exit_1_and_its_note_has_no_grip() -> None:
    """F#7 has no grip: both forms go on around it."""
    for words in (["--tradeoff"], ["--alternatives", "1"]):
        answer = ask("finger", "--notes", "E6 F#7 A6", "--tempo", "100", *words, "--format", "json")
        assert answer.code == 1
        assert answer.json.get("tradeoff", answer.json.get("alternatives"))[0]["grips"][1] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--whole-front"], "--whole-front: this option is for --tradeoff"),
        (["--differ", "3"], "--differ: this option is for --alternatives"),
        (["--tradeoff", "--alternatives", "2"], "--alternatives: this option is not for --tradeoff"),
        (["--tradeoff", "--explain"], "--explain: this option is not for --tradeoff"),
        (
            ["--tradeoff", "--choose", "movers"],
            "--choose: this option is not for --tradeoff, which goes by effort",
        ),
        (["--alternatives", "2", "--choose", "standard"], "--choose: this option is not for --alternatives"),
        (["--alternatives", "2", "--differ-in", "3"], "--differ-in: this option is for a SCORE"),
        (["--alternatives", "0"], "0 is not in the range"),
        (["--tradeoff", "--instrument", "piccolo"], "--tradeoff: no cents are known"),
        (["--tradeoff", "--format", "musicxml"], "--format musicxml: a score is marked with one route"),
    ],
)
def test_what_makes_no_sense_is_refused(words: list[str], said: str) -> None:
    """With the option it stands in."""
    answer = ask("finger", "--notes", PASSAGE, *words)
    assert (answer.code, answer.data) == (2, b"")
    assert said in answer.err


@pytest.mark.parametrize(("score", "tempo"), [(PICCOLO, ("--tempo", "260")), (REPEATS, ())])
def test_a_real_part_has_its_front(score: object, tempo: tuple[str, ...]) -> None:
    """Ten points at most are told, the answer among them; each other one names bars."""
    out = ask("finger", score, "--bars", "1-40", *tempo, "--tradeoff", "--instrument", "concert-flute").out
    rows = [line for line in out.splitlines() if line[:5].strip().isdecimal()]
    assert 2 < len(rows) <= 10
    assert "(bar" in out
