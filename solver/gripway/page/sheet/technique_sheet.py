"""The worst cells of scales and patterns as one HTML file: heat map, list, drills of only those."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.sheet.heat_map import heat_map
from gripway.page.sheet.practice_drill import SIZES, DrillDrawer
from gripway.page.sheet.practice_fit import Fit
from gripway.page.sheet.practice_sheet import sheet_document
from gripway.page.sheet.sheet_model import Block

FIT = Fit(SIZES[-1], 9)


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
    title = f"Worst cells: {sheet.title}"
    return sheet_document("technique_sheet.html", drawer, title, sheet=sheet, fit=FIT, heat_map=heat_map)
