"""How to read the marks: every sign that stands in the edition is explained, and no other."""

from dataclasses import replace

import pytest

from gripway.asked.wishes import Pin, Wishes
from gripway.edition.legend import Legend, legend_of
from gripway.edition.marks import marked_notes
from gripway.model.grip import Grip
from gripway.model.house_style import HouseStyle
from gripway.model.mark_text import Hand
from gripway.page.legend_document import legend_page, legend_text
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

HOUSE = HouseStyle(which="figures", hand=Hand(bracket="square", simile="idem"))


@pytest.fixture(scope="module")
def legend() -> Legend:
    """F#6 with the middle finger, twice in the same figure, so that the second time says simile."""
    grips = ("T L1 L2 | R1 R2 Eb", "T L1 L3 | R2 Eb", "L1 L2 L3 | Eb")
    pins = tuple(Pin(place, Grip.parse(grips[place % 3])) for place in range(6))
    route = finger(notes("E6 F#6 G6 E6 F#6 G6"), flute(), Wishes(pins=pins))
    return legend_of(marked_notes(route, HOUSE))


def test_every_sign_is_explained_in_the_houses_hand(legend: Legend) -> None:
    """The grip with its pitch, the simile, the brackets; no thumb, for there is none."""
    text = legend_text(legend, HOUSE)
    assert "F#6 (1 mark): [T 1 3 | 2 Eb]" in text
    assert "[idem]: the note has the grip of the first time" in " ".join(text.split())
    assert "square brackets: an addition of the editor" in text
    assert "B-flat lever, whenever" not in text


def test_the_page_has_a_diagram_of_every_grip(legend: Legend) -> None:
    """As many drawings as grips, in one document that needs nothing else."""
    page = legend_page(legend, HOUSE, flute())
    assert page.count("<svg") == len(legend.grips) == 1
    assert "http:" not in page.replace("http://www.w3.org/2000/svg", "")


def test_an_edition_without_marks_says_so() -> None:
    """A legend of nothing is one sentence."""
    assert "No marks: every note has the grip a player expects." in legend_text(legend_of(()), HOUSE)


def test_grips_and_signs_stand_as_they_are_printed(legend: Legend) -> None:
    """Hand letters and stroke also where an abbreviation is spelt out; words over the staff with *grips*."""
    grip = legend.grips[0]
    hand = Hand(letters=True, separator="/", bracket="square", abbreviations=(("med.", grip.grip),))
    house = HouseStyle(which="figures", style="words", hand=hand)
    short = replace(legend, grips=(replace(grip, text="[med.]"),))
    text = " ".join(legend_text(short, house).split())
    assert "[med.] = T L1 L3 / R2 Eb" in text
    assert "left hand / right hand" in text
    assert "L1 L2 L3 and R1 R2 R3 the fingers" in text
    assert "[grips sim.]: the note has the grip" in text
