"""Which way a page is printed in: the fullest that stands on one sheet, and what fills the rest of it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from gripway.page.sheet.practice_drill import SIZES, DrillDrawer
from gripway.page.sheet.practice_fit import EVERY_LINE, FITS, HARDEST_RANK, MOST_LINES, NO_HANDS, Fit
from gripway.page.sheet.practice_layout import height_of
from gripway.page.sheet.sheet_model import Block, SheetCell, SheetDrill, SheetPage, SheetPause

ROOM_MM = 254.0
"""Height of a sheet of Letter (279 mm) with margins of 12 mm, a little left over; A4 is higher."""

A4, LETTER = "a4", "letter"
PAPER_ROOM_MM = {A4: 271.5, LETTER: ROOM_MM}
"""What each paper has room for; pages for any paper are laid out for the lower one."""


def fit_for(page: SheetPage, drawer: DrillDrawer, room_mm: float = ROOM_MM) -> Fit:
    """The fullest way in which a page stands on one sheet; the barest where none does.

    What the first way that fits leaves of the page is filled: drills told in words have their music back,
    then grips are drawn, then come the bars of the day, reasons and hints, and the music is larger.
    """
    found = first_fit(page, drawer, room_mm)
    for more in _fuller(found, page.blocks):
        fuller = more(found)
        if fuller != found and height_of(page, drawer, fuller) <= room_mm:
            found = fuller
    return found


def _fuller(found: Fit, blocks: Sequence[Block]) -> Iterator[Callable[[Fit], Fit]]:
    """Ways to fill a page, one after another."""
    cells = [block for block in blocks if isinstance(block, SheetCell)]
    lines = [block for block in blocks if isinstance(block, SheetPause) and block.music]
    whole = [line for line in lines if line.whole]
    yield partial(replace, told=True)
    yield partial(replace, beside=True)
    yield partial(replace, brief=False)
    for rank in sorted(found.words, reverse=True):
        yield partial(_with_music, rank=rank)
    yield from (partial(_with_hands, cell=cell.number) for cell in cells if not cell.known)
    work = sorted((line for line in lines if not line.is_passage), key=_order_of_music)
    hard = [partial(_with_bars, lines=lines, line=line.number) for line in work]
    yield from hard
    yield from (partial(_with_hands, cell=cell.number) for cell in cells if cell.known)
    yield from hard  # grips drawn may leave more room than their words did
    for pause in (block for block in blocks if isinstance(block, SheetPause) and block.trills):
        yield partial(_with_trills, line=pause.number)
    yield from (partial(_with_all_bars, line=line.number) for line in whole)
    for line in sorted(lines, key=lambda each: (each.is_passage, *_order_of_music(each))):
        if line.is_passage:
            yield partial(_raised, name="hints", value=2)
            yield from (partial(_with_reason, cell=cell.number) for cell in cells)
        for at in range(len(line.music)):
            yield partial(_with_bars, lines=lines, line=line.number, number=at)
    yield from (partial(_with_reason, cell=cell.number) for cell in cells)
    for name, value in (("hints", MOST_LINES), ("lines", MOST_LINES)):
        yield partial(_raised, name=name, value=value)
    yield partial(replace, large=True)
    for size in reversed(SIZES):
        yield partial(replace, size=size)
    yield _with_large_hints


def _with_all_bars(fit: Fit, line: int) -> Fit:
    """All bars of the passage, and so those of all that is done on the day."""
    return replace(fit, bars=((line, 0), (EVERY_LINE, 0)))


def _with_bars(fit: Fit, lines: Sequence[SheetPause], line: int, number: int = 0) -> Fit:
    """Bars of the part under a line, instead of fewer of them; none that the page mostly has already."""
    if {each for each, _ in fit.bars} & {line, EVERY_LINE}:
        return fit
    music = {each.number: each.music for each in lines}
    own = _ids(music[line][number])
    kept = tuple((each, at) for each, at in fit.bars if not _ids(music[each][at]) < own)
    if any(2 * len(_ids(music[each][at]) & own) > len(own) for each, at in kept):
        return fit
    return replace(fit, bars=(*kept, (line, number)))


def _order_of_music(line: SheetPause) -> tuple[bool, int]:
    """Hard bars first, then what has the fewest notes."""
    return not line.is_hard, len(_ids(line.music[0]))


def _ids(music: Sequence[SheetDrill]) -> set[str]:
    """The written notes of bars of the part."""
    return {note.id for each in music for part in each.parts for note in part.passage.notes}


def _with_trills(fit: Fit, line: int) -> Fit:
    """Grips drawn for the trills under a line."""
    return replace(fit, trills=fit.trills | {line})


def _with_hands(fit: Fit, cell: int) -> Fit:
    """Grips drawn for a cell."""
    return replace(fit, drawn=fit.drawn | {cell})


def _with_large_hints(fit: Fit) -> Fit:
    """Hints are never larger than what is to be done."""
    return replace(fit, large_hints=fit.large)


def _with_music(fit: Fit, rank: int) -> Fit:
    return replace(fit, words=fit.words - {rank})


def _with_reason(fit: Fit, cell: int) -> Fit:
    return replace(fit, reasons=fit.reasons | {cell})


def _raised(fit: Fit, name: str, value: int) -> Fit:
    return replace(fit, **{name: max(value, getattr(fit, name))})


def first_fit(page: SheetPage, drawer: DrillDrawer, room_mm: float = ROOM_MM) -> Fit:
    """The first of FITS in which a page stands on one sheet, else the last.

    With the music of all drills and the grips of new cells, the bars of what is worked on come before all
    that is told; the longest of them are left out first, but for a hard bar known drills are told.
    """
    pauses = (each for each in page.blocks if isinstance(each, SheetPause) and each.music)
    lines = sorted((each for each in pauses if not each.is_passage), key=_order_of_music)
    plain = [fit for fit in FITS if HARDEST_RANK not in fit.words]
    fuller = [fit for fit in FITS if not fit.words and fit.hands != NO_HANDS]
    hard = sum(line.is_hard for line in lines)
    for count in range(len(lines), 0, -1):
        for fit in plain if count <= hard else fuller:
            for line in lines[:count]:
                fit = _with_bars(fit, lines, line.number)
            if height_of(page, drawer, fit) <= room_mm:
                return fit
    return next((fit for fit in FITS if height_of(page, drawer, fit) <= room_mm), FITS[-1])
