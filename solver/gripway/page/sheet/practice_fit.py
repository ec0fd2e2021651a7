"""What of a page is shown and how large: from the fullest to the barest way."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.page.sheet.practice_drill import SIZES, SMALL, Size
from gripway.page.sheet.sheet_model import Block, Hands, SheetCell, SheetDrill, SheetPage, SheetPause

NO_HANDS, NEW_HANDS, ALL_HANDS = 0, 1, 2
MOST_LINES = 9
"""No cell has so many sentences, and no page so many hints."""
EVERY_LINE = -1
"""In the place of the number of a line: the bars of all lines are printed."""
SIGN = "|"
"""What a grip in words has between its hands."""
MOST_WORDS = 60
"""No day has so many drills."""
HARDEST_RANK = MOST_WORDS
"""Rank of the drill of the hardest cell of a day: it is told in words only where no other way is left."""

EVERY_WORD = frozenset(range(HARDEST_RANK + 1))
"""The ranks of all drills, but for those that are new."""

PART_RANK = HARDEST_RANK + 1
"""From it on the ranks of new drills that stand in the part: they are told in words last of all."""

AND_THE_PART = EVERY_WORD | frozenset(range(PART_RANK, PART_RANK + MOST_WORDS))


@dataclass(frozen=True, slots=True)
class Fit:
    """How large drills are printed, how many sentences of each cell, and how many hints.

    Drills whose rank is in `words` are told in words, closely set. `hands` says for which cells grips are
    drawn: all, those that are new on the page, none; those in `drawn` have them anyhow, and cells in
    `reasons` their first sentence. With `flow` all cells stand side by side and their drills follow in one
    row after another. Work in words is printed `large` where a page has room, and then hints in the size of
    the rest. `bars` says which excerpt is printed under a line of the day: number of the line, number of the
    excerpt. Trills under lines whose number is in `trills` have their grips drawn.
    What to do in what is new is `told` in full unless music would have no room then, else its beginning; so
    the standard grips stand `beside` drills that teach others. Of groups of notes in the part the longest
    alone makes them `brief`.
    """

    size: Size
    lines: int
    hints: int = MOST_LINES
    words: frozenset[int] = frozenset()
    hands: int = ALL_HANDS
    reasons: frozenset[int] = frozenset()
    large: bool = False
    large_hints: bool = False
    flow: bool = False
    bars: tuple[tuple[int, int], ...] = ()
    drawn: frozenset[int] = frozenset()
    trills: frozenset[int] = frozenset()
    told: bool = True
    beside: bool = True
    brief: bool = False

    @property
    def tight(self) -> bool:
        """Whether lines stand closely."""
        return self.hints < MOST_LINES


FITS = (
    *(Fit(SIZES[-1], lines, hints) for lines, hints in ((MOST_LINES, 2), (1, 2), (0, 2), (0, 1))),
    *(
        Fit(SIZES[-1], 0, hints, frozenset(range(words)), hands)
        for words, hints, hands in (
            (0, 1, NEW_HANDS),
            *((words, 1, NO_HANDS) for words in (0, 1, 2, 3, 4, 6, 8, 10, 12, 16, 20)),
            (MOST_WORDS, 0, NO_HANDS),
        )
    ),
    Fit(SIZES[-1], 0, 1, frozenset(range(MOST_WORDS)), NO_HANDS, flow=True),
    Fit(SIZES[-1], 0, 0, frozenset(range(MOST_WORDS)), NO_HANDS, flow=True),
    Fit(SIZES[-1], 0, 0, EVERY_WORD, NO_HANDS),
    Fit(SIZES[-1], 0, 0, EVERY_WORD, NO_HANDS, flow=True),
    *(
        Fit(size, 0, hints, words, NO_HANDS, flow=flow, told=told, beside=beside, brief=brief)
        for words in (EVERY_WORD, AND_THE_PART)
        for size in (SIZES[-1], *SMALL)
        for hints, told, beside, brief in (
            *((1, True, True, False), (0, True, True, False)) * (size in SMALL),
            *((0, False, True, False), (0, True, False, False), (0, False, False, False)),
            *((0, True, True, True), (0, False, False, True)) * (size in SMALL),
        )
        for flow in (False, True)
    ),
)
"""From the fullest to the barest; a page takes the first it has room for."""


def hints_of(page: SheetPage, fit: Fit) -> Sequence[str]:
    """The hints there is room for, and how grips in words are read where the page has some."""
    hints = page.hints[: fit.hints]
    return (*hints, page.key) if page.key and _has_grips_in_words(page, hints, fit) else hints


def told_of(page: SheetPage, fit: Fit) -> Sequence[tuple[str, str]]:
    """The drills that are new with what to do in them, in full where there is room for it."""
    return page.told if fit.told else [(title, beginning_of(how)) for title, how in page.told]


def beginning_of(how: str) -> str:
    """What to do in short: what comes first.

    >>> beginning_of("Move fast, stop; then again."), beginning_of("To a click.")
    ('Move fast, stop.', 'To a click.')
    """
    first, semicolon, _ = how.partition(";")
    return first + "." * bool(semicolon)


def _has_grips_in_words(page: SheetPage, hints: Sequence[str], fit: Fit) -> bool:
    """Whether a grip stands on a page in letters, as `T 1 3 | 2 Eb`."""
    blocks = (text for block in page.blocks for text in _texts(block, fit))
    return any(SIGN in text for text in (page.asked, *hints, *blocks))


def _texts(block: Block, fit: Fit) -> Iterator[str]:
    """What is printed of a block and may name a grip."""
    if isinstance(block, SheetCell):
        yield from (grips_of(block, fit), block.facts, *lines_of(block, fit))
    elif isinstance(block, SheetDrill):
        yield block.facts
    else:
        yield block.words
        yield from (trill.words for trill in block.trills_told(brief=fit.brief))


def grips_of(cell: SheetCell, fit: Fit) -> str:
    """The grips of a cell in words, where not all are drawn."""
    return "" if len(hands_of(cell, fit)) > cell.grips.count(";") else cell.grips


def lines_of(cell: SheetCell, fit: Fit) -> Sequence[str]:
    """The sentences of a cell there is room for."""
    return cell.lines[: max(fit.lines, cell.number in fit.reasons)]


def hands_of(cell: SheetCell, fit: Fit) -> Hands:
    """The grips that are drawn for a cell."""
    known = fit.hands == NEW_HANDS and not cell.known
    return cell.hands if fit.hands == ALL_HANDS or known or cell.number in fit.drawn else ()


def excerpts_of(pause: SheetPause, fit: Fit) -> Sequence[SheetDrill]:
    """The bars of the part that are printed under a line of the day."""
    number = dict(fit.bars).get(pause.number)
    return pause.music[number] if pause.music and number is not None else ()


def words_of(pause: SheetPause, fit: Fit) -> str:
    """A line of the day in words, with where its notes are if none are printed under it."""
    how = pause.how if fit.told else beginning_of(pause.how)
    return " ".join(filter(None, (pause.words, how, "" if excerpts_of(pause, fit) else pause.elsewhere)))


def is_told(drill: SheetDrill, fit: Fit) -> bool:
    """Whether a drill is told in words: one line of text, its boxes at the right."""
    return bool(drill.words) and drill.rank in fit.words
