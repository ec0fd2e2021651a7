"""`gripway diagram`: grips and pitches, forms, signs, and what it refuses."""

import sys
from pathlib import Path

import pytest
from lxml import etree
from tests.cli.run_gripway import ask
from tests.every import every
from tests.page.drawn import states


def test_a_pitch_is_drawn_with_its_standard_grip() -> None:
    """F#6 is T 1 3 | 3 Eb (common practice, no source), with the pitch in its title."""
    answer = ask("diagram", "F#6")
    assert answer.code == 0
    assert states(answer.out)["pressed"] == {"T", "L1", "L3", "R3", "Eb"}
    assert "<title>F#6: left hand" in answer.out


@pytest.mark.parametrize("grip", ["T 1 3 | 2 Eb", "eb R2 l3 L1 t"])
def test_a_grip_is_drawn_however_it_is_written(grip: str) -> None:
    """In any order and letter case, without a title."""
    assert states(ask("diagram", grip).out)["pressed"] == {"T", "L1", "L3", "R2", "Eb"}


def test_a_key_alone_is_no_pitch() -> None:
    """`Eb` is the key, `Eb6` the note."""
    assert states(ask("diagram", "Eb").out)["pressed"] == {"Eb"}
    assert "L4" in states(ask("diagram", "Eb6").out)["pressed"]


def test_the_options_reach_the_drawing() -> None:
    """Form, size, changes, trill, held and free fingers, the flute's parts."""
    answer = ask(
        *("diagram", "T 1 | 2 3 Eb", "--form", "lying", "--size", 80, "--before", "C6"),
        *("--trill", "T 1 | Kcs 2 3 Eb", "--with", "c-sharp-trill", "--held", "R2 R3", "--free", "L4"),
    )
    root = etree.fromstring(answer.data)
    assert root.get("width") == "80.00mm"
    assert states(answer.out)["held"] == {"R2", "R3"}
    assert states(answer.out)["free"] == {"L4"}
    assert 'data-state="trill"' in answer.out
    assert "goes down: left thumb, right second and third finger" in answer.out


def test_the_picture_in_words() -> None:
    """`--format text` says what the picture shows."""
    answer = ask("diagram", "D6", "--before", "E6", "--format", "text")
    assert answer.out == (
        "D6: left hand thumb, second and third finger; right hand E-flat key. Against the grip before, "
        "goes down: left third finger; goes up: left first finger, right first and second finger.\n"
    )


def test_a_png_is_written_to_a_file(tmp_path: Path) -> None:
    """The file begins with the signature of PNG (W3C, section 5.2)."""
    out = tmp_path / "d6.png"
    assert ask("diagram", "D6", "--format", "png", "--out", out).code == 0
    assert out.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


def test_a_png_without_its_extra_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit 2 and the line to type."""
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    answer = ask("diagram", "D6", "--format", "png")
    assert answer.code == 2
    assert 'pip install "gripway[png]"' in answer.err


@every(
    [
        (("X9",), "'X9' is not a touch"),
        (("T 9 | Eb",), "'9' is not a touch"),
        (("T Tb | Eb",), "left thumb cannot press T, Tb at once"),
        (("| 2 3 Kds",), "cannot press"),
        (("T 1 | Kcs",), "needs Kcs, which this flute does not have"),
        (("D6", "--trill", "D6"), "a trill needs two grips"),
        (("D6", "--before", "| Hc"), "needs Hc"),
        (("D6", "--before", "nonsense"), "--before: 'nonsense'"),
        (("D6", "--held", "L1"), "does not press it"),
        (("D6", "--free", "T"), "presses it"),
        (("D6", "--free", "Kcs"), "has no Kcs to be free"),
        (("D6", "--size", "1"), "1 mm cannot be drawn"),
        (("E7",), "no standard grip on the concert flute without open-g-sharp or split-e"),
        (("F7",), "no standard grip"),
        (("C4", "--instrument", "piccolo"), "C4 has no standard grip on the piccolo"),
    ]
)
def test_what_cannot_be_drawn_is_refused(words: tuple[str, ...], said: str) -> None:
    """Exit 2, one message that says what and where, nothing on standard output."""
    answer = ask("diagram", *words)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert answer.err.count("\n") == 1


def test_a_pitch_in_german_is_answered_in_english() -> None:
    """H5 is no grip, and B5 in English; what is a grip stays one."""
    answer = ask("diagram", "H5", "--format", "text")
    assert (answer.code, answer.err) == (2, "gripway: GRIP: 'H5' is not a pitch. In English it is B5\n")
    assert ask("diagram", "Eb", "--format", "text").code == 0


@pytest.mark.parametrize(
    "words", [("grip.png",), ("grip.svg", "--format", "png"), ("grip.SVG", "--format", "text")]
)
def test_a_name_that_says_another_form_is_refused(words: tuple[str, ...], tmp_path: Path) -> None:
    """The form that the name says is the next step, and nothing is written."""
    answer = ask("diagram", "T 1 | Eb", "--out", tmp_path / words[0], *words[1:])
    assert answer.code == 2
    assert f"Add --format {words[0][-3:].lower()}" in answer.err
    assert list(tmp_path.iterdir()) == []
