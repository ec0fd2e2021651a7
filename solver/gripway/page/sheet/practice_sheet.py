"""Practice sheets as one HTML file that needs nothing else: a page a day, for paper and screen."""

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from gripway.model.instrument import Instrument
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.markup import Markup, join, tag
from gripway.page.sheet.practice_drill import PAGE_MM, DrawnDrill, DrillDrawer
from gripway.page.sheet.practice_layout import (
    BESIDE_MM,
    Fit,
    Strip,
    facts_of,
    fit_for,
    hints_of,
    stands_beside,
    strips,
    width_of,
)
from gripway.page.sheet.practice_plot import tempo_plot
from gripway.page.sheet.sheet_model import Block, SheetCell, SheetDrill, SheetPage

GRIP = re.compile(r"((?:[A-G](?:##?|bb?)?\d )?(?:(?:Tb?|[1-4]) )*\|(?: (?:[1-4]|[A-Z][a-z]*)\b)*)")
"""A grip in short words, as `A6 T 2 4 | 1 Eb`."""

HERE = Path(__file__).parent
POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'"


def practice_sheet(title: str, facts: str, pages: Sequence[SheetPage], instrument: Instrument) -> str:
    """The pages of a practice plan as an HTML document; `facts` stand under the title on every page."""
    drawer = DrillDrawer(GripSymbols(instrument))
    sections = [_page(number, page, title, facts, drawer) for number, page in enumerate(pages, start=1)]
    return document(title, tag("main", *sections), drawer)


def document(title: str, body: Markup, drawer: DrillDrawer) -> str:
    """An HTML document with what its drills share; `body` must be drawn already."""
    style = (HERE / "practice_sheet.css").read_text(encoding="utf-8")
    face = f'@font-face{{font-family:Leipzig;src:url("data:font/woff2;base64,{drawer.font}")}}\n'
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        Markup(f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'),
        tag("meta", name_="viewport", content="width=device-width, initial-scale=1"),
        tag("title", title),
        tag("style", Markup((face if drawer.font else "") + style)),
    )
    whole = tag("body", body, drawer.shared(), drawer.symbols.shared())
    return f"<!DOCTYPE html>\n{tag('html', head, whole, lang='en')}\n"


def _page(number: int, page: SheetPage, title: str, facts: str, drawer: DrillDrawer) -> Markup:
    name = f"page-{number}"
    day = tag("span", f" · {page.title}")
    fit = fit_for(page, drawer)
    return tag(
        "section",
        tag("h1", title, day, id=name, class_="top"),
        tag("p", " · ".join(filter(None, [page.facts, facts])), *_date(page), class_="facts"),
        blocks(page.blocks, drawer, fit),
        *(tag("p", hint, class_="hint") for hint in hints_of(page, fit)),
        cautions(page.cautions),
        aria_labelledby=name,
        class_="day tight" if fit.tight else "day",
    )


def _date(page: SheetPage) -> Iterator[Markup]:
    """Room for the date, where there is something to fill in."""
    if any(isinstance(block, SheetCell) and block.to_fill for block in page.blocks):
        yield tag("span", "date ", tag("span", class_="blank"), class_="date")


def cautions(lines: Iterable[str]) -> Markup:
    """All cautions as one paragraph."""
    return tag("p", tag("strong", "Cautions. "), " ".join(lines), class_="cautions")


def blocks(found: Sequence[Block], drawer: DrillDrawer, fit: Fit) -> Markup:
    """Cells with their drills side by side, and pauses, from top to bottom."""
    return join(_strip(strip, drawer, fit) for strip in strips(found))


def _strip(strip: Strip, drawer: DrillDrawer, fit: Fit) -> Markup:
    if strip.pause:
        return tag("p", strip.pause.words, class_="pause")
    if stands_beside(strip, drawer, fit):
        (cell,) = strip.cells
        words = tag("div", _words(cell, fit), *_plot(cell), class_="left")
        drills = _drills(strip.drills, drawer, fit, BESIDE_MM)
        return tag("div", _heading(cell, fit), tag("div", words, drills, class_="beside"), class_="cell")
    return join(
        [
            *(_cell(cell, fit) for cell in strip.cells),
            *([_drills(strip.drills, drawer, fit, PAGE_MM)] if strip.drills else []),
        ]
    )


def _cell(cell: SheetCell, fit: Fit) -> Markup:
    """A cell's heading with its words, and what was reached at their right."""
    beside = tag("div", _words(cell, fit), *_plot(cell), class_="beside")
    return tag("div", _heading(cell, fit), beside, class_="cell")


def _heading(cell: SheetCell, fit: Fit) -> Markup:
    number = tag("span", str(cell.number), class_="number")
    head = tag("h2", number, f" {cell.notes} ", tag("small", *whole_grips(facts_of(cell, fit))))
    return tag("div", head, *(_to_fill(cell) if cell.to_fill else ()), class_="heading")


def _words(cell: SheetCell, fit: Fit) -> Markup:
    lines = [tag("p", *whole_grips(line)) for line in cell.lines[: fit.lines]]
    boxes = [_boxes(cell.steps, f"Ladder of cell {cell.number}")] if cell.steps else []
    return tag("div", *lines, *boxes, class_="words")


def whole_grips(text: str) -> Iterator[Markup | str]:
    """A text whose grips, with the pitch before them, are not broken at the end of a line."""
    for place, piece in enumerate(GRIP.split(text)):
        if piece:
            yield tag("span", piece, class_="grip") if place % 2 else piece


def _plot(cell: SheetCell) -> list[Markup]:
    return [tempo_plot(cell.points, cell.target)] if cell.points else []


def _to_fill(cell: SheetCell) -> Iterator[Markup]:
    """Room for the player's own entry."""
    yield tag(
        "p",
        "clean at quarter = ",
        tag("span", class_="blank"),
        f" of {cell.target}",
        class_="fill-in",
    )


def _drills(drills: Iterable[SheetDrill], drawer: DrillDrawer, fit: Fit, wide: float) -> Markup:
    return tag(
        "div", *(_drill(drill, drawer.draw(drill, fit.size, wide)) for drill in drills), class_="drills"
    )


def _drill(drill: SheetDrill, drawn: DrawnDrill) -> Markup:
    facts = [tag("span", f" {drill.facts}", class_="plain")] if drill.facts else []
    return tag(
        "div",
        tag("p", f"{drill.label} {drill.title}", *facts, class_="name"),
        drawn.drawings,
        *([_boxes(drill.steps, f"Tempos of {drill.label}")] if drill.steps else []),
        class_="drill",
        style=f"width:{width_of(drill, drawn):.1f}mm",
    )


def _boxes(steps: Iterable[int], words: str) -> Markup:
    """A box to tick for each tempo."""
    marks = (tag("li", tag("span", class_="box", aria_hidden="true"), str(step)) for step in steps)
    return tag("ul", *marks, class_="boxes", aria_label=words)
