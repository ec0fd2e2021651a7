"""The marks of an edition that marks figures: the first of each, and what is held by its two ends."""

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.edition.figure_marks import FigureMarks
from gripway.edition.hold_marks import THUMB_OFF, THUMB_ON, HeldSpan, hold_spans, is_lever_b_flat, thumb_spans
from gripway.edition.over_groups import Signs, Similes
from gripway.edition.plain_grip import Gains, admitted, gain_of_holding, saved_at
from gripway.edition.printed_marks import source_signs, thumb_left_on
from gripway.edition.printed_pins import source_grips
from gripway.edition.sparing import DECIDED, Draft, Drafted, Rulings, least_gain_of
from gripway.model.figures import Context, contexts, first_times
from gripway.model.house_style import HELD, THUMB, HouseStyle
from gripway.model.mark_text import GRIP, HOLD, MarkSign
from gripway.model.passage import Note
from gripway.route.result import Route, RouteNote


@dataclass(frozen=True, slots=True)
class _HeldSpan:
    """A span with its unit and what it saves; `on` and `off` say whether its ends have signs of their own."""

    span: HeldSpan
    unit: Hashable
    gain: float
    on: bool = True
    off: bool = True


class ByFigure:
    """Drafts the marks of one route.

    `whole` are the notes of the complete part, `rulings` what an editor has decided.
    """

    def __init__(
        self,
        route: Route,
        free: Route,
        house: HouseStyle,
        whole: Sequence[Note],
        gains: Gains,
        rulings: Rulings,
    ) -> None:
        self.house, self.whole, self.gains, self.rulings = house, whole, gains, rulings
        self.notes = tuple(route.notes[place] for place in first_times(route.passage.notes))
        about = contexts(whole)
        self.contexts: dict[str, Context] = {whole[place].id: about[place] for place in first_times(whole)}
        self.similes = Similes(self.notes, house)
        self.by_index = by_index = {note.index: note for note in self.notes}
        free_notes = {note.index: note for note in free.notes}
        spans = [
            span
            for span in (*thumb_spans(self.notes), *hold_spans(self.notes))
            if _can_stand(span, route, whole)
        ]
        self.thumbs = [span for span in spans if span.on == THUMB_ON]
        self.spans = [
            held for span in spans if (held := self._weighed(span, by_index, free_notes)) is not None
        ]

    def _weighed(
        self, span: HeldSpan, notes: Mapping[int, RouteNote], free: Mapping[int, RouteNote]
    ) -> _HeldSpan | None:
        """A span with what it saves; None where that is too little, or the house does not want it."""
        gain = gain_of_holding([notes[place] for place in sorted(span.notes)], free, span.on)
        reason = HELD if span.on.kind == HOLD else THUMB
        ruled = {place: self.rulings.get(note.note.id) for place, note in notes.items()}
        ends = [ruled[place] for place in (span.start, span.release) if place in ruled]
        if reason == THUMB:
            return self._thumb(span, gain, notes, ruled)
        if (
            "" in ends
            or gain < least_gain_of(self.house)
            or not admitted(notes[span.start], reason, self.house)
        ):
            return None
        return _HeldSpan(span, (span.on, span.start), gain)

    def _thumb(
        self, span: HeldSpan, gain: float, notes: Mapping[int, RouteNote], ruled: Mapping[int, str | None]
    ) -> _HeldSpan | None:
        """The span of a thumb as far as decisions leave it: one that marks a note of it says it by itself.

        Where they leave nothing at its first note, it begins at the next, as long as no B-flat needs it.
        """
        need = next((place for place in sorted(span.notes) if is_lever_b_flat(notes[place])), span.start)
        starts = [place for place in sorted(span.notes) if place <= need]
        decided = next((place for place in starts if ruled[place]), None)
        start = (
            next((place for place in starts if ruled[place] is None), None) if decided is None else decided
        )
        if start is None:
            return None
        if decided is None and (
            gain < least_gain_of(self.house) or not admitted(notes[start], THUMB, self.house)
        ):
            return None
        late = replace(span, start=start, notes=frozenset(place for place in span.notes if place >= start))
        unit = DECIDED if decided is not None else (span.on, start)
        off = span.release is not None and ruled.get(span.release) is None
        return _HeldSpan(late, unit, gain, decided is None, off)

    def __call__(self, left: frozenset[Hashable]) -> Draft:
        """The signs of all units but those left out."""
        held = [each for each in self.spans if each.unit not in left]
        signs, figures = self._signs(held, left)
        if by_grips := list(self._begun_by_grips(signs, held)):
            held += by_grips
            signs, figures = self._signs(held, left)
        self.similes.put(signs, self.rulings)
        self._release_thumbs(signs)
        _one_mark_a_note(
            signs,
            {self.by_index[each.span.release].note.id for each in held if each.span.release in self.by_index},
        )
        found = (each for note in self.notes if not note.note.fingering for each in signs[note.note.id])
        return Draft(tuple(found), frozenset(figures.told), frozenset(figures.quieted))

    def _signs(self, held: Sequence[_HeldSpan], left: frozenset[Hashable]) -> tuple[Signs, FigureMarks]:
        """The signs of every note, by its id, with what is held, and what was said by them."""
        spans = [each.span for each in held]
        figures = FigureMarks(self.contexts, spans, self.house, self.gains, left, self.rulings)
        signs = {
            note.note.id: [*_held_signs(note, held), *self._figure_signs(note, figures)]
            for note in self.notes
        }
        return signs, figures

    def _begun_by_grips(self, signs: Signs, held: Sequence[_HeldSpan]) -> Iterator[_HeldSpan]:
        """The thumb's spans without a sign of their own in which a grip that is marked puts the thumb on Tb.

        The grip, what the thumb stays on for, and its release stand or go together.
        """
        known = {each.span.release for each in held if each.span.on == THUMB_ON}
        for span in self.thumbs:
            if span.release is None or span.release in known:
                continue
            notes = (self.by_index[place] for place in sorted(span.notes))
            marks = (each for note in notes for each in signs[note.note.id] if each.sign.kind == GRIP)
            if (mark := next((each for each in marks if each.sign.grip.has("Tb")), None)) is None:
                continue
            place = mark.note.index
            later = replace(span, start=place, notes=frozenset(each for each in span.notes if each > place))
            off = self.rulings.get(self.by_index[span.release].note.id) is None
            yield _HeldSpan(later, mark.unit, mark.gain, on=False, off=off)

    def _figure_signs(self, note: RouteNote, figures: FigureMarks) -> Iterator[Drafted]:
        unit = DECIDED if note.note.id in self.rulings else self.contexts[note.note.id]
        for sign in figures.signs(note):
            yield Drafted(note, sign, unit, saved_at(note, self.gains))

    def _release_thumbs(self, signs: Signs) -> None:
        """Put a release at every note the lever would spoil on the way of a repeat or jump."""
        own = {note.note.id: note for note in self.notes if not note.note.fingering}

        def signs_of(note: Note) -> Sequence[MarkSign]:
            return [each.sign for each in signs[note.id]] if note.id in own else tuple(source_signs(note))

        for put_on, spoilt in list(thumb_left_on(self.whole, signs_of)):
            is_free = spoilt.id in own and self.rulings.get(spoilt.id) is None
            if is_free and THUMB_OFF not in signs_of(spoilt):
                unit, gain = self._span_of(put_on, signs)
                signs[spoilt.id].insert(0, Drafted(own[spoilt.id], THUMB_OFF, unit, gain))

    def _span_of(self, put_on: Note, signs: Mapping[str, Sequence[Drafted]]) -> tuple[Hashable, float]:
        """The unit, and its gain, of the sign that put the thumb on the lever."""
        for each in signs.get(put_on.id, ()):
            if each.sign.grip.has("Tb"):
                return each.unit, each.gain
        return put_on.id, float("inf")  # a sign of the source put it there


def _one_mark_a_note(signs: Signs, releases: Collection[str]) -> None:
    """Take the thumb's sign away beside a grip that says where the thumb is.

    Written out where the thumb comes back to T (at `releases` too), of which a difference says nothing.
    """
    for name, marks in signs.items():
        grip = next((each for each in marks if each.sign.kind == GRIP), None)
        thumbs = [each for each in marks if each.sign in (THUMB_ON, THUMB_OFF)]
        if grip is not None and (thumbs or name in releases):
            is_off = name in releases or any(each.sign == THUMB_OFF for each in thumbs)
            others = [each for each in marks if each not in thumbs]
            signs[name] = [replace(each, whole=is_off) if each is grip else each for each in others]


def _held_signs(note: RouteNote, spans: Sequence[_HeldSpan]) -> Iterator[Drafted]:
    """What is released at a note, then what begins to be held; the same sign once."""
    seen: set[MarkSign] = set()
    ends = [(each.span.off, each) for each in spans if each.off and each.span.release == note.index]
    starts = [(each.span.on, each) for each in spans if each.on and each.span.start == note.index]
    for sign, each in (*ends, *starts):
        if sign not in seen:
            seen.add(sign)
            yield Drafted(note, sign, each.unit, each.gain)


def _can_stand(span: HeldSpan, route: Route, whole: Sequence[Note]) -> bool:
    """Whether both signs can be written and hold.

    They cannot with a foreign fingering in the way, or one between that lifts the fingers, nor
    over an end of the bars chosen.
    """
    if span.release is None and route.notes[-1].note.id != whole[-1].id:
        return False
    ends = ((span.start, span.on), (span.release, span.off))
    if any(_lifts(note.note, span) for note in route.notes if span.covers(note.index)):
        return False
    notes = [(route.notes[place].note, sign) for place, sign in ends if place is not None]
    return all(not note.fingering or sign in source_signs(note) for note, sign in notes)


def _lifts(note: Note, span: HeldSpan) -> bool:
    """Whether a grip of the source lifts fingers that a span holds; of the thumb see `_release_thumbs`."""
    held = span.on.grip.mask
    return span.on.kind == HOLD and any(held & ~grip.mask for grip in source_grips(note))
