"""Practice sheets as one HTML file that needs nothing else: a page a day, for paper and screen."""

from collections.abc import Sequence
from dataclasses import replace

from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.document import document
from gripway.page.markup import filled
from gripway.page.sheet.fit_choice import PAPER_ROOM_MM, ROOM_MM, fit_for
from gripway.page.sheet.heading_words import GRIP
from gripway.page.sheet.practice_drill import PAGE_MM, DrillDrawer
from gripway.page.sheet.practice_fit import grips_of, hands_of, hints_of, lines_of, told_of, words_of
from gripway.page.sheet.practice_layout import (
    GAP_MM,
    HALF_MM,
    are_cards,
    bars_mm,
    columns_of,
    height_of,
    left_mm,
    rows_of,
    runs_of,
    stands_beside,
    strips,
    whole_width,
)
from gripway.page.sheet.practice_plot import tempo_plot
from gripway.page.sheet.sheet_model import SheetPage

NOTES_MM = 10.0
"""Room that a line for the teacher's notes needs."""


def practice_sheet(
    title: str, facts: str, pages: Sequence[SheetPage], instrument: Instrument, paper: str = ""
) -> str:
    """The pages of a practice plan as an HTML document; `facts` stand under the title on every page.

    Laid out for that paper, one of PAPER_ROOM_MM; where none is given for all of them.
    """
    drawer = DrillDrawer(GripSymbols(instrument))
    room_mm = PAPER_ROOM_MM.get(paper, ROOM_MM)
    headed = [replace(page, heading=f"{title} · {page.title}") for page in pages]
    fits = [fit_for(page, drawer, room_mm) for page in headed]
    full = [height_of(page, drawer, fit) > room_mm - NOTES_MM for page, fit in zip(headed, fits, strict=True)]
    fitted = [*zip(headed, fits, full, strict=True)]
    return sheet_document("practice_sheet.html", drawer, title=title, facts=facts, pages=fitted, paper=paper)


def sheet_document(template: str, drawer: DrillDrawer, title: str, **values: object) -> str:
    """An HTML document of cells with their drills from a template."""
    body = filled(
        template,
        title=title,
        drawer=drawer,
        strips=strips,
        stands_beside=stands_beside,
        grips_of=grips_of,
        left_mm=left_mm,
        rows_of=rows_of,
        hints_of=hints_of,
        told_of=told_of,
        words_of=words_of,
        whole_width=whole_width,
        hands_of=hands_of,
        lines_of=lines_of,
        are_cards=are_cards,
        bars_mm=bars_mm,
        columns_of=columns_of,
        runs_of=runs_of,
        tempo_plot=tempo_plot,
        GRIP=GRIP,
        PAGE_MM=PAGE_MM,
        HALF_MM=HALF_MM,
        GAP_MM=GAP_MM,
        **values,
    )
    return document(title, "sheet/practice_sheet.css", body, font=drawer.font)
