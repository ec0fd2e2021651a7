"""What stands on a practice sheet: pages of cells, drills and pauses, ready to be drawn."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.model.grip import Grip
from gripway.model.passage import Passage

Hands = Sequence[tuple[str, Grip]]
"""Notes with the grips that are drawn for them."""


@dataclass(frozen=True, slots=True)
class TempoPoint:
    """A tempo (beats a minute) that was clean, and the day."""

    day: str
    beats: int


@dataclass(frozen=True, slots=True)
class SheetCell:
    """The heading of a cell: its notes, facts in one line, grips, sentences, ladder and tempos reached.

    Of `lines` the last are left out first where a page is full. `steps` are tempos to
    tick, `target` the tempo of the part, in the `beat` of its metre; with `to_fill` there is a line for the
    player's own entry. `hands` are grips drawn large, with their notes; a full page leaves out those of a
    cell that is `known` from an earlier one. A trill has `own_tempos`, not those of the
    part.
    """

    number: int
    notes: str
    facts: str
    grips: str = ""
    lines: Sequence[str] = ()
    steps: Sequence[int] = ()
    points: Sequence[TempoPoint] = ()
    target: int = 0
    to_fill: bool = False
    hands: Hands = ()
    known: bool = False
    beat: str = "quarter"
    own_tempos: bool = False


@dataclass(frozen=True, slots=True)
class SheetDrill:
    """A drill: its music and the grip of every note.

    `shown` are the notes (by index) with a diagram, `hands` grips drawn at its left, `steps` tempos to tick.
    `words` say what to play where a page has no room for all its music (empty: it is new and always printed):
    the drill of least `rank` loses its own first.
    `first_bar` is the number of its first bar, None where it has none; `rests_after` are empty bars at its
    end; its last bar may be `short`. `brief` is the last and longest of several groups of notes alone.
    What is `joined` `goes_on` in another metre, on the same line of music. Of its bars those in `numbered`
    have their number besides the first of each line.
    """

    label: str
    title: str
    passage: Passage
    grips: Sequence[Grip]
    metre: tuple[int, int]
    shown: Sequence[int]
    facts: str = ""
    steps: Sequence[int] = ()
    words: str = ""
    rank: int = 0
    hands: Hands = ()
    first_bar: int | None = None
    rests_after: int = 0
    goes_on: bool = False
    short: Fraction | None = None
    joined: Sequence["SheetDrill"] = ()
    numbered: frozenset[str] = frozenset()
    brief: "SheetDrill | None" = None

    @property
    def parts(self) -> Sequence["SheetDrill"]:
        """Itself, then what goes on in another metre."""
        return (self, *self.joined)


@dataclass(frozen=True, slots=True)
class SheetTrill:
    """A trill in words, with the grips of its two notes; or, `of_all`, what is said of trills."""

    words: str
    hands: Hands
    of_all: bool = False


FEW_TRILLS = 4
"""Trills told on a page with no room for more."""


@dataclass(frozen=True, slots=True)
class SheetPause:
    """A line of the day in words: a rest, or work with a box `to_tick`.

    `music` are bars of the part that may stand under it, from the most to the fewest: a page prints the first
    it has room for; those of a line that `is_hard` are the last to be left out. Where its `notes` (ids of
    what is played) stand under another line, their first bar is numbered there. `number` is the line's own
    on its page; `how` says what to do where that is new; `is_passage` marks the whole passage, and `whole`
    that the first of its excerpts leaves out no bar. `elsewhere` says where the notes are, if no music is
    printed. `trills` are those in its bars.
    """

    words: str
    to_tick: bool = False
    music: Sequence[Sequence[SheetDrill]] = ()
    is_hard: bool = False
    elsewhere: str = ""
    notes: frozenset[str] = frozenset()
    number: int = 0
    is_passage: bool = False
    whole: bool = False
    trills: Sequence[SheetTrill] = ()
    how: str = ""

    def trills_told(self, *, brief: bool) -> Sequence[SheetTrill]:
        """The trills, and how they begin; the first few trills where a page has no room."""
        if not brief:
            return self.trills
        return [trill for trill in self.trills if not trill.of_all][:FEW_TRILLS]


Block = SheetCell | SheetDrill | SheetPause


@dataclass(frozen=True, slots=True)
class SheetPage:
    """One page: its title, a line of facts, what is practised in order, hints, cautions.

    `heading` and `facts` are its head: the title of the document with that of the page, and a line below it;
    `asked` is what is to be asked or was settled, which always stands below them.
    `key` tells how grips in words are read, where the page has some. `told` has what is new
    with what to do in it, a line each, in short where music would else have no room; of `hints` the last are
    left out first where a page is full.
    """

    title: str
    facts: str
    blocks: Sequence[Block]
    hints: Sequence[str] = ()
    cautions: Sequence[str] = ()
    told: Sequence[tuple[str, str]] = ()
    heading: str = ""
    key: str = ""
    asked: str = ""

    @property
    def texts(self) -> Iterator[str]:
        """All that may be printed in words and name a grip."""
        yield from (self.asked, *self.hints)
        for block in self.blocks:
            if isinstance(block, SheetCell):
                yield from (block.grips, block.facts, *block.lines)
            elif isinstance(block, SheetDrill):
                yield from (block.facts, *(grip.short for _, grip in block.hands))
            else:
                yield from (block.words, *(trill.words for trill in block.trills))
