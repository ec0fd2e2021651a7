"""Where a whole grip has room on the page: up to the notes beside its own, and clear of their marks."""

from collections.abc import Collection, Sequence

from gripway.model.house_style import PICTURE, WORDS, HouseStyle
from gripway.model.mark_text import MarkSign
from gripway.route.result import RouteNote
from gripway.score.engraved_width import MARK_POINTS, WIDEST_SPACES, note_spaces, text_spaces


class Room:
    """The printed room of each written note of a part, in playing order.

    `marked` are the ids of the notes that bear marks. A text may reach to the note beside its own, or the
    bar line there; where that note has a mark too, a text in the middle of its note half way to it. Words
    begin at their note, the other kinds stand in its middle.
    """

    def __init__(self, notes: Sequence[RouteNote], marked: Collection[str]) -> None:
        self.place = {note.note.id: place for place, note in enumerate(notes)}
        self.is_marked = [note.note.id in marked for note in notes]
        onsets = [note.note.onset for note in notes]
        ends = [*onsets[1:], onsets[-1] + notes[-1].note.length] if notes else []
        self.widths = [note_spaces(end - start) for start, end in zip(onsets, ends, strict=True)]

    def is_enough(self, note: RouteNote, sign: MarkSign, house: HouseStyle) -> bool:
        """Whether a whole grip, in the house's hand, has room at a note."""
        wide = text_spaces(house.hand.written(sign), house.font_points or MARK_POINTS)
        return wide <= self.spaces_at(note, house.style)

    def spaces_at(self, note: RouteNote, style: str) -> float:
        """How wide a text in a style of HouseStyle may be at a note, in staff spaces."""
        place = self.place[note.note.id]
        after = self.widths[place]
        if style in (WORDS, PICTURE):
            return after
        before = self.widths[place - 1] if place else WIDEST_SPACES
        return 2 * min(self._half(before, place - 1), self._half(after, place + 1))

    def _half(self, width: float, beside: int) -> float:
        """How far a text in the middle of its note may go to the note beside it."""
        has_mark = 0 <= beside < len(self.is_marked) and self.is_marked[beside]
        return width / 2 if has_mark else width
