"""Marks in a source, and a thumb that is never told to leave its lever."""

from dataclasses import replace

import pytest

from gripway.edition.printed_marks import source_signs, thumb_left_on, unreadable
from gripway.model.passage import Note
from gripway.tasks.scores import notes


def marked(line: str, **marks: str) -> tuple[Note, ...]:
    """The notes of a line; `n3="Tb"` puts a mark at the third."""
    return tuple(
        replace(note, fingering=(marks[note.id],)) if note.id in marks else note for note in notes(line).notes
    )


def left_on(*played: Note) -> list[tuple[str, str]]:
    """Ids of the thumb signs and of the notes they spoil."""
    return [(a.id, b.id) for a, b in thumb_left_on(played, lambda note: tuple(source_signs(note)))]


@pytest.mark.parametrize(
    ("line", "marks", "found"),
    [
        # Tb lowers every B natural and spoils F#6 (common practice, no source).
        ("Bb5 A5 B5", {"n1": "Tb"}, [("n1", "n3")]),
        ("Bb5 A5 F#6", {"n1": "Tb"}, [("n1", "n3")]),
        ("Bb5 A5 F#5 C6", {"n1": "Tb"}, []),
        ("Bb5 A5 B5", {"n1": "Tb", "n2": "T"}, []),
        ("Bb5 A5 B5", {"n1": "Tb", "n3": "T"}, []),
        ("Bb5 A5 B5", {"n1": "Tb", "n3": "T 1 | Eb"}, []),
        ("Bb5 A5 B5", {"n1": "Tb", "n2": "T 1 2 | Eb"}, []),
        ("Bb5 A5 B5 B5", {"n1": "Tb"}, [("n1", "n3")]),
        ("Bb5 B5", {"n1": "Tb 1 | Eb"}, []),
        ("B5", {"n1": "Tb"}, [("n1", "n1")]),
    ],
)
def test_a_thumb_never_released(line: str, marks: dict[str, str], found: list[tuple[str, str]]) -> None:
    """A sign or a grip with T releases it; a grip mark with Tb is for its own note only."""
    assert left_on(*marked(line, **marks)) == found


def test_what_reads_and_what_does_not() -> None:
    """Finger numbers are told apart from signs."""
    (note,) = marked("E6", n1="2")
    both = replace(note, fingering=("2", "[T 1 2 | Eb]"))
    assert unreadable(both) == ("2",)
    assert [sign.grip.short for sign in source_signs(both)] == ["T 1 2 | Eb"]
