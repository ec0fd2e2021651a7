"""`gripway finger --format html`, and a line of notes as a marked score."""

from pathlib import Path

from tests.cli.run_gripway import PASSAGE, PICCOLO, ask
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
