"""Marks for a score: which notes get one, and what it says."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gripway.edition.figure_marks import FigureMarks
from gripway.edition.hold_marks import THUMB_OFF, Span, hold_spans, thumb_spans
from gripway.edition.plain_grip import Gains, gains_of, is_plain, worth_a_mark
from gripway.edition.printed_marks import source_signs, thumb_left_on
from gripway.edition.printed_pins import source_grips
from gripway.edition.trill_marks import grip_sign, trills_plainly
from gripway.model.figures import contexts, first_times
from gripway.model.house_style import EVERY, FIGURES, FIRST, PLAIN_STYLE, HouseStyle
from gripway.model.mark_text import HOLD, Sign
from gripway.model.passage import Note
from gripway.route.result import Route, RouteNote
from gripway.score.marking import Mark


@dataclass(frozen=True, slots=True)
class MarkedNote:
    """A note of the route and the signs it gets."""

    note: RouteNote
    signs: tuple[Sign, ...]


def marked_notes(
    route: Route,
    house: HouseStyle = PLAIN_STYLE,
    whole: Sequence[Note] | None = None,
    free: Route | None = None,
) -> tuple[MarkedNote, ...]:
    """The notes that get marks in a house style, each written note once, in playing order.

    A repeat keeps the mark of its first time, a note with a fingering of its own in the source
    gets none. `whole` are the notes of the complete part where the route is of some bars only,
    `free` the route by which the gain of a grip is measured (see `gains_of`), itself by default.
    """
    gains = gains_of(route, free or route)
    if house.which == FIGURES:
        return tuple(_by_figures(route, house, whole or route.passage.notes, gains))
    return tuple(
        MarkedNote(note, (sign,))
        for note in _to_mark(route, house, gains)
        if (sign := grip_sign(note)) is not None
    )


def as_marks(marked: Sequence[MarkedNote], house: HouseStyle) -> Iterator[Mark]:
    """The marks of the score, in the house's hand."""
    for each in marked:
        for sign in each.signs:
            text = house.hand.written(sign, as_words=house.style == "words")
            yield Mark(each.note.note.id, text, house.style, house.placement)


def _written_once(route: Route) -> tuple[RouteNote, ...]:
    """Every written note, as it is played the first time."""
    return tuple(route.notes[place] for place in first_times(route.passage.notes))


def _to_mark(route: Route, house: HouseStyle, gains: Gains) -> Iterator[RouteNote]:
    """The notes whose grip is marked, without regard to figures."""
    last: dict[int, str] = {}
    for note in _written_once(route):
        if note.note.fingering:
            for grip in source_grips(note.note):
                last[note.note.pitch.number] = grip.text
        elif _wants(note, house, gains, last):
            yield note


def _wants(note: RouteNote, house: HouseStyle, gains: Gains, last: dict[int, str]) -> bool:
    """Whether a note gets a mark; `last` is the grip each pitch had last, by mark or by being plain."""
    candidate = note.candidate
    if candidate is None:
        return False
    before = last.get(note.note.pitch.number)
    last[note.note.pitch.number] = candidate.grip.text
    needed = trills_plainly(note) is False or (not is_plain(note) and worth_a_mark(note, gains, house))
    if house.which == FIRST:
        return candidate.grip.text != before if before is not None else needed
    return house.which == EVERY or needed


def _by_figures(route: Route, house: HouseStyle, whole: Sequence[Note], gains: Gains) -> Iterator[MarkedNote]:
    """The first of each figure, and start and release of what is held."""
    notes = _written_once(route)
    spans = [span for span in (*thumb_spans(notes), *hold_spans(notes)) if _can_stand(span, route, whole)]
    about = contexts(whole)
    figures = FigureMarks(
        {whole[place].id: about[place] for place in first_times(whole)}, spans, house, gains
    )
    signs = {note.note.id: tuple(_held_signs(note, spans)) + tuple(figures.signs(note)) for note in notes}
    _release_thumbs(signs, notes, whole)
    for note in notes:
        if signs[note.note.id] and not note.note.fingering:
            yield MarkedNote(note, signs[note.note.id])


def _held_signs(note: RouteNote, spans: Sequence[Span]) -> Iterator[Sign]:
    """What is released at a note, then what begins to be held."""
    yield from dict.fromkeys(span.off for span in spans if span.release == note.index)
    yield from dict.fromkeys(span.on for span in spans if span.start == note.index)


def _can_stand(span: Span, route: Route, whole: Sequence[Note]) -> bool:
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


def _lifts(note: Note, span: Span) -> bool:
    """Whether a grip of the source lifts fingers that a span holds; of the thumb see `_release_thumbs`."""
    held = span.on.grip.mask
    return span.on.kind == HOLD and any(held & ~grip.mask for grip in source_grips(note))


def _release_thumbs(
    signs: dict[str, tuple[Sign, ...]], notes: Sequence[RouteNote], whole: Sequence[Note]
) -> None:
    """Put a release at every note the lever would spoil on the way of a repeat or jump."""
    own = {note.note.id for note in notes if not note.note.fingering}

    def signs_of(note: Note) -> Sequence[Sign]:
        return signs[note.id] if note.id in own else tuple(source_signs(note))

    for _, spoilt in list(thumb_left_on(whole, signs_of)):
        if spoilt.id in own and THUMB_OFF not in signs[spoilt.id]:
            signs[spoilt.id] = (THUMB_OFF, *signs[spoilt.id])


def played_differently(route: Route) -> tuple[RouteNote, ...]:
    """Notes that a repeat plays with another grip than the first time: one mark cannot say both.

    Each written note comes once; notes with a fingering of their own get no mark and are left out.
    """
    first: dict[str, str] = {}
    differing: dict[str, RouteNote] = {}
    for note in route.notes:
        grip = note.candidate.row_grip.text if note.candidate else ""
        if first.setdefault(note.note.id, grip) != grip and not note.note.fingering:
            differing.setdefault(note.note.id, note)
    return tuple(differing.values())
