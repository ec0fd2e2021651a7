"""Parts without a note: told, left as they are, and no error."""

from pathlib import Path

import pytest
from tests.cli.run_gripway import ask
from tests.cli.tiny_scores import note, part, score

from gripway.catalog.own_files.decisions_file import decisions_text

REST = '<note><rest measure="yes"/><duration>16</duration></note>'
NOTES = "".join(note(pitch) for pitch in ("E6", "F#6", "G6", "A6"))
TACET = score(part(REST, name="Flute 1"), part(REST, name="Flute 2"), part(REST, name="Oboe"))
ONE = score(part(REST, name="Flute 1"), part(NOTES, name="Flute 2"), part(REST, name="Oboe"))


@pytest.mark.parametrize("words", [(), ("--part", "all"), ("--part", "2"), ("--part", "1", "--part", "3")])
def test_a_tacet_score_comes_back_byte_for_byte(words: tuple[str, ...]) -> None:
    """Alone or with others, with a remark for each part."""
    answer = ask("finger", "-", *words, "--format", "musicxml", "--mark", "every", stdin=TACET)
    assert (answer.code, answer.data) == (0, TACET)
    assert "has no notes (tacet)" in answer.err


def test_the_other_parts_are_marked() -> None:
    """Of two flutes the one that plays."""
    answer = ask("finger", "-", "--part", "all", "--format", "musicxml", "--mark", "every", stdin=ONE)
    assert answer.code == 0
    assert "remark: part Flute 1 has no notes (tacet)" in answer.err
    before, _, after = answer.data.partition(b'<part id="P2">')
    assert before.count(b"<fingering") == 0
    assert after.count(b"<fingering") == 4


def test_every_form_has_an_answer() -> None:
    """One sentence, or a list without rows."""
    said = {form: ask("finger", "-", "--format", form, stdin=TACET) for form in ("text", "json", "critical")}
    assert {answer.code for answer in said.values()} == {0}
    assert said["text"].out == "There is no note to finger.\n"
    assert (said["json"].json["status"], said["json"].json["notes"]) == ("tacet", [])
    assert said["critical"].out.count("\n") == 1


@pytest.mark.parametrize("form", ["html", "stand", "critical-html", "legend-html"])
def test_a_page_of_nothing_is_a_page(form: str) -> None:
    """It says so, from its first sign to its last."""
    page = ask("finger", "-", "--format", form, stdin=TACET).out
    assert page.startswith("<!DOCTYPE html>")
    assert page.endswith("<h1>There is no note to finger.</h1></body></html>\n")


@pytest.mark.parametrize("form", ["critical-md", "legend"])
def test_a_text_of_nothing_says_so(form: str) -> None:
    """In one sentence."""
    answer = ask("finger", "-", "--format", form, stdin=TACET)
    assert (answer.code, answer.out) == (0, "There is no note to finger.\n")


def test_the_decisions_of_nothing_are_a_file_with_none() -> None:
    """Its head alone, to be filled."""
    assert ask("finger", "-", "--format", "decisions", stdin=TACET).out == decisions_text(())


def test_the_report_passes_them_over(tmp_path: Path) -> None:
    """With a remark that names file and part."""
    path = tmp_path / "movement.musicxml"
    path.write_bytes(ONE)
    answer = ask("consistency", path)
    assert answer.code == 0
    assert "remark: movement.musicxml: part Flute 1 has no notes (tacet)" in answer.err


def test_there_is_nothing_to_practise() -> None:
    """A plan needs a note: refused, with the part."""
    answer = ask("practise", "-", stdin=TACET)
    assert answer.code == 2
    assert "part Flute 1 has no notes" in answer.err


def test_bars_without_a_note_are_a_slip() -> None:
    """A wish for bars in which nothing is played is still refused."""
    answer = ask("finger", "-", "--bars", "1", stdin=TACET)
    assert answer.code == 2
    assert "has no notes in bars 1" in answer.err
