"""Where a whole grip has room on the page: over its note and the notes beside it, clear of the next marks."""

from collections.abc import Collection, Sequence

from gripway.model.house_style import HouseStyle
from gripway.model.mark_text import MarkSign
from gripway.route.result import RouteNote
from gripway.score.engraved_width import MARK_POINTS, WIDEST_SPACES, note_spaces, text_spaces


class Room:
    """The printed room of each written note of a part, in playing order.

    `marked` are the ids of the notes that bear marks. A text may reach over the note beside its own, to
    half way to the one behind that; where the note beside has a mark too, half way to that.
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
        return wide <= self.spaces_at(note)

    def spaces_at(self, note: RouteNote) -> float:
        """How wide a text at a note may be, in staff spaces."""
        place = self.place[note.note.id]
        before = self.widths[max(place - 2, 0) : place][::-1]
        return self._reach(before, place - 1) + self._reach(self.widths[place : place + 2], place + 1)

    def _reach(self, widths: Sequence[float], beside: int) -> float:
        """How far a text may go to one side: the widths there, the nearest first, and the note beside.

        Before the first note is room enough.
        """
        if not widths:
            return WIDEST_SPACES
        if 0 <= beside < len(self.is_marked) and self.is_marked[beside]:
            return widths[0] / 2
        return widths[0] + sum(widths[1:]) / 2
