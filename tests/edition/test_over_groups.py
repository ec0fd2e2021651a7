"""One mark over a beamed group, and *simile* over a figure that comes again."""

from dataclasses import replace

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.marks import marking
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

OTHER, STANDARD = "T L1 L3 | R2 Eb", "T L1 L3 | R3 Eb"
"""Two grips of F#6 (common practice, no source)."""

PLAIN = {"E6": "T L1 L2 | R1 R2 Eb", "G6": "L1 L2 L3 | Eb", "F#6": OTHER}


def marks(
    line: str, group: int, *, over: str = "group", grips: dict[int, str] | None = None
) -> dict[str, str]:
    """The marks of a line under beams of so many notes: by note id the text, and the end of its line."""
    passage = notes(line)
    played = tuple(replace(note, beam=k // group + 1) for k, note in enumerate(passage.notes))
    taken = [(grips or {}).get(k, PLAIN[note.pitch.name]) for k, note in enumerate(played)]
    pins = tuple(Pin(k, Grip.parse(grip)) for k, grip in enumerate(taken))
    route = finger(replace(passage, notes=played), flute(), Wishes(pins=pins))
    house = HouseStyle(which="figures", over=over, least_gain=0.0, at_most=100.0)
    return {
        each.note.note.id: ", ".join(
            f"{said.text} to {said.until}".removesuffix(" to ") for said in each.written
        )
        for each in marking(route, house).marked
    }


MARK = "T 1 3 | 2 Eb"


def test_the_same_grip_in_a_group_is_said_once_with_a_line() -> None:
    """F#6 three times between other notes, under one beam; without that house style it is told each time."""
    line = "E6 F#6 G6 F#6 E6 F#6"
    assert marks(line, 6) == {"n2": f"{MARK} to n6"}
    assert marks(line, 6, over="note") == {"n2": MARK, "n4": MARK, "n6": MARK}


def test_a_line_ends_where_the_group_does() -> None:
    """The next group has a mark of its own."""
    assert marks("E6 F#6 G6 F#6 E6 F#6", 3) == {"n2": MARK, "n4": f"{MARK} to n6"}


def test_a_line_does_not_lead_over_another_grip_of_its_note() -> None:
    """The second F#6 is plain, and goes without a mark, as no mark has spoken of its figure."""
    assert marks("E6 F#6 G6 F#6 E6 F#6", 6, grips={3: STANDARD}) == {"n2": MARK, "n6": MARK}


@pytest.mark.parametrize(
    ("group", "over", "expected"),
    [
        (4, "group", {"n2": MARK, "n5": "sim. to n8"}),
        (4, "note", {"n2": MARK, "n6": "sim."}),
        (8, "group", {"n2": MARK, "n6": "sim."}),
    ],
    ids=["the whole group again", "the note", "no group of its own: the note"],
)
def test_a_simile_stands_where_its_grip_is_meant(group: int, over: str, expected: dict[str, str]) -> None:
    """Over the note with the grip; over the beginning of a group that comes again, whose line says so."""
    assert marks("E6 F#6 G6 G6 E6 F#6 G6 G6", group, over=over) == expected


def test_no_simile_where_the_figure_has_other_grips() -> None:
    """The second E6 has another grip than the first, so that not everything is alike."""
    other = {4: "T L1 L2 | Eb"}
    line = "E6 F#6 G6 G6 E6 F#6 G6 G6"
    assert "sim." not in " ".join(marks(line, 4, over="note", grips=other).values())
