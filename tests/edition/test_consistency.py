"""The consistency report: each kind of finding, and nothing where nothing is."""

from dataclasses import replace

import pytest

from gripway.candidates.candidates import Candidates
from gripway.candidates.grip_check import GripCheck
from gripway.edition.consistency import Consistency, Finding, PartMarks
from gripway.tasks.editions import figure_bounds
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes

CELL = "E6 F#6 G6"
STANDARD, OTHER = "T 1 3 | 3 Eb", "T 1 3 | 2 Eb"


def part(line: str, marks: dict[str, str], tempo: float = 96, name: str = "Flute", *parts: str) -> PartMarks:
    """A part of one line with marks at its notes."""
    played = tuple(
        replace(note, fingering=(marks[note.id],)) if note.id in marks else note
        for note in notes(line, tempo=tempo).notes
    )
    check = GripCheck(Candidates(knowledge_of(flute("concert-flute", parts))))
    return PartMarks(f"{name}.musicxml", name, played, check)


def found(*parts: PartMarks) -> list[Finding]:
    """The findings of parts looked through together."""
    return list(Consistency(figure_bounds()).findings(parts))


@pytest.mark.parametrize(
    ("line", "marks", "kinds"),
    [
        (f"{CELL} {CELL}", {"n2": STANDARD, "n5": OTHER}, ["figure"]),
        (f"{CELL} {CELL}", {"n2": OTHER, "n5": "[T L1 L3 / R2 Eb]"}, []),
        (f"{CELL} f {CELL}", {"n2": STANDARD, "n5": OTHER}, []),
        (f"{CELL} E6 F#6 E6", {"n2": STANDARD, "n5": OTHER}, []),
        ("E6 D6 G6 E6 D6 G6", {"n2": "T 2 3 | Eb", "n5": "Tb 2 3 | Eb"}, []),
        ("Bb5 A5 B5", {"n1": "Tb"}, ["thumb"]),
        ("Bb5 A5 B5", {"n1": "Tb", "n3": "T"}, []),
        ("C6 D6:1/1", {"n2": "| Kd Eb"}, ["trill"]),
        ("C6 D6:1/16", {"n2": "| Kd Eb"}, []),
        ("B3", {"n1": "T 1 2 3 | 1 2 3 C B"}, ["needs"]),
        ("E6", {"n1": "hold B"}, ["needs"]),
        ("E6", {"n1": "3"}, ["unreadable"]),
        ("F#6", {"n1": "T 1 2 | 3 Eb"}, ["no-grip"]),
        ("G5", {"n1": "T 1 2 3 | 1 Sb Kd"}, ["no-hold"]),
        (f"{CELL} {CELL}", {"n2": OTHER, "n5": "sim."}, []),
        (f"{CELL} {CELL}", {"n2": "sim."}, ["simile"]),
        (f"{CELL} E6 F#6 E6", {"n2": OTHER, "n5": "sim."}, ["simile"]),
        ("E6 F#6 F#6 G6 E6 F#6 F#6 G6", {"n2": OTHER, "n7": "sim."}, []),
        ("C#5 D5 C#5 G5", {"n1": "hold 2 3", "n4": "release 2 3"}, []),
        ("C#5 D5 C#5", {"n1": "hold 2 3"}, []),
        ("C#5 D5 C#5 E6 G6", {"n1": "hold 2 3"}, ["hold"]),
        ("C#5 D5 C#5 C#5", {"n1": "hold 2 3", "n4": "| Eb"}, ["hold"]),
        ("C#5 D5 C#5 C#5", {"n1": "hold 2 3", "n3": "| 2 3 Eb", "n4": "release 2 3"}, []),
        ("C#5 D5 C#5 G5", {"n4": "release 2 3"}, ["release"]),
        ("C#5 D5 C#5 G5", {"n1": "hold 2", "n4": "release 2 3"}, ["release"]),
        ("C#5 D5 G5", {"n1": "hold 2", "n2": "release 2", "n3": "release 2"}, ["release"]),
    ],
)
def test_what_is_found(line: str, marks: dict[str, str], kinds: list[str]) -> None:
    """By its kind; at another dynamic, beside other notes, with the thumb held nothing is found."""
    answer = found(part(line, marks))
    assert [finding.kind for finding in answer] == kinds
    assert all(finding.what and finding.next_step for finding in answer)


def test_both_places_of_a_figure_are_named() -> None:
    """Also across files, of which the tempo is about the same."""
    first, second = part(CELL, {"n2": STANDARD}, 100, "one"), part(CELL, {"n2": OTHER}, 101, "two")
    (finding,) = found(first, second)
    assert (finding.file, finding.part, finding.id, finding.note) == ("two.musicxml", "two", "n2", "F#6")
    assert OTHER in finding.what
    assert STANDARD in finding.what
    assert "one.musicxml" in finding.what
    assert found(first, part(CELL, {"n2": OTHER}, 180, "two")) == []


def test_a_held_finger_that_a_mark_lifts_is_told_with_its_place() -> None:
    """The finding stands at the hold and names the note that lifts it."""
    (finding,) = found(part("C#5 D5 C#5 C#5", {"n1": "hold 2 3", "n4": "| Eb"}))
    assert (finding.id, finding.kind) == ("n1", "hold")
    assert finding.what.startswith("R2 R3 held and not released before C#5")
    assert "| Eb" in finding.what


def test_tempos_are_compared_as_they_are_and_not_by_steps() -> None:
    """107 and 108 are one tempo, 98 and 108 are two, as far apart as that."""
    first, second = part(CELL, {"n2": STANDARD}, 107, "one"), part(CELL, {"n2": OTHER}, 108, "two")
    assert [finding.kind for finding in found(first, second)] == ["figure"]
    slow, fast = part(CELL, {"n2": STANDARD}, 98, "one"), part(CELL, {"n2": OTHER}, 108, "two")
    assert found(slow, fast) == []


def test_a_flute_with_the_part_has_the_grip() -> None:
    """What the flute has is not found."""
    low = part("B3", {"n1": "T 1 2 3 | 1 2 3 C B"}, 96, "Flute", "b-foot")
    assert found(low) == []


def test_a_note_played_twice_is_looked_at_once() -> None:
    """A repeat finds nothing twice."""
    once = part("E6", {"n1": "3"})
    again = tuple(replace(note, time_through=2) for note in once.notes)
    assert len(found(replace(once, notes=(*once.notes, *again)))) == 1
