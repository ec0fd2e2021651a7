"""Where each touch stands in a grip diagram, from tables/instruments/<mechanism>/diagram.csv."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from gripway.catalog.flute.instruments import mechanism_of
from gripway.catalog.tables.csv_table import REPORT, Row, read_rows
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import TableError
from gripway.model.grip import TOUCHES
from gripway.model.instrument import Instrument

LAYOUT_COLUMNS = (
    "touch", "words", "along", "across", "length", "width", "shape", "always", "change_side", "trill_side",
    "label_along", "label_across", "source", "how", "note",
)  # fmt: skip
BAR = "bar"
SHAPES = {shape: shape for shape in ("round", "square")}
SIDES = {side: side for side in ("near", "far", "head", "foot")}


@dataclass(frozen=True, slots=True)
class TouchBox:
    """A rectangle by its middle and size, along and across the tube, in distances between plates."""

    along: float
    across: float
    length: float
    width: float

    def scaled(self, factor: float) -> "TouchBox":
        """The same middle, another size."""
        return TouchBox(self.along, self.across, self.length * factor, self.width * factor)

    def thinner(self, less: float) -> "TouchBox":
        """The same middle, smaller by so much both ways."""
        return TouchBox(self.along, self.across, self.length - less, self.width - less)

    def moved(self, along: float, across: float) -> "TouchBox":
        """The same size, further on by so much."""
        return TouchBox(self.along + along, self.across + across, self.length, self.width)

    def meets(self, other: "TouchBox") -> bool:
        """Whether the two overlap."""
        return (
            2 * abs(self.along - other.along) < self.length + other.length
            and 2 * abs(self.across - other.across) < self.width + other.width
        )


@dataclass(frozen=True, slots=True)
class TouchPlace:
    """How one touch is drawn: its box, shape and words, and on which sides its signs stand.

    `always` is whether it is drawn in full when lifted; `label` is the middle of its label
    (along, across).
    """

    touch: str
    words: str
    box: TouchBox
    shape: str
    always: bool
    change_side: str
    trill_side: str
    label: tuple[float, float]


@dataclass(frozen=True, slots=True)
class DiagramLayout:
    """The places of every touch of a mechanism, in the order of the table, and the bar between the hands."""

    places: tuple[TouchPlace, ...]
    bar: TouchBox


def diagram_layout(instrument: Instrument) -> DiagramLayout:
    """The layout of the mechanism an instrument shares; TableError where a touch of it has no place.

    >>> from gripway.catalog.flute.instruments import load_instrument
    >>> len(diagram_layout(load_instrument("piccolo")).places)
    18
    """
    folder = mechanism_of(instrument)
    layout = _layout(tables_folder(), folder)
    placed = {place.touch for place in layout.places}
    if lost := [touch for touch in instrument.mechanism.touches if touch not in placed]:
        table = f"instruments/{folder}/diagram.csv"
        raise TableError(f"there is no place for {', '.join(lost)}", place=table, next_step=REPORT)
    return layout


@cache
def _layout(root: Path, folder: str) -> DiagramLayout:
    table = f"instruments/{folder}/diagram.csv"
    rows = read_rows(root / table, table, LAYOUT_COLUMNS)
    bars = [_box(row) for row in rows if row.cells["touch"] == BAR]
    places = tuple(_place(row) for row in rows if row.cells["touch"] != BAR)
    names = [place.touch for place in places]
    if len(bars) != 1 or len(set(names)) != len(names):
        raise TableError("it needs one bar, and each touch once", place=table, next_step=REPORT)
    return DiagramLayout(places, bars[0])


def _place(row: Row) -> TouchPlace:
    return TouchPlace(
        touch=row.choice("touch", {touch: touch for touch in TOUCHES}),
        words=row.text("words"),
        box=_box(row),
        shape=row.choice("shape", SHAPES),
        always=row.choice("always", {"yes": True, "": False}),
        change_side=row.choice("change_side", SIDES),
        trill_side=row.choice("trill_side", SIDES),
        label=(row.decimal("label_along"), row.decimal("label_across")),
    )


def _box(row: Row) -> TouchBox:
    along, across, length, width = (row.decimal(name) for name in ("along", "across", "length", "width"))
    if length < 0 or width <= 0:
        raise row.error("length", "a size is not positive")
    return TouchBox(along, across, length, width)
