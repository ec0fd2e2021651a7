"""The layout of grip diagrams: where every touch of every flute stands."""

from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, own_table

from gripway.catalog.flute import diagram_layout as module
from gripway.catalog.flute.diagram_layout import LAYOUT_COLUMNS, DiagramLayout, TouchBox, diagram_layout
from gripway.catalog.flute.instruments import instrument_names, load_instrument
from gripway.errors import TableError
from gripway.model.grip import LEFT_TOUCHES, TOUCHES

LAYOUT = diagram_layout(load_instrument())
BOXES = {place.touch: place.box for place in LAYOUT.places}


def test_every_touch_there_is_has_a_place() -> None:
    """All touches of the grip notation, in every instrument's layout."""
    assert set(BOXES) == set(TOUCHES)
    for name in instrument_names():
        assert diagram_layout(load_instrument(name)) == LAYOUT


def test_the_reader_asks_for_the_columns_that_are_described() -> None:
    """Reader and description cannot drift apart."""
    assert tuple(c.name for c in columns_of("instruments/concert-flute/diagram.csv")) == LAYOUT_COLUMNS


def test_the_hands_lie_on_their_sides_of_the_bar() -> None:
    """The left hand is nearer to the head; its fingers, and those of the right, in their order."""
    for touch, box in BOXES.items():
        assert (box.along < LAYOUT.bar.along) == (touch in LEFT_TOUCHES), touch
    plates = [BOXES[touch].along for touch in ("L1", "L2", "L3", "R1", "R2", "R3", "Eb", "Cs")]
    assert plates == sorted(plates)


def test_levers_lie_where_they_are_on_the_flute() -> None:
    """Common practice, no source: where each special touch lies beside the plates.

    The B-flat lever above the thumb plate, D between the right first and second finger, D-sharp
    between second and third, the C-sharp trill key just above the side lever.
    """
    assert BOXES["Tb"].along < BOXES["T"].along
    assert BOXES["R1"].along < BOXES["Kd"].along < BOXES["R2"].along < BOXES["Kds"].along < BOXES["R3"].along
    assert BOXES["Kcs"].along < BOXES["Sb"].along
    assert BOXES["Eb"].along < min(BOXES[touch].along for touch in ("Cs", "C", "B", "Hc"))


ROW = "L1,first finger,0,0,1,1,round,yes,far,near,0,-1,own-judgement,judgement,\n"
BAR = "bar,,2,0,0,3,,,,,,,own-judgement,judgement,\n"


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (ROW, "one bar"),
        (ROW + ROW + BAR, "each touch once"),
        (BAR + ROW.replace("L1", "L9"), "touch.*'L9'"),
        (BAR + ROW.replace("round", "oval"), "shape.*'oval'"),
        (BAR + ROW.replace(",far,", ",top,"), "change_side.*'top'"),
        (BAR + ROW.replace("-1,own", "x,own"), "label_across.*'x' is not a number"),
        (BAR + ROW.replace("1,1,round", "1,-1,round"), "not positive"),
        (BAR + ROW, "no place for T"),
    ],
)
def test_a_faulty_table_is_refused_with_its_place(
    rows: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Table, line and column of the fault are named."""
    flute, table = load_instrument(), "instruments/concert-flute/diagram.csv"
    own_table(tmp_path, monkeypatch, module, table, LAYOUT_COLUMNS, rows.splitlines())
    with pytest.raises(TableError, match=f"diagram.csv.*{said}"):
        diagram_layout(flute)


def test_boxes_that_touch_do_not_meet() -> None:
    """Only what overlaps both along and across does."""
    box = TouchBox(0, 0, 1, 1)
    assert box.meets(TouchBox(0.9, 0.9, 1, 1))
    assert not box.meets(TouchBox(1, 0, 1, 1))
    assert not box.meets(TouchBox(0, 2, 1, 1))
    assert isinstance(LAYOUT, DiagramLayout)
