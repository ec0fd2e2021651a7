"""How much room a practice page takes, and how much of it stands on one sheet, how large."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.page.practice_drill import PAGE_MM, SIZES, DrawnDrill, DrillDrawer, Size
from gripway.page.practice_values import Block, SheetCell, SheetDrill, SheetPage

ROOM_MM = 250.0
"""Height of a sheet of Letter (279 mm) with margins of 12 mm, a little left over; A4 is higher."""

HEAD_MM, TITLE_MM, BOXES_MM, BELOW_MM = 17.0, 3.7, 7.6, 3.0
CELL_MM, TIGHT_CELL_MM, PAUSE_MM, PLOT_MM = 10.0, 6.5, 8.0, 21.0
LINE_MM, SMALL_LINE_MM = 3.7, 3.2
LETTER_MM, SMALL_LETTER_MM, TITLE_LETTER_MM = 1.6, 1.4, 1.75
"""Heights and widths as the style sheet sets them, rather too large than too small."""

BOX_MM, BETWEEN_MM, NARROWEST_MM = 4.9, 2.5, 34.5
TO_FILL_MM = 58.0


@dataclass(frozen=True, slots=True)
class Fit:
    """How large drills are printed, and how many sentences of each cell.

    On a `tight` page the drills alone show the grips, and only the first hint is kept.
    """

    size: Size
    lines: int
    tight: bool = False


FITS = (
    *(Fit(size, 9) for size in SIZES[:2]),
    *(Fit(size, 1) for size in SIZES[:3]),
    *(Fit(size, 0) for size in SIZES[1:3]),
    *(Fit(size, 0, tight=True) for size in SIZES[2:]),
)
"""From the fullest to the barest; a page takes the first it has room for."""


def fit_for(page: SheetPage, drawer: DrillDrawer) -> Fit:
    """The fullest way in which a page stands on one sheet; the barest where none does."""
    return next((fit for fit in FITS if height_of(page, drawer, fit) <= ROOM_MM), FITS[-1])


def height_of(page: SheetPage, drawer: DrillDrawer, fit: Fit) -> float:
    """About how high a page is (mm)."""
    rows = sum(_row_heights(page.blocks, drawer, fit))
    hints = sum(_lines(hint, LETTER_MM) * LINE_MM for hint in hints_of(page, fit))
    cautions = _lines(" ".join(page.cautions), SMALL_LETTER_MM) * SMALL_LINE_MM + 3.0
    return HEAD_MM + rows + hints + cautions


def hints_of(page: SheetPage, fit: Fit) -> Sequence[str]:
    """The hints there is room for."""
    return page.hints[:1] if fit.tight else page.hints


def facts_of(cell: SheetCell, fit: Fit) -> str:
    """What stands beside the notes of a cell."""
    return cell.facts if fit.tight or not cell.grips else f"{cell.facts} · {cell.grips}"


def width_of(drill: SheetDrill, drawn: DrawnDrill) -> float:
    """How wide (mm) a drill is with its boxes; its title may take two lines."""
    return min(PAGE_MM, max(NARROWEST_MM, drawn.width_mm, len(drill.steps) * BOX_MM))


def _row_heights(blocks: Sequence[Block], drawer: DrillDrawer, fit: Fit) -> Iterator[float]:
    """The heights of rows: drills side by side as far as there is room, the rest by itself."""
    used, tallest = 0.0, 0.0
    for block in blocks:
        if isinstance(block, SheetDrill):
            drawn = drawer.draw(block, fit.size)
            wide = width_of(block, drawn)
            if used and used + BETWEEN_MM + wide > PAGE_MM:
                yield tallest
                used, tallest = 0.0, 0.0
            used += wide + (BETWEEN_MM if used else 0.0)
            tallest = max(tallest, _drill_height(block, drawn))
            continue
        if used:
            yield tallest
        used, tallest = 0.0, 0.0
        yield _cell_height(block, fit) if isinstance(block, SheetCell) else PAUSE_MM
    yield tallest


def _drill_height(drill: SheetDrill, drawn: DrawnDrill) -> float:
    words = f"{drill.label} {drill.title} · {drill.facts}"
    title = _lines(words, TITLE_LETTER_MM, width_of(drill, drawn)) * TITLE_MM
    return title + drawn.height_mm + (BOXES_MM if drill.steps else 0.0) + BELOW_MM


def _cell_height(cell: SheetCell, fit: Fit) -> float:
    wide = PAGE_MM - (62.0 if cell.points else 0.0)
    title = f"{cell.number} {cell.notes} {facts_of(cell, fit)}"
    wide_title = PAGE_MM - TO_FILL_MM * cell.to_fill
    head = TIGHT_CELL_MM if fit.tight else CELL_MM
    head += (_lines(title, TITLE_LETTER_MM, wide_title) - 1) * LINE_MM
    lines = sum(_lines(line, LETTER_MM, wide) * LINE_MM for line in cell.lines[: fit.lines])
    boxes = -(-len(cell.steps) // 36) * BOXES_MM
    return head + max(lines + boxes, PLOT_MM if cell.points else 0.0)


def _lines(text: str, letter_mm: float, wide_mm: float = PAGE_MM) -> int:
    return -(-int(len(text) * letter_mm) // int(wide_mm)) if text else 0
