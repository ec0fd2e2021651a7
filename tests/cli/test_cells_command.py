"""`gripway cells` as a player meets it: forms, files, and what it refuses."""

import csv
import io

import music21
import pytest
from tests.cli.run_gripway import ask
from tests.score.w3c_schema import schema_errors

THREE = ("cells", "--key", "A", "--pattern", "major", "--from", "F#6", "--to", "A6")


def test_the_text_isolates_the_three_notes() -> None:
    """The first cell of the A major scale from F#6 to A6 is those three notes, with a matrix and cautions."""
    answer = ask(*THREE)
    assert answer.code == 0
    assert "Cell 1: F#6 G#6 A6" in answer.out
    assert "A major: scale, up and down" in answer.out
    assert "pain" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 100


def test_the_json_has_the_documented_shape() -> None:
    """Keys, patterns, matrix, changes and cells with places by pattern."""
    data = ask(*THREE, "--format", "json").json
    assert (data["keys"], data["from"], data["to"], data["available_ms"]) == (["A major"], "F#6", "A6", 125.0)
    assert data["pitches"] == ["F#6", "G#6", "A6"]
    assert [row[k] for k, row in enumerate(data["matrix"])] == [None] * 3
    assert data["changes"][0]["load"] == max(load for row in data["matrix"] for load in row if load)
    assert data["cells"][0]["places"][0] == {"pattern": "A major: scale", "direction": "up", "times": 1}


def test_the_csv_has_every_change() -> None:
    """One row a change, more than the text lists."""
    rows = list(csv.DictReader(io.StringIO(ask("cells", "--key", "A", "--top", 1, "--format", "csv").out)))
    assert len(rows) > 3
    assert float(rows[0]["load"]) >= float(rows[-1]["load"])


def test_the_drills_are_a_valid_part_that_music21_reads() -> None:
    """Only drills of the worst cells, in the key of the pattern."""
    data = ask(*THREE, "--top", 1, "--format", "musicxml").data
    assert schema_errors(data) == []
    part = music21.converter.parseData(data, format="musicxml").parts[0]
    assert {n.pitch.nameWithOctave for n in part.flatten().notes} == {"F#6", "G#6", "A6"}
    assert part.flatten().getElementsByClass("KeySignature")[0].sharps == 3


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--key", "H"), "--key"),
        (("--key", "G# major"), "no key signature"),
        (("--pattern", "blues"), "no pattern is called"),
        (("--pattern", "major", "--key", "A minor"), "fit"),
        (("--from", "A6", "--to", "F6"), "the range is empty"),
        (("--from", "C2"), "outside the concert flute"),
        (("--to", "Q9"), "--to"),
        (("--tempo", "0"), "--tempo"),
        (("--unit", "x"), "--unit"),
        (("--top", "0"), "--top"),
    ],
)
def test_what_cannot_be_done_is_one_message(options: tuple[str, ...], said: str) -> None:
    """Exit 2, what and where, no traceback, nothing on standard output."""
    answer = ask("cells", *options)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert "Traceback" not in answer.err
