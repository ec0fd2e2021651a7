"""`gripway finger --format html`, and a line of notes as a marked score."""

import re
from collections import Counter
from pathlib import Path

from tests.cli.run_gripway import PASSAGE, PICCOLO, ask
from tests.cli.tiny_scores import note, part
from tests.cli.tiny_scores import score as tiny_score
from tests.score.w3c_schema import schema_errors

from gripway.score.reading.score_reading import read_score


def test_a_report_is_written_to_a_file(tmp_path: Path) -> None:
    """One HTML file, its remarks on standard error."""
    out = tmp_path / "report.html"
    answer = ask("finger", PICCOLO, "--bars", "1-30", "--format", "html", "--out", out)
    assert answer.code == 0
    text = out.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert "bars 1-30" in text
    assert "remark: " in answer.err


def test_a_line_of_notes_can_be_a_marked_score() -> None:
    """A valid score of its own, with the fingerings that leave the plain grips."""
    answer = ask(
        "finger", "--notes", "(E6 F#6 E6 F#6) | E6 F#6 E6:1/4", "--tempo", 160, "--format", "musicxml"
    )
    assert answer.code == 0
    assert schema_errors(answer.data) == []
    found = read_score(answer.data, "x").passage.notes
    assert [each.pitch.name for each in found] == ["E6", "F#6", "E6", "F#6", "E6", "F#6", "E6"]
    assert any(each.fingering for each in found)


def test_a_line_that_cannot_be_written_is_refused() -> None:
    """A length no note has is an error with a next step, not a guess."""
    answer = ask("finger", "--notes", "C5:1/999983", "--format", "html")
    assert (answer.code, answer.data) == (2, b"")
    assert "cannot be written in notes" in answer.err


def test_a_line_of_notes_is_not_compressed(tmp_path: Path) -> None:
    """A name that says otherwise is refused."""
    answer = ask("finger", "--notes", PASSAGE, "--format", "musicxml", "--out", tmp_path / "x.mxl")
    assert answer.code == 2
    assert "is not compressed" in answer.err


def test_the_rule_of_marks_holds_for_diagrams() -> None:
    """--mark every gives every note a diagram."""
    answer = ask("finger", "--notes", "C5 D5 E5", "--format", "html", "--mark", "every")
    assert answer.out.count('class="mark"') == 3


def test_several_parts_are_one_report() -> None:
    """One document: a list of the parts with their answers, every id once, every link to an id."""
    run = "".join(note(pitch) for pitch in ("E6", "F#6", "G6", "F#6", "E6", "F#6"))
    data = tiny_score(part(run), part(run, name="Piccolo"))
    words = ("--tempo", "400", "--part", "all", "--pin", "P1-n2=T 1 3 | 2 Eb")
    answer = ask("finger", "-", *words, "--format", "html", stdin=data)
    assert answer.code == 0
    ids = Counter(re.findall(r'id="([^"]*)"', answer.out))
    assert {name: times for name, times in ids.items() if times > 1} == {}
    assert set(re.findall(r'href="#([^"]*)"', answer.out)) <= set(ids)
    assert {"p1-part", "p2-part", "at-P1-n2", "at-P2-n2"} <= set(ids)
    assert answer.out.count('class="system"') >= 2
    assert answer.out.count("<main") == answer.out.count("<h1") - 2 == 1


def test_a_house_style_is_reported_with_its_marks(tmp_path: Path) -> None:
    """In its hand, with brackets, where they stand; and what was left unmarked, and why."""
    house = tmp_path / "house.toml"
    house.write_text("[marks]\nat_most = 1\n", encoding="utf-8")
    words = ("finger", PICCOLO, "--tempo", "300", "--bars", "1-40", "--house-style", house, "--bracket")
    marked = ask(*words, "--format", "musicxml").out
    answer = ask(*words, "--format", "html")
    texts = set(re.findall(r"<fingering[^>]*>([^<]*)<", marked))
    assert texts != set()
    assert texts <= set(re.findall(r'<th scope="row">(\[[^<]*\])</th>', answer.out))
    assert answer.out.count('<use href="#grip') > 0
    assert "Left unmarked: " in answer.out
    assert "which is the most, and these save least" in answer.out
    assert ask(*words[:6], "--format", "html").out.count("Left unmarked: ") == 0
