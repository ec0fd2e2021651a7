"""How much room a practice page takes, and what stands beside what on it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from textwrap import wrap

from gripway.page.sheet.heading_words import GRIP
from gripway.page.sheet.practice_drill import DRILL_DIAGRAM_MM, PAGE_MM, DrawnDrill, DrillDrawer
from gripway.page.sheet.practice_fit import (
    Fit,
    excerpts_of,
    grips_of,
    hands_of,
    hints_of,
    is_told,
    lines_of,
    told_of,
    words_of,
)
from gripway.page.sheet.sheet_model import Block, SheetCell, SheetDrill, SheetPage, SheetPause

HEAD_MM, TITLE_MM, BOXES_MM = 15.0, 4.3, 9.4
HEADING_MM, HEADING_LETTER_MM, FACTS_WIDE_MM = 6.1, 2.6, 125.0
"""Height of a line of the heading, width of its letters, and of the facts beside what is filled in."""
BELOW_MM, TIGHT_BELOW_MM, EXCERPT_MM = 3.0, 1.5, 4.5
CELL_MM, TIGHT_CELL_MM, PLOT_MM, PLOT_WIDE_MM = 10.0, 7.0, 21.0, 62.0
ASKED_MM = 1.5
"""Air below what is to be asked."""
PAUSE_MM, TO_TICK_MM = 4.6, 1.0
LINE_MM, SMALL_LINE_MM = 4.3, 3.6
TOLD_BOXES_MM = 8.8
LARGER = 1.2
"""How much larger work in words is printed where there is room: 12 points, read at a metre."""
LARGE_HINT_MM = 1.0
"""Air above a hint that is printed as large."""
LETTER_MM, SMALL_LETTER_MM, TITLE_LETTER_MM, NOTES_LETTER_MM = 1.5, 1.33, 1.66, 2.3
"""Heights and widths as the style sheet sets them, rather too large than too small."""

BOX_MM, BETWEEN_MM, NARROWEST_MM = 7.6, 2.5, 34.5
TO_FILL_MM = 66.0
LAST_WORD_MM = 6.0
"""What a line loses at its end, as no word is cut."""
GAP_MM = 4.0
"""Air between grips and what stands at their right, and between two cells of a row."""
HALF_MM = (PAGE_MM - GAP_MM) / 2
"""Width of a cell that shares a row with another."""
HANDS_MM = DRILL_DIAGRAM_MM + 5.0
"""Height of grips with the names of their notes."""
CARDS, CARD_MM, CARD_HEAD_MM = 3, 59.6, 13.0
"""Cells side by side where drills come in turn, their width, and the height of a heading."""
TOLD_MM = 88.0
"""Width that a drill told in words needs."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Cells with the drills that follow them, or a line of the day with its bars of the part below it."""

    cells: Sequence[SheetCell] = ()
    drills: Sequence[SheetDrill] = ()
    pause: SheetPause | None = None
    bars: Sequence[SheetDrill] = ()


def strips(blocks: Sequence[Block], fit: Fit) -> Iterator[Strip]:
    """The strips of a page: a cell after drills (unless they flow), and every pause, begins a new one.

    Bars of the part stand directly below the line that plays them; where they stand under another line alone,
    its first bar has its number there.
    """
    cells: list[SheetCell] = []
    drills: list[SheetDrill] = []
    for block in (*blocks, None):
        new = isinstance(block, SheetCell) and drills and not fit.flow
        ends = block is None or isinstance(block, SheetPause) or new
        if ends and (cells or drills):
            yield Strip(tuple(cells), tuple(drills))
            cells, drills = [], []
        if isinstance(block, SheetCell):
            cells.append(block)
        elif isinstance(block, SheetDrill):
            drill = block.brief if fit.brief and block.brief else block
            drills.append(drill if fit.beside else _with_hands_in_words(drill))
        elif block is not None:
            yield Strip(pause=block, bars=_numbered(excerpts_of(block, fit), blocks))


def _numbered(bars: Sequence[SheetDrill], blocks: Sequence[Block]) -> Sequence[SheetDrill]:
    """Bars of the part with the numbers of those in which lines of the day begin."""
    notes = [
        note for each in bars for part in each.parts for note in part.passage.notes if not note.held_over
    ]
    printed = {note.id for note in notes}
    lines = [line.notes for line in blocks if isinstance(line, SheetPause) and line.notes <= printed]
    firsts = (next((note.bar for note in notes if note.id in line), "") for line in lines)
    wanted = frozenset(filter(None, firsts))
    return tuple(replace(each, numbered=wanted) for each in bars)


def _with_hands_in_words(drill: SheetDrill) -> SheetDrill:
    """A drill with the grips beside it told, not drawn."""
    told = (f"{name} {grip.short}" for name, grip in drill.hands)
    return replace(drill, hands=(), facts=" · ".join(filter(None, (drill.facts, *told))))


def height_of(page: SheetPage, drawer: DrillDrawer, fit: Fit) -> float:
    """About how high a page is (mm)."""
    rows = sum(row_height(row, drawer, fit) for row in rows_of(page.blocks, drawer, fit))
    larger = LARGER if fit.large_hints else 1.0
    hints = sum(_lines(hint, LETTER_MM * larger) * LINE_MM * larger for hint in hints_of(page, fit))
    told = [f"{title}. {how}" for title, how in told_of(page, fit)]
    told = [" ".join(told)] if fit.tight else told
    hints += sum(_lines(each, LETTER_MM * larger) * LINE_MM * larger for each in told)
    if fit.large_hints:
        hints += LARGE_HINT_MM * (len(hints_of(page, fit)) + len(told))
    cautions = _lines(" ".join(page.cautions), SMALL_LETTER_MM) * SMALL_LINE_MM + 3.0
    head = HEAD_MM + (_lines(page.heading, HEADING_LETTER_MM) or 1) * HEADING_MM
    head += max(0, _lines(page.facts, LETTER_MM, FACTS_WIDE_MM) - 1) * LINE_MM
    head += ASKED_MM + _lines(page.asked, TITLE_LETTER_MM) * LINE_MM if page.asked else 0.0
    return head + rows + hints + cautions


def are_cards(strip: Strip) -> bool:
    """Whether the cells of a strip stand side by side, all drills after them."""
    return len(strip.cells) > 1


def pause_of(pause: SheetPause, drawer: DrillDrawer, fit: Fit, wide: float = PAGE_MM) -> float:
    """Height of a line of the day in words."""
    larger = LARGER if fit.large and pause.to_tick else 1.0
    lines = _lines(words_of(pause, fit), LETTER_MM * larger, wide - 8.0)
    trills = _trills_height(pause, drawer, fit)
    return (TO_TICK_MM if pause.to_tick else PAUSE_MM) + lines * LINE_MM * larger + trills


def _line_height(strip: Strip, drawer: DrillDrawer, fit: Fit, wide: float = PAGE_MM) -> float:
    """Height of a line of the day with its bars."""
    words = pause_of(strip.pause, drawer, fit, wide) if strip.pause else 0.0
    return words + (_bars_height(strip.bars, drawer, fit) if strip.bars else 0.0)


def _bars_height(bars: Sequence[SheetDrill], drawer: DrillDrawer, fit: Fit) -> float:
    """Height of bars of the part, side by side as far as there is room."""
    sizes = [
        (bars_mm(each, drawer, fit), drawer.draw(each, fit.size).height_mm + LINE_MM * bool(each.words))
        for each in bars
    ]
    below = TIGHT_BELOW_MM if fit.tight else BELOW_MM
    rows = _rows_height(sizes, PAGE_MM, fit)
    return rows + (EXCERPT_MM - below)


def bars_mm(excerpt: SheetDrill, drawer: DrillDrawer, fit: Fit) -> float:
    """Width of bars of the part: a whole row where words stand over them."""
    return PAGE_MM if excerpt.words else drawer.draw(excerpt, fit.size).width_mm


def _trills_height(pause: SheetPause, drawer: DrillDrawer, fit: Fit) -> float:
    """Height of the trills under a line of the day, two in a row where their grips are drawn."""
    told = pause.trills_told(brief=fit.brief)
    if pause.number not in fit.trills:
        return _lines(" ".join(trill.words for trill in told), LETTER_MM) * LINE_MM
    high = [
        max(
            HANDS_MM if trill.hands else 0.0,
            _lines(trill.words, LETTER_MM, HALF_MM - drawer.hands_mm(trill.hands) - GAP_MM) * LINE_MM,
        )
        for trill in told
    ]
    return sum(max(high[place : place + 2]) for place in range(0, len(high), 2))


def stands_beside(strip: Strip, drawer: DrillDrawer, fit: Fit) -> bool:
    """Whether the drills of a cell stand at the right of its grips, as that takes no more room."""
    if len(strip.cells) != 1 or not strip.drills:
        return False
    return _beside_height(strip, drawer, fit) <= _stacked_height(strip, drawer, fit)


def rows_of(blocks: Sequence[Block], drawer: DrillDrawer, fit: Fit) -> list[tuple[Strip, ...]]:
    """The strips of a page; two cells with few drills, or two lines with few bars, in a row if lower."""
    rows: list[tuple[Strip, ...]] = []
    for strip in strips(blocks, fit):
        if rows and len(rows[-1]) == 1 and _save_room(rows[-1][0], strip, drawer, fit):
            rows[-1] = (rows[-1][0], strip)
        else:
            rows.append((strip,))
    return [row if len(row) > 1 else (_lowest(row[0], drawer, fit),) for row in rows]


def _lowest(strip: Strip, drawer: DrillDrawer, fit: Fit) -> Strip:
    """A strip, with the grips of its cell at the left of its first drill alone where that is lower."""
    music = [drill for drill in strip.drills if not is_told(drill, fit)]
    if len(strip.cells) != 1 or not music or music[0].hands:
        return strip
    if not (hands := hands_of(strip.cells[0], fit)):
        return strip
    cell = replace(strip.cells[0], hands=(), grips=grips_of(strip.cells[0], fit))
    drills = [replace(drill, hands=hands) if drill is music[0] else drill for drill in strip.drills]
    if whole_width(music[0], drawer.draw(music[0], fit.size), drawer) + drawer.hands_mm(hands) > PAGE_MM:
        return strip
    other = Strip((cell,), drills)
    return other if _strip_height(other, drawer, fit) < _strip_height(strip, drawer, fit) else strip


def _save_room(strip: Strip, other: Strip, drawer: DrillDrawer, fit: Fit) -> bool:
    """Whether two strips of one kind are lower side by side."""
    both = (strip, other)
    if bool(strip.pause) != bool(other.pause) or not all(_goes_half(each, drawer, fit) for each in both):
        return False
    return row_height(both, drawer, fit) < sum(_strip_height(each, drawer, fit) for each in both)


def _goes_half(strip: Strip, drawer: DrillDrawer, fit: Fit) -> bool:
    """Whether a cell and its drills, or a line and its bars, may have half the width of a page.

    No music is too wide for it.
    """
    if strip.pause:
        few = bool(strip.bars) and not strip.pause.trills
        return few and all(bars_mm(each, drawer, fit) <= HALF_MM for each in strip.bars)
    if len(strip.cells) != 1 or not strip.drills or strip.cells[0].points:
        return False
    wide = HALF_MM - left_mm(strip.cells[0], drawer, fit)
    music = [drill for drill in strip.drills if not is_told(drill, fit)]
    return all(whole_width(drill, drawer.draw(drill, fit.size), drawer) <= wide for drill in music)


def left_mm(cell: SheetCell, drawer: DrillDrawer, fit: Fit) -> float:
    """Width of the grips at the left of drills, with the air beside them."""
    hands = hands_of(cell, fit)
    return drawer.hands_mm(hands) + GAP_MM if hands else 0.0


def row_height(row: Sequence[Strip], drawer: DrillDrawer, fit: Fit) -> float:
    """Height of a strip, or of two side by side."""
    if len(row) == 1:
        return _strip_height(row[0], drawer, fit)
    if row[0].pause:
        return max(_line_height(strip, drawer, fit, HALF_MM) for strip in row)
    return max(_beside_height(strip, drawer, fit, HALF_MM) for strip in row)


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
    widths = [whole_width(drill, drawer.draw(drill, fit.size, wide_mm), drawer) for drill in music]
    used = sum(widths) + BETWEEN_MM * len(widths)
    if music and told and used + TOLD_MM <= wide_mm:
        return Columns(music, told, used - BETWEEN_MM + 0.2, wide_mm - used - 0.2, beside=True)
    half = (wide_mm - BETWEEN_MM) / 2 - 0.1  # widths are written in tenths
    return Columns(music, told, wide_mm, half if half >= TOLD_MM else wide_mm)


def width_of(drill: SheetDrill, drawn: DrawnDrill) -> float:
    """How wide (mm) a drill is with its boxes; its title may take two lines."""
    return max(NARROWEST_MM, drawn.width_mm, len(drill.steps) * BOX_MM)


def whole_width(drill: SheetDrill, drawn: DrawnDrill, drawer: DrillDrawer) -> float:
    """The same with the grips at its left."""
    return width_of(drill, drawn) + (drawer.hands_mm(drill.hands) if drill.hands else 0.0)


def _strip_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    if strip.pause:
        return _line_height(strip, drawer, fit)
    if are_cards(strip):
        return _cards_height(strip, drawer, fit) + _drills_height(strip.drills, drawer, fit, PAGE_MM)
    height = _beside_height if stands_beside(strip, drawer, fit) else _stacked_height
    return height(strip, drawer, fit)


def _beside_height(strip: Strip, drawer: DrillDrawer, fit: Fit, wide: float = PAGE_MM) -> float:
    """Height of grips with the drills at their right, and the words of the cell below."""
    (cell,) = strip.cells
    drills = _drills_height(strip.drills, drawer, fit, wide - left_mm(cell, drawer, fit))
    music = max(HANDS_MM if hands_of(cell, fit) else 0.0, drills)
    return _head_height(cell, fit, wide) + music + _words_height(cell, fit, wide)


def _stacked_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    cells = 0.0
    for cell in strip.cells:
        hands = hands_of(cell, fit)
        words = _words_height(cell, fit, PAGE_MM - left_mm(cell, drawer, fit))
        cells += _head_height(cell, fit) + max(words, HANDS_MM if hands else 0.0)
    return cells + _drills_height(strip.drills, drawer, fit, PAGE_MM)


def _cards_height(strip: Strip, drawer: DrillDrawer, fit: Fit) -> float:
    """Height of rows of cells side by side."""
    high = [
        CARD_HEAD_MM
        + (_lines(cell.facts, LETTER_MM, CARD_MM) + _lines(grips_of(cell, fit), LETTER_MM, CARD_MM)) * LINE_MM
        + (HANDS_MM if hands_of(cell, fit) else 0.0)
        + _words_height(cell, fit, CARD_MM)
        for cell in strip.cells
    ]
    return sum(max(high[place : place + CARDS]) for place in range(0, len(high), CARDS))


def runs_of(drills: Sequence[SheetDrill], fit: Fit) -> list[list[SheetDrill]]:
    """The drills of one cell together, those with music first; else with music or in words as they come.

    So they come where cells come in turn, and where a drill in words is played before one with music. Where
    they flow, those with music come first, and what each cell has in the same place stands together.
    """
    if fit.flow:
        return [sorted(drills, key=lambda drill: int(drill.label.rpartition(".")[2]))]
    told = [is_told(drill, fit) for drill in drills]
    if len({drill.label.split(".")[0] for drill in drills}) <= 1 and told == sorted(told):
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
        (whole_width(drill, each, drawer), drill_height(drill, each))
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


def drill_height(drill: SheetDrill, drawn: DrawnDrill) -> float:
    """Height (mm) of a drill with its heading, in whose lines no grip is broken, and its boxes."""
    words = GRIP.sub(lambda grip: grip[0].replace(" ", "-"), f"{drill.label} {drill.title} {drill.facts}")
    title = len(wrap(words, int(width_of(drill, drawn) / TITLE_LETTER_MM), break_on_hyphens=False)) * TITLE_MM
    music = drawn.height_mm + (BOXES_MM if drill.steps else 0.0)
    return title + max(music, HANDS_MM if drill.hands else 0.0)


def _told_height(drill: SheetDrill, wide: float) -> float:
    """Height of a drill in words, its boxes at the right."""
    title = f"{drill.label} {drill.title}"
    room = wide - len(drill.steps) * BOX_MM - BETWEEN_MM
    long = len(title) * TITLE_LETTER_MM + len(f" {drill.facts} {drill.words}") * LETTER_MM
    return max(-(-long // (room - LAST_WORD_MM)) * TITLE_MM, TOLD_BOXES_MM if drill.steps else 0.0)


def _head_height(cell: SheetCell, fit: Fit, wide: float = PAGE_MM) -> float:
    """Height of a heading; in half a page the line to fill in stands below it."""
    half = wide < PAGE_MM
    room = wide - TO_FILL_MM * (cell.to_fill and not half)
    long = len(f"{cell.number} {cell.notes} ") * NOTES_LETTER_MM + len(cell.facts) * LETTER_MM
    head = TIGHT_CELL_MM if fit.tight else CELL_MM
    below = _lines(grips_of(cell, fit), LETTER_MM, wide) + (cell.to_fill and half)
    return head + (long // room + below) * LINE_MM


def _words_height(cell: SheetCell, fit: Fit, wide: float) -> float:
    """Height of the sentences of a cell, its ladder, and the plot at their right (in half a page below)."""
    beside = wide - PLOT_WIDE_MM if cell.points and wide > CARD_MM else wide
    lines = sum(_lines(line, LETTER_MM, beside) * LINE_MM for line in lines_of(cell, fit))
    words = lines + -(-len(cell.steps) // int(beside // BOX_MM)) * BOXES_MM
    plot = PLOT_MM if cell.points else 0.0
    return max(words, plot) if beside < wide else words + plot


def _lines(text: str, letter_mm: float, wide_mm: float = PAGE_MM) -> int:
    return -(-int(len(text) * letter_mm) // int(wide_mm)) if text else 0
