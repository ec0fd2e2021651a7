"""The house style of an edition: which notes are marked, and how the marks look."""

from dataclasses import dataclass

from gripway.display import set_apart
from gripway.errors import RequestError
from gripway.model.mark_text import PLAIN_HAND, Hand

NEEDED, FIRST, FIGURES, EVERY = "needed", "first", "figures", "every"
WHICH = (NEEDED, FIRST, FIGURES, EVERY)
"""Which notes are marked: grips that are not the plain ones; where a pitch's grip changes; the
first of each figure, with the thumb and held fingers by start and release; all of them."""

FINGERING, LYRIC, WORDS, PICTURE = "fingering", "lyric", "words", "picture"
STYLES = (FINGERING, LYRIC, WORDS, PICTURE)
FREE = "free"
PLACEMENTS = ("below", "above", FREE)
"""Sides of the staff; the free one is that which dynamics and slurs leave."""

FULL, DIFFERENCE, STACKED, FITTING = "full", "difference", "stacked", "fitting"
FORMS = (FULL, DIFFERENCE, STACKED, FITTING)
"""How much of a grip is written: all of it; how it differs from the standard grip of its note, where that
is shorter; the same one below the other, hand over finger; all of it where the notes beside leave room, else
the difference."""

NOTE, GROUP = "note", "group"
OVER = (NOTE, GROUP)
"""What a mark stands over: each note of its own, or all notes of a beamed group, with a line."""


EASIER, TRILL, THUMB, HELD = "easier", "trill", "thumb", "held"
REASONS = (EASIER, TRILL, THUMB, HELD)
"""What a mark is for: a grip that takes less effort than the plain one, a trill whose other grip is not
the standard one, the thumb on or off its lever, other fingers held."""


@dataclass(frozen=True, slots=True)
class MarkChoice:
    """Marks picked out: by the written note's number, the kind of its grip, what the mark is for."""

    pitches: frozenset[int] = frozenset()
    kinds: frozenset[str] = frozenset()
    reasons: frozenset[str] = frozenset()

    def hits(self, pitch: int, kind: str, reason: str) -> bool:
        """Whether any of the lists names this mark."""
        return pitch in self.pitches or kind in self.kinds or reason in self.reasons

    def has_all(self, pitch: int, kind: str, reason: str) -> bool:
        """Whether every list that says anything names this mark."""
        pairs = ((pitch, self.pitches), (kind, self.kinds), (reason, self.reasons))
        return all(not listed or value in listed for value, listed in pairs)


NOTHING_PICKED = MarkChoice()


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """Everything about the marks an editor decides once for a whole edition.

    `which` notes are marked: needed, first, figures or every. `style` is how a mark stands in the score:
    fingering, lyric, words or picture; `hand` how its text is written, `form` how much of a grip (full,
    difference, stacked or fitting), `over` what it stands over (note or group). `font_points` is the size
    of its letters, `distance_spaces` how far it stands from the staff in staff spaces; None leaves them to
    the engraver. With `say_simile` the second time of a figure is marked as such. Grips are marked where the
    plain grip would take `least_gain` more effort, or more; at 0 all are. Of these a part gets at most
    `at_most` per 100 notes. Both are, with None, what `which` asks for by itself (see `gripway help
    house_style`). `omit` are marks left out, `only` those that are made at all. Raises RequestError for a
    word it does not know.
    """

    which: str = NEEDED
    style: str = "fingering"
    placement: str = "below"
    hand: Hand = PLAIN_HAND
    form: str = FULL
    over: str = NOTE
    font_points: float | None = None
    distance_spaces: float | None = None
    say_simile: bool = True
    least_gain: float | None = None
    at_most: float | None = None
    omit: MarkChoice = NOTHING_PICKED
    only: MarkChoice = NOTHING_PICKED

    def __post_init__(self) -> None:
        for what, value, known in (
            ("choice of marks", self.which, WHICH),
            ("style of mark", self.style, STYLES),
            ("placement", self.placement, PLACEMENTS),
            ("form of a grip", self.form, FORMS),
            ("thing to mark", self.over, OVER),
        ):
            if value not in known:
                raise RequestError(f"{value!r} is no {what}", next_step=f"Choose one of {', '.join(known)}")
        if self.form == STACKED and self.style != WORDS:
            raise RequestError(
                f"a mark as {self.style} has one line and cannot be stacked",
                next_step="Mark as words, or choose the form difference",
            )

    def admits(self, pitch: int, kind: str, reason: str) -> bool:
        """Whether the house wants a mark on this written note number, grip and reason (of REASONS)."""
        return self.only.has_all(pitch, kind, reason) and not self.omit.hits(pitch, kind, reason)

    def __repr__(self) -> str:
        return set_apart(self)


PLAIN_STYLE = HouseStyle()
