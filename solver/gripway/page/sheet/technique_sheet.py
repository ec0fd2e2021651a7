"""The worst cells of scales and patterns as one HTML file: heat map, list, drills of only those."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.markup import Markup, tag
from gripway.page.sheet.heat_map import heat_map
from gripway.page.sheet.practice_drill import SIZES, DrillDrawer
from gripway.page.sheet.practice_layout import Fit, strips
from gripway.page.sheet.practice_sheet import blocks, cautions, document
from gripway.page.sheet.sheet_model import Block

HEADS = ("Change", "Load", "Needs", "Fingers", "Grips", "Where")
FIT = Fit(SIZES[2], 9)


@dataclass(frozen=True, slots=True)
class TechniqueSheet:
    """What the sheet holds: loads by the two pitches, rows of the worst changes, cells with their drills."""

    title: str
    pitches: Sequence[str]
    loads: Mapping[tuple[str, str], float]
    rows: Sequence[tuple[str, ...]]
    cells: Sequence[Block]
    remark: str
    cautions: Sequence[str]


def technique_sheet(sheet: TechniqueSheet, instrument: Instrument) -> str:
    """The sheet as an HTML document; no cell is cut by a page where it fits on one."""
    drawer = DrillDrawer(GripSymbols(instrument))
    body = tag(
        "main",
        tag("h1", "Worst cells"),
        tag("p", sheet.title, class_="facts"),
        cautions(sheet.cautions),
        _map(sheet),
        _changes(sheet.rows),
        *_cells(sheet.cells, drawer),
        tag("p", sheet.remark, class_="hint"),
        class_="day",
    )
    return document(f"Worst cells: {sheet.title}", body, drawer)


def _map(sheet: TechniqueSheet) -> Markup:
    words = (
        "Load: the time the fingers need over the time they have; above 1 they come late (bold). Rows from "
        "a pitch, columns to a pitch."
    )
    drawn = heat_map(sheet.pitches, sheet.loads, "Heat map of changes")
    return tag(
        "section",
        tag("h2", "Heat map of changes"),
        tag("p", words),
        tag("div", drawn, class_="scroll", tabindex="0", role="group", aria_label="Heat map"),
        class_="whole",
    )


def _changes(rows: Iterable[Sequence[str]]) -> Markup:
    head = tag("tr", *(tag("th", name, scope="col") for name in HEADS))
    lines = (
        tag(
            "tr",
            tag("th", row[0], scope="row"),
            *(tag("td", cell, class_="figure") for cell in row[1:3]),
            *(tag("td", cell) for cell in row[3:]),
        )
        for row in rows
    )
    table = tag("table", tag("thead", head), tag("tbody", *lines))
    box = tag("div", table, class_="scroll", tabindex="0", role="group", aria_label="Table: worst changes")
    return tag("section", tag("h2", "Worst changes"), box)


def _cells(found: Sequence[Block], drawer: DrillDrawer) -> Iterator[Markup]:
    """Each cell with its drills in a box that a page does not cut."""
    for strip in strips(found):
        yield tag("div", blocks([*strip.cells, *strip.drills], drawer, FIT), class_="whole")
