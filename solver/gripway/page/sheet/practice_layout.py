"""How much room a practice page takes, and how much of it stands on one sheet, how large."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from gripway.page.sheet.practice_drill import PAGE_MM, SIZES, DrawnDrill, DrillDrawer, Size
from gripway.page.sheet.sheet_model import Block, SheetCell, SheetDrill, SheetPage, SheetPause

ROOM_MM = 252.0
"""Height of a sheet of Letter (279 mm) with margins of 12 mm, a little left over; A4 is higher."""

HEAD_MM, TITLE_MM, BOXES_MM = 17.0, 3.7, 8.6
BELOW_MM, TIGHT_BELOW_MM = 3.0, 1.5
CELL_MM, TIGHT_CELL_MM, PAUSE_MM, PLOT_MM = 10.0, 7.0, 8.5, 21.0
LINE_MM, SMALL_LINE_MM = 3.7, 3.2
TOLD_BOXES_MM = 7.8
LETTER_MM, SMALL_LETTER_MM, TITLE_LETTER_MM, NOTES_LETTER_MM = 1.6, 1.4, 1.75, 2.3
"""Heights and widths as the style sheet sets them, rather too large than too small."""

BOX_MM, BETWEEN_MM, NARROWEST_MM = 6.4, 2.5, 34.5
TO_FILL_MM = 58.0
LAST_WORD_MM = 6.0
"""What a line loses at its end, as no word is cut."""
WORDS_MM, BESIDE_MM = 60.0, 120.0
TOLD_MM = 88.0
"""Width that a drill told in words needs."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How large drills are printed, and how many sentences of each cell.

    On a `tight` page the drills alone show the grips where all are drawn, and only the first hint is kept.
    Drills whose rank is in `words` are told in words.
    """

    size: Size
    lines: int
    tight: bool = False
    words: frozenset[int] = frozenset()


MOST_WORDS = 60
"""No day has so many drills."""

TOLD = (0, 2, 4, 8, 12, 16, 20)
"""How many drills are told in words, tried one after another."""

FITS = (
    *(Fit(size, 9) for size in SIZES),
    *(Fit(size, lines) for lines in (1, 0) for size in SIZES[2:]),
    *(
        Fit(size, 0, True, frozenset(range(words)))
        for words in TOLD
        for size in SIZES[3 if words < 8 else 5 :]
    ),
    Fit(SIZES[-1], 0, True, frozenset(range(MOST_WORDS))),
)
"""From the fullest to the barest; a page takes the first it has room for."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Cells with the drills that follow them, or a pause: what a page is made of, from top to bottom."""

    cells: Sequence[SheetCell] = ()
    drills: Sequence[SheetDrill] = ()
    pause: SheetPause | None = None


def strips(blocks: Sequence[Block]) -> Iterator[Strip]:
    """The strips of a page: a cell after drills, and every pause, begins a new one."""
    cells: list[SheetCell] = []
    drills: list[SheetDrill] = []
    for block in (*blocks, None):
        ends = block is None or isinstance(block, SheetPause) or (isinstance(block, SheetCell) and drills)
        if ends and (cells or drills):
            yield Strip(tuple(cells), tuple(drills))
            cells, drills = [], []
        if isinstance(block, SheetCell):
            cells.append(block)
        elif isinstance(block, SheetDrill):
            drills.append(block)
        elif block is not None:
            yield Strip(pause=block)


def fit_for(page: SheetPage, drawer: DrillDrawer) -> Fit:
    """The fullest way in which a page stands on one sheet; the barest where none does.

    Where a row has room left, drills told in words have their music back.
    """
    found = first_fit(page, drawer)
    for rank in sorted(found.words, reverse=True):
        less = replace(found, words=found.words - {rank})
        if height_of(page, drawer, less) <= ROOM_MM:
            found = less
    return found


def first_fit(page: SheetPage, drawer: DrillDrawer) -> Fit:
    """The first of FITS in which a page stands on one sheet, else the last."""
    return next((fit for fit in FITS if height_of(page, drawer, fit) <= ROOM_MM), FITS[-1])


def height_of(page: SheetPage, drawer: DrillDrawer, fit: Fit) -> float:
    """About how high a page is (mm)."""
    rows = sum(_strip_height(strip, drawer, fit) for strip in strips(page.blocks))
    hints = sum(_lines(hint, LETTER_MM) * LINE_MM for hint in hints_of(page, fit))
    cautions = _lines(" ".join(page.cautions), SMALL_LETTER_MM) * SMALL_LINE_MM + 3.0
    return HEAD_MM + rows + hints + cautions


def hints_of(page: SheetPage, fit: Fit) -> Sequence[str]:
    """The hints there is room for: on a tight page the first, none where all drills are told in words."""
    return page.hints[: len(fit.words) < MOST_WORDS] if fit.tight else page.hints


def facts_of(cell: SheetCell, fit: Fit) -> str:
    """What stands beside the notes of a cell."""
    drawn = fit.tight and len(fit.words) in (0, MOST_WORDS)
    return cell.facts if drawn or not cell.grips else f"{cell.facts} · {cell.grips}"


def stands_beside(strip: Strip, drawer: DrillDrawer, fit: Fit) -> bool:
    """Whether the words of a cell stand at the left of its drills, as that takes less room."""
    if len(strip.cells) != 1 or not strip.drills:
        return False
    return _beside_height(strip, drawer, fit) < _stacked_height(strip, drawer, fit)


@dataclass(frozen=True, slots=True)
class Columns:
    """Drills with music, and those told in words: beside them, all in one column, or below, two in a row.

    `music_mm` and `told_mm` are the widths of the two.
    """

    music: Sequence[SheetDrill]
    told: Sequence[SheetDrill]
    music_mm: float
    told_mm: float
    beside: bool = False


def columns_of(drills: Sequence[SheetDrill], drawer: DrillDrawer, fit: Fit, wide_mm: float) -> Columns:
    """How the drills of a strip stand in so much width."""
    music = tuple(drill for drill in drills if not is_told(drill, fit))
    told = tuple(drill for drill in drills if is_told(drill, fit))
    widths = [width_of(drill, drawer.draw(drill, fit.size, wide_mm)) for drill in music]
    used = sum(widths) + BETWEEN_MM * len(widths)
    if music and told and used + TOLD_MM <= wide_mm:
        return Columns(music, told, used - BETWEEN_MM + 0.2, wide_mm - used - 0.2, beside=True)
    half = (wide_mm - BETWEEN_MM) / 2 - 0.1  # widths are written in tenths
    return Columns(music, told, wide_mm, half if half >= TOLD_MM else wide_mm)


def is_told(drill: SheetDrill, fit: Fit) -> bool:
    """Whether a drill is told in words: one line of text, its boxes at the right."""
    return bool(drill.words) and drill.rank in fit.words


def width_of(drill: SheetDrill, drawn: DrawnDrill) -> float:
    """How wide (mm) a drill is with its boxes; its title may take two lines."""
    return max(NARROWEST_MM, drawn.width_mm, len(drill.steps) * BOX_MM)


def _strip_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    if strip.pause:
        return PAUSE_MM
    height = _beside_height if stands_beside(strip, drawer, fit) else _stacked_height
    return height(strip, drawer, fit)


def _beside_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    (cell,) = strip.cells
    words = _words_height(cell, fit, WORDS_MM) + (PLOT_MM if cell.points else 0.0)
    return _head_height(cell, fit) + max(words, _drills_height(strip.drills, drawer, fit, BESIDE_MM))


def _stacked_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    cells = 0.0
    for cell in strip.cells:
        words = _words_height(cell, fit, PAGE_MM - (62.0 if cell.points else 0.0))
        cells += _head_height(cell, fit) + max(words, PLOT_MM if cell.points else 0.0)
    return cells + _drills_height(strip.drills, drawer, fit, PAGE_MM)


def runs_of(drills: Sequence[SheetDrill], fit: Fit) -> list[list[SheetDrill]]:
    """The drills of one cell together; where cells come in turn, with music or in words as they come."""
    if len({drill.label.split(".")[0] for drill in drills}) <= 1:
        return [list(drills)]
    return [list(run) for _, run in groupby(drills, key=lambda drill: is_told(drill, fit))]


def _drills_height(drills: Sequence[SheetDrill], drawer: DrillDrawer, fit: Fit, wide: float) -> float:
    """Height of rows of drills, side by side as far as there is room, and of those told in words."""
    return sum(
        _columns_height(columns_of(run, drawer, fit, wide), drawer, fit, wide) for run in runs_of(drills, fit)
    )


def _columns_height(both: Columns, drawer: DrillDrawer, fit: Fit, wide: float) -> float:
    drawn = [drawer.draw(drill, fit.size, both.music_mm) for drill in both.music]
    sizes = [
        (width_of(drill, each), _drill_height(drill, each))
        for drill, each in zip(both.music, drawn, strict=True)
    ]
    music = _rows_height(sizes, both.music_mm, fit)
    lines = [(both.told_mm, _told_height(drill, both.told_mm)) for drill in both.told]
    told = _rows_height(lines, both.told_mm if both.beside else wide, fit)
    return max(music, told) if both.beside else music + told


def _rows_height(sizes: Sequence[tuple[float, float]], wide: float, fit: Fit) -> float:
    """Height of things of these widths and heights, in rows."""
    rows: list[float] = []
    used = wide
    for width, height in sizes:
        high = height + (TIGHT_BELOW_MM if fit.tight else BELOW_MM)
        if used + BETWEEN_MM + width > wide + 0.01:
            rows.append(high)
            used = width
        else:
            rows[-1] = max(rows[-1], high)
            used += BETWEEN_MM + width
    return sum(rows)


def _drill_height(drill: SheetDrill, drawn: DrawnDrill) -> float:
    words = f"{drill.label} {drill.title} {drill.facts}"
    title = _lines(words, TITLE_LETTER_MM, width_of(drill, drawn)) * TITLE_MM
    return title + drawn.height_mm + (BOXES_MM if drill.steps else 0.0)


def _told_height(drill: SheetDrill, wide: float) -> float:
    """Height of a drill in words, its boxes at the right."""
    title = f"{drill.label} {drill.title}"
    room = wide - len(drill.steps) * BOX_MM - BETWEEN_MM
    long = len(title) * TITLE_LETTER_MM + len(f" {drill.facts} {drill.words}") * LETTER_MM
    return max(-(-long // (room - LAST_WORD_MM)) * TITLE_MM, TOLD_BOXES_MM if drill.steps else 0.0)


def _head_height(cell: SheetCell, fit: Fit) -> float:
    wide = PAGE_MM - TO_FILL_MM * cell.to_fill
    long = len(f"{cell.number} {cell.notes} ") * NOTES_LETTER_MM + len(facts_of(cell, fit)) * LETTER_MM
    head = TIGHT_CELL_MM if fit.tight else CELL_MM
    return head + long // wide * LINE_MM


def _words_height(cell: SheetCell, fit: Fit, wide: float) -> float:
    lines = sum(_lines(line, LETTER_MM, wide) * LINE_MM for line in cell.lines[: fit.lines])
    return lines + -(-len(cell.steps) // int(wide // BOX_MM)) * BOXES_MM


def _lines(text: str, letter_mm: float, wide_mm: float = PAGE_MM) -> int:
    return -(-int(len(text) * letter_mm) // int(wide_mm)) if text else 0
