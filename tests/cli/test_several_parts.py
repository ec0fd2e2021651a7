"""Several parts of one score in one pass: each with its own flute, all marks in one file."""

import csv
import io
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import note, part, score

HIGH = "".join(note(pitch, 2) for pitch in ("E6", "F#6", "E6", "F#6", "E6", "F#6", "E6"))
"""So quick to and fro that the trill grip pays."""
OCTAVE_UP = "<transpose><chromatic>0</chromatic><octave-change>1</octave-change></transpose>"
SCORE = score(
    part(HIGH, name="Flute 1"),
    part(HIGH, name="Oboe"),
    part(HIGH, name="Flauto 2"),
    part(HIGH, name="Ottavino", attributes=OCTAVE_UP),
)
FAST = ("--tempo", "320")


def fingerings_by_part(data: bytes) -> list[int]:
    """How many fingerings each part of a score has."""
    return [len(list(part.iter("fingering"))) for part in ET.fromstring(data).iter("part")]


def test_all_flutes_are_marked_in_one_file() -> None:
    """By their names; the oboe is left as it is; the same figure has the same grips in both flutes."""
    answer = ask(
        "finger", "-", "--part", "all", "--format", "musicxml", "--mark", "every", *FAST, stdin=SCORE
    )
    assert answer.code == 0
    assert fingerings_by_part(answer.data) == [7, 0, 7, 7]
    assert "read as piccolo" in answer.err
    texts = [
        [each.text for each in part.iter("fingering")] for part in ET.fromstring(answer.data).iter("part")
    ]
    assert texts[0] == texts[2]


def test_parts_are_named_one_by_one() -> None:
    """By name or number, in any order; the others stay untouched."""
    words = (
        "finger",
        "-",
        "--part",
        "4",
        "--part",
        "flute 1",
        "--format",
        "musicxml",
        "--mark",
        "every",
        *FAST,
    )
    assert fingerings_by_part(ask(*words, stdin=SCORE).data) == [7, 0, 0, 7]


def test_a_nameless_part_is_a_flute_by_its_transposition() -> None:
    """An octave up without a name is a piccolo; a nameless part at pitch may be anything."""
    data = score(part(HIGH, name=""), part(HIGH, name="", attributes=OCTAVE_UP))
    answer = ask("finger", "-", "--part", "all", "--format", "musicxml", "--mark", "every", *FAST, stdin=data)
    assert fingerings_by_part(answer.data) == [0, 7]


def test_the_text_has_a_section_for_each_part() -> None:
    """Under the part's number and name."""
    answer = ask("finger", "-", "--part", "all", *FAST, stdin=SCORE)
    heads = [line for line in answer.out.splitlines() if line.startswith("Part ")]
    assert heads == ["Part 1, Flute 1", "Part 3, Flauto 2", "Part 4, Ottavino"]


def test_the_list_for_the_critical_notes_has_all_parts() -> None:
    """A column names the part."""
    words = ("finger", "-", "--part", "all", "--format", "critical", *FAST)
    rows = list(csv.DictReader(io.StringIO(ask(*words, stdin=SCORE).out)))
    assert list(dict.fromkeys(row["part"] for row in rows)) == ["Flute 1", "Flauto 2", "Ottavino"]
    assert all(row["bar"] == "1" and 1 <= int(row["note"]) <= 7 for row in rows)


@pytest.mark.parametrize("form", ["json", "csv"])
def test_data_hold_one_part(form: str) -> None:
    """Refused with the forms that can hold more."""
    answer = ask("finger", "-", "--part", "all", "--format", form, stdin=SCORE)
    assert (answer.code, answer.data) == (2, b"")
    assert "text, html, musicxml or critical" in answer.err


def test_a_score_without_flutes_says_so() -> None:
    """With what to name instead."""
    answer = ask("finger", "-", "--part", "all", stdin=score(part(HIGH, name="Oboe")))
    assert answer.code == 2
    assert "no part is named like a flute" in answer.err


def test_a_pin_is_for_the_part_of_its_note() -> None:
    """By id; a number could be of any part."""
    pin = ("--pin", "P3-n2=T 1 3 | 2 Eb")
    words = ("finger", "-", "--part", "1", "--part", "3", "--format", "musicxml", "--mark", "every", *FAST)
    data = ask(*words, *pin, stdin=SCORE).data
    found = [[each.text for each in part.iter("fingering")] for part in ET.fromstring(data).iter("part")]
    assert found[2][1] == "T 1 3 | 2 Eb"
    refused = ask(*words, "--pin", "2=T 1 3 | 2 Eb", stdin=SCORE)
    assert refused.code == 2
    assert "by its id" in refused.err


def test_marking_the_marked_score_adds_nothing(tmp_path: Path) -> None:
    """All parts together, twice; and the report on them is empty."""
    words = ("--part", "all", "--format", "musicxml", "--mark", "figures", *FAST)
    once = ask("finger", "-", *words, stdin=SCORE).data
    assert ask("finger", "-", *words, stdin=once).data == once
    marked = tmp_path / "marked.musicxml"
    marked.write_bytes(once)
    assert ask("consistency", marked).code == 0
