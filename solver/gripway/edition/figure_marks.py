"""Marks at the first of each figure: later equal ones with the same grip go without, or with *simile*.

What a figure is, says `model/figures.py`: the note before, the note, the note after, the
written length. A figure that changes its grip is marked anew, also back to the plain one.
"""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import replace

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.edition.hold_marks import HeldSpan, is_said_by
from gripway.edition.plain_grip import Gains, admitted, is_plain, is_worth, reason_at
from gripway.edition.printed_marks import source_signs
from gripway.edition.sparing import NO_RULINGS, Rulings
from gripway.edition.trill_marks import grip_sign, thumb_sign, trills_plainly
from gripway.model.figures import Context
from gripway.model.house_style import TRILL, HouseStyle
from gripway.model.mark_text import GRIP, HOLD, SIMILE, THUMB, MarkSign
from gripway.route.result import RouteNote


class FigureMarks:
    """Goes through the written notes in order and remembers what has been said.

    `left` has the contexts for which there is no room, `rulings` the notes an editor wants marked or not.
    A figure whose first time is to have no mark stays without, until a decision marks it. `told` are the
    ids of the notes whose grip is said, `quieted` of those left without in this way.
    """

    def __init__(
        self,
        contexts: Mapping[str, Context],
        spans: list[HeldSpan],
        house: HouseStyle,
        gains: Gains,
        left: frozenset[Hashable] = frozenset(),
        rulings: Rulings = NO_RULINGS,
    ) -> None:
        self.contexts = contexts
        self.rulings = rulings
        self.left = left
        self.gains = gains
        self.spans = spans
        self.house = house
        self.said: dict[Context, MarkSign] = {}
        self.quiet: set[Context] = set()
        self.told: set[str] = set()
        self.quieted: set[str] = set()
        self.times: dict[Context, int] = {}
        self.simile_near = effort_tables().figures.simile_near_notes
        self.spoken_for = -self.simile_near - 1
        self.last: tuple[int, MarkSign | None] = (0, None)

    def signs(self, note: RouteNote) -> Iterator[MarkSign]:
        """The grip or the simile a note gets; nothing where a fingering of the source stands.

        A note that only repeats the one before it, with its grip, goes without.
        """
        context, grip = self.contexts[note.note.id], _essential(note)
        repeats = self.last == (note.note.pitch.number, grip)
        if note.note.fingering:
            self._hear(note, context, grip, repeats=repeats)
        elif (ruling := self.rulings.get(note.note.id)) is not None:
            yield from self._rule(note, context, grip, ruling)
        elif grip is not None and not is_said_by(note, self.spans):
            yield from self._tell(note, context, grip, repeats=repeats)
        told = self.said.get(context) == grip
        self.last = note.note.pitch.number, grip if told else None
        if told or is_said_by(note, self.spans):
            self.told.add(note.note.id)
        elif context in self.quiet:
            self.quieted.add(note.note.id)

    def _rule(
        self, note: RouteNote, context: Context, grip: MarkSign | None, ruling: str
    ) -> Iterator[MarkSign]:
        """What an editor wants marked: the grip, where the thumb goes, or nothing."""
        if ruling == THUMB:
            yield from filter(None, (thumb_sign(note),))
        elif ruling and grip is not None:
            self._say(context, grip)
            yield grip_sign(note, with_trill=ruling == TRILL) or grip
        elif self.said.get(context) == grip:
            self.times[context] += 1
        elif not ruling and context not in self.said:
            self.quiet.add(context)

    def _tell(
        self, note: RouteNote, context: Context, grip: MarkSign, *, repeats: bool
    ) -> Iterator[MarkSign]:
        """What has to be said of a note, after all that was said."""
        if self.said.get(context) == grip:
            yield from self._simile(note, context)
        elif context in self.said or self._is_news(note):
            self._say(context, grip)
            if not repeats:
                yield grip_sign(note) or grip

    def _is_news(self, note: RouteNote) -> bool:
        """Whether a player would not expect what this note has, and the house wants to hear of it."""
        reason = reason_at(note)
        context = self.contexts[note.note.id]
        if context in self.left or context in self.quiet or not admitted(note, reason, self.house):
            return False
        if reason == TRILL or is_plain(note):
            return reason == TRILL
        return is_worth(note, self.gains, self.house) or self._is_under_held(note)

    def _is_under_held(self, note: RouteNote) -> bool:
        """Whether fingers are held over a note, which its plain grip might lift."""
        return any(span.on.kind == HOLD and span.covers(note.index) for span in self.spans)

    def _say(self, context: Context, grip: MarkSign) -> None:
        self.said[context] = grip
        self.times[context] = 1

    def _simile(self, note: RouteNote, context: Context) -> Iterator[MarkSign]:
        """The second time of a figure; once for notes that follow each other."""
        self.times[context] += 1
        if self.times[context] != 2 or (is_plain(note) and trills_plainly(note) is not False):
            return
        if note.index - self.spoken_for > self.simile_near and self.house.say_simile:
            yield MarkSign(SIMILE)
        self.spoken_for = note.index

    def _hear(self, note: RouteNote, context: Context, grip: MarkSign | None, *, repeats: bool) -> None:
        """Take in what the source says, as if it had been said here."""
        grips = [sign for sign in source_signs(note.note) if sign.kind == GRIP]
        for told in grips:
            ours = note.candidate is not None and told.grip == note.candidate.grip
            self._say(context, grip if ours and grip is not None else told)
        if grips or grip is None or is_said_by(note, self.spans):
            return
        if repeats or self.said.get(context) == grip:
            list(self._tell(note, context, grip, repeats=repeats))


def _essential(note: RouteNote) -> MarkSign | None:
    """What of a grip makes it the same again: the tables' grip, unless fingers are held or lifted.

    Of a trill also what moves.
    """
    candidate, sign = note.candidate, grip_sign(note)
    if candidate is None or sign is None:
        return None
    return sign if candidate.held else replace(sign, grip=candidate.row_grip)
