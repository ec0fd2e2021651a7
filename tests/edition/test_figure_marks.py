"""Marks at the first of each figure: what comes again, what changes, what is only repeated."""

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.marks import marked_notes
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

STANDARD, OTHER = "T L1 L3 | R3 Eb", "T L1 L3 | R2 Eb"
"""Two grips of F#6, the standard one first (common practice, no source)."""

MARK = "T 1 3 | 2 Eb"
CELL = "E6 F#6 G6"


def marks(line: str, *grips: str, house: HouseStyle | None = None) -> dict[str, str]:
    """The marks by note id, with these grips on the F#6 of a line."""
    passage = notes(line)
    places = [k for k, note in enumerate(passage.notes) if note.pitch.name in ("F#6", "Gb6")]
    others = [k for k in range(len(passage.notes)) if k not in places]
    pins = tuple(Pin(place, Grip.parse(grip)) for place, grip in zip(places, grips, strict=True))
    standard = {"E6": "T L1 L2 | R1 R2 Eb", "G6": "L1 L2 L3 | Eb"}
    pins += tuple(Pin(k, Grip.parse(standard[passage.notes[k].pitch.name])) for k in others)
    house = house or HouseStyle(which="figures")
    route = finger(passage, flute(), Wishes(pins=pins))
    return {
        each.note.note.id: " + ".join(map(house.hand.written, each.signs))
        for each in marked_notes(route, house)
    }


@pytest.mark.parametrize(
    ("line", "grips", "expected"),
    [
        (f"{CELL} {CELL}", (OTHER, OTHER), {"n2": MARK, "n5": "sim."}),
        (f"{CELL} {CELL} {CELL}", (OTHER, OTHER, OTHER), {"n2": MARK, "n5": "sim."}),
        (f"{CELL} {CELL}", (STANDARD, STANDARD), {}),
        (f"{CELL} {CELL}", (STANDARD, OTHER), {"n5": MARK}),
        (f"{CELL} {CELL}", (OTHER, STANDARD), {"n2": MARK, "n5": "T 1 3 | 3 Eb"}),
        ("E6 F#6 G6 E6 F#6 E6", (OTHER, OTHER), {"n2": MARK, "n5": MARK}),
        ("E6 F#6 G6 E6 F#6:1/8 G6", (OTHER, OTHER), {"n2": MARK, "n5": MARK}),
        ("E6 F#6 G6 E6 Gb6 G6", (OTHER, OTHER), {"n2": MARK, "n5": "sim."}),
        ("E6 F#6 F#6 F#6 G6", (OTHER, OTHER, OTHER), {"n2": MARK}),
        ("E6 F#6 F#6 G6", (OTHER, STANDARD), {"n2": MARK}),
    ],
    ids=[
        "again: simile",
        "a third time: nothing",
        "plain: nothing",
        "first of it unusual: where it is",
        "back to the plain grip: said",
        "another note after it: another figure",
        "another length: another figure",
        "another spelling: the same figure",
        "a repeated note: once",
        "a repeated note goes plain: another figure, nothing said",
    ],
)
def test_which_notes_are_marked(line: str, grips: tuple[str, ...], expected: dict[str, str]) -> None:
    """A figure is the note before, the note, the note after, and the written length."""
    assert marks(line, *grips) == expected


def test_a_house_can_do_without_simile() -> None:
    """The second time then goes unmarked like the third."""
    house = HouseStyle(which="figures", say_simile=False)
    assert marks(f"{CELL} {CELL}", OTHER, OTHER, house=house) == {"n2": MARK}
