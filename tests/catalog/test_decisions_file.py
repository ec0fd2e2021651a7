"""The file of decisions: what is written is read again, and every mistake has its place."""

from fractions import Fraction
from pathlib import Path

import pytest

from gripway.catalog.own_files.decisions_file import decisions_text, read_decisions
from gripway.errors import DecisionsFileError
from gripway.model.decision import Decision, DecisionPlace
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

PLACE = DecisionPlace(
    bar="12",
    pitch=Pitch.parse("F#6"),
    part='Flöte "1"',
    beat=Fraction(7, 3),
    before=(Pitch.parse("E6"),),
    after=(Pitch.parse("G6"), Pitch.parse("Ab6")),
)


def file(tmp_path: Path, text: str) -> Path:
    """A file of this text."""
    path = tmp_path / "decisions.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    """Every kind of decision, with every key."""
    decisions = [
        Decision(PLACE, grip=Grip.parse("T 1 3 | 2 Eb"), reason="as in the autograph\n\\ and so on"),
        Decision(PLACE, grip=Grip.parse("T 1 3 | 2 Eb"), mark=False),
        Decision(DecisionPlace("X1", Pitch.parse("C4")), plain=True),
        Decision(DecisionPlace("3", Pitch.parse("C4"), beat=Fraction(5, 2)), plain=True, mark=False),
        Decision(DecisionPlace("3", Pitch.parse("C4"), beat=Fraction(2)), mark=False),
        Decision(PLACE, grip=Grip.parse("T 1 | Eb"), moving=Grip.parse("Kd")),
        Decision(PLACE, plain=True, moving=Grip.parse("T Kds"), mark=False),
    ]
    read = read_decisions(file(tmp_path, decisions_text(decisions)))
    assert [each.place for each in read] == [each.place for each in decisions]
    told = [(each.grip, each.plain, each.mark, each.reason, each.moving, each.kind) for each in read]
    assert told == [
        (each.grip, each.plain, each.mark, each.reason, each.moving, each.kind) for each in decisions
    ]
    assert [each.kind for each in read] == [
        "grip",
        "grip, unmarked",
        "plain",
        "plain, unmarked",
        "no mark",
        "grip, trill",
        "plain, trill, unmarked",
    ]


def test_a_file_may_have_none(tmp_path: Path) -> None:
    """An edition begins with no decision."""
    assert read_decisions(file(tmp_path, decisions_text([]))) == ()


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("decisions = 1", ": decisions", "[[decision]]"),
        ("[decision]\nbar = 1", "decisions.toml", "[[decision]]"),
        ("[[decision]]\nbar = 1\nmark = false", ": decision 1: pitch", 'pitch = "F#6"'),
        ("[[decision]]\nbar = 1\npitch = 'H6'\nmark = false", ": decision 1: pitch", "F#6 or Bb5"),
        ("[[decision]]\nbar = 1\npitch = 'E6'", ": decision 1: grip", "mark = false"),
        ("[[decision]]\nbar = 1\npitch = 'E6'\ngrip = 'T 9 |'", ": decision 1: grip", "T 1 3 | 2 Eb"),
        (
            "[[decision]]\nbar = 1\npitch = 'E6'\ngrip = 'plain'\nmark = 1",
            ": decision 1: mark",
            "true",
        ),
        ("[[decision]]\nbar = 1\npitch = 'E6'\nbeat = 0\nmark = false", ": decision 1: beat", "2.5"),
        ("[[decision]]\nbar = 1\npitch = 'E6'\nbeat = '1/0'\nmark = false", ": decision 1: beat", "2.5"),
        ("[[decision]]\nbar = true\npitch = 'E6'\nmark = false", ": decision 1: bar", 'bar = "12"'),
        (
            "[[decision]]\nbar = 1\npitch = 'E6'\nmark = false\nnote = 3",
            ": decision 1: note",
            "part, bar",
        ),
        (
            "[[decision]]\nbar = 1\npitch = 'E6'\nmark = false\n[[decision]]\nbar 2",
            "line 6 (decision 2)",
            "Mend",
        ),
    ],
)
def test_a_mistake_is_told_with_its_place(text: str, place: str, said: str, tmp_path: Path) -> None:
    """File, number of the decision and key, and what could stand there."""
    with pytest.raises(DecisionsFileError) as problem:
        read_decisions(file(tmp_path, text))
    assert place in problem.value.place
    assert said in problem.value.next_step
