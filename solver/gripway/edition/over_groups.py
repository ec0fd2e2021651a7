"""What stands over several notes: one mark for a beamed group, *simile* over a figure that comes again."""

from collections.abc import Hashable, Sequence
from dataclasses import replace
from itertools import groupby

from gripway.edition.printed_marks import source_signs
from gripway.edition.sparing import DECIDED, Draft, Drafted, Drafting, Rulings
from gripway.model.grip import Grip
from gripway.model.house_style import GROUP, HouseStyle
from gripway.model.mark_text import GRIP, SIMILE, MarkSign
from gripway.route.result import RouteNote

Signs = dict[str, list[Drafted]]
"""The signs of each note, by its id."""


def beamed_groups(notes: Sequence[RouteNote]) -> list[tuple[RouteNote, ...]]:
    """The notes under each beam, in playing order; notes without a beam are left out."""
    found = (tuple(same) for beam, same in groupby(notes, lambda note: note.note.beam) if beam)
    return [group for group in found if len(group) > 1]


def once_over_groups(drafting: Drafting, notes: Sequence[RouteNote]) -> Drafting:
    """Drafts in which the same grip on the same note of a beamed group is said once, with a line to the last.

    What an editor decided to mark stands by itself.
    """
    return lambda left: _once(drafting(left), notes)


def _once(draft: Draft, notes: Sequence[RouteNote]) -> Draft:
    by_note: dict[str, list[Drafted]] = {}
    for each in draft.signs:
        by_note.setdefault(each.note.note.id, []).append(each)
    for group in beamed_groups(notes):
        heads: dict[int, tuple[MarkSign, RouteNote, Drafted | None]] = {}
        for note in group:
            _take_in(note, heads, by_note)
    order = [note.note.id for note in notes]
    return Draft(tuple(each for name in order for each in by_note.get(name, ())), draft.told, draft.quiet)


def _take_in(
    note: RouteNote, heads: dict[int, tuple[MarkSign, RouteNote, Drafted | None]], by_note: Signs
) -> None:
    """One note of a group: its mark begins to count, or is said by the one before."""
    pitch = note.note.pitch.number
    own = next((each for each in by_note.get(note.note.id, ()) if each.sign.kind == GRIP), None)
    printed = next((sign for sign in source_signs(note.note) if sign.kind == GRIP), None)
    sign = own.sign if own else printed
    head = heads.get(pitch)
    if head is not None and not _same_grip(head[1], note):
        head = None
        del heads[pitch]
    if sign is None:
        return
    if head is None or own is None or own.unit == DECIDED or head[0] != sign:
        heads[pitch] = sign, note, own
        return
    by_note[note.note.id].remove(own)
    if (first := head[2]) is not None:
        marks = by_note[first.note.note.id]
        at = marks.index(first)
        marks[at] = replace(first, until=note.note.id, gain=max(first.gain, own.gain))
        heads[pitch] = head[0], note, marks[at]


def _same_grip(one: RouteNote, other: RouteNote) -> bool:
    grips = [note.candidate and note.candidate.grip for note in (one, other)]
    return grips[0] == grips[1]


class Similes:
    """Puts each *simile* over the note whose grip it means, once.

    Its figure is the note before, the note and the note after; in a house that marks groups it is the
    beamed group, where that comes again as a whole: the *simile* stands at its beginning then, and a line
    leads to its last note. It stands nowhere where the figure has another grip than before, or a mark of its
    own, or where a fingering of the source or an editor's decision stands in its place.
    """

    def __init__(self, notes: Sequence[RouteNote], house: HouseStyle) -> None:
        self.notes = notes
        self.by_group = house.over == GROUP
        self.place = {note.note.id: place for place, note in enumerate(notes)}
        groups = beamed_groups(notes)
        self.group = {note.note.id: group for group in groups for note in group}
        self.first: dict[Hashable, Sequence[RouteNote]] = {}
        for figure in (*map(self._around, notes), *groups):
            self.first.setdefault(_music(figure), figure)

    def put(self, signs: Signs, rulings: Rulings) -> None:
        """Move every *simile* of these signs, which stand at the notes that come again."""
        found = [each for marks in signs.values() for each in marks if each.sign.kind == SIMILE]
        for each in found:
            signs[each.note.note.id].remove(each)
        for each in found:
            figure = self._figure(each.note)
            is_group = self.by_group and figure == self.group.get(each.note.note.id)
            at = figure[0] if is_group else each.note
            marks = [mark for note in figure for mark in signs[note.note.id]]
            if (
                at.note.fingering
                or at.note.id in rulings
                or any(mark.sign.kind in (GRIP, SIMILE) for mark in marks)
            ):
                continue
            if _grips(self.first[_music(figure)]) == _grips(figure):
                until = figure[-1].note.id if is_group else ""
                signs[at.note.id].append(replace(each, note=at, until=until))

    def _figure(self, note: RouteNote) -> Sequence[RouteNote]:
        """The notes a *simile* at a note is about."""
        group = self.group.get(note.note.id, ()) if self.by_group else ()
        is_again = bool(group) and self.first[_music(group)][0] is not group[0]
        return group if is_again else self._around(note)

    def _around(self, note: RouteNote) -> Sequence[RouteNote]:
        place = self.place[note.note.id]
        return self.notes[max(place - 1, 0) : place + 2]


def _music(figure: Sequence[RouteNote]) -> Hashable:
    return tuple((note.note.pitch.number, note.note.length) for note in figure)


def _grips(figure: Sequence[RouteNote]) -> list[Grip | None]:
    return [note.candidate.grip if note.candidate else None for note in figure]
