"""Marks for a score: which notes get one, what it says, and what is left unmarked."""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from gripway.edition.marks_by_figure import ByFigure
from gripway.edition.over_groups import once_over_groups
from gripway.edition.plain_grip import Gains, admitted, gains_of, is_unusual, reason_at, saved_at
from gripway.edition.printed_marks import source_signs
from gripway.edition.printed_pins import source_grips
from gripway.edition.space_for_grip import Room
from gripway.edition.sparing import (
    DECIDED,
    Draft,
    Drafted,
    Drafting,
    Rulings,
    least_gain_of,
    most_marks,
    within,
)
from gripway.edition.trill_marks import grip_sign, thumb_sign
from gripway.model.decision import Decision
from gripway.model.difference import one_hand_over_the_other, stacked
from gripway.model.figures import Context, contexts, first_times
from gripway.model.house_style import (
    EVERY,
    FIGURES,
    FIRST,
    FITTING,
    FULL,
    GROUP,
    PICTURE,
    PLAIN_STYLE,
    STACKED,
    TRILL,
    WORDS,
    HouseStyle,
)
from gripway.model.mark_text import GRIP, THUMB, MarkSign
from gripway.model.passage import Note
from gripway.model.picture_name import picture_name
from gripway.route.result import Route, RouteNote
from gripway.score.mark_xml import Mark

SMALL, OMITTED, OVER, QUIET = "small", "omitted", "over", "quiet"
WHY_LEFT = (OVER, OMITTED, SMALL, QUIET)
"""Why a note whose grip is not the plain one has no mark: there are enough marks with larger gains;
the house does not want it; its gain is too small; its figure was decided to have no mark before."""


Short = Callable[[MarkSign, int], str]
"""A grip's sign at a pitch as a difference from the plain grip, empty where that is no shorter."""

NO_DECISIONS: Mapping[str, Decision] = {}


@dataclass(frozen=True, slots=True)
class WrittenSign:
    """A sign as the house writes it; `until` is the id of the note to which its line leads, if it has one."""

    sign: MarkSign
    text: str
    until: str = ""


@dataclass(frozen=True, slots=True)
class MarkedNote:
    """A note of the route and the signs it gets; `decision` is the editor's word on it, if there is one."""

    note: RouteNote
    written: tuple[WrittenSign, ...]
    decision: Decision | None = None

    @property
    def signs(self) -> tuple[MarkSign, ...]:
        """What is said at the note."""
        return tuple(each.sign for each in self.written)


@dataclass(frozen=True, slots=True)
class LeftNote:
    """A note that nothing tells to leave its plain grip: why (of WHY_LEFT), and the effort left there."""

    note: RouteNote
    why: str
    gain: float


@dataclass(frozen=True, slots=True)
class Marking:
    """The notes of a part that get marks, and those left unmarked, both in playing order."""

    marked: tuple[MarkedNote, ...]
    left: tuple[LeftNote, ...]


def marking(
    route: Route,
    house: HouseStyle = PLAIN_STYLE,
    whole: Sequence[Note] | None = None,
    free: Route | None = None,
    decided: Mapping[str, Decision] = NO_DECISIONS,
    short: Short | None = None,
) -> Marking:
    """The notes that get marks in a house style, each written note once, in playing order.

    A repeat keeps the mark of its first time, a note with a fingering of its own in the source
    gets none; those fingerings count among the marks that a part has at most. `whole` are the notes of
    the complete part where the route is of some bars only, `free` the route by which the gain of a
    grip is measured (see `gains_of`), itself by default. `decided` are an editor's decisions by note id:
    they are marked, or not, whatever the house asks for, and leave so much less room to other marks.
    `short` is how a grip is written as a difference, where the house wants that (else all of it is).
    """
    free, whole = free or route, whole or route.passage.notes
    gains = gains_of(route, free)
    notes = tuple(route.notes[place] for place in first_times(route.passage.notes))
    by_figure = house.which == FIGURES
    rulings = {name: _ruling(decision) for name, decision in decided.items()}
    drafting = (
        ByFigure(route, free, house, whole, gains, rulings)
        if by_figure
        else _singly(notes, house, whole, gains, rulings)
    )
    if house.over == GROUP:
        drafting = once_over_groups(drafting, notes)
    there = sum(1 for note in notes for _ in source_signs(note.note) if note.note.id not in rulings)
    draft = within(drafting, most_marks(house, len(notes)) - there, least_gain_of(house))
    room = Room(notes, {each.note.note.id for each in draft.signs}) if house.form == FITTING else None
    marked = tuple(
        MarkedNote(
            same[0].note,
            tuple(_written(each, house, short, room) for each in same),
            decided.get(same[0].note.note.id),
        )
        for _, found in groupby(draft.signs, lambda each: each.note.index)
        for same in (list(found),)
    )
    open_notes = [note for note in notes if note.note.id not in rulings]
    return Marking(marked, tuple(_left(open_notes, draft, house, gains)))


def _ruling(decision: Decision) -> str:
    """What an editor wants marked, of Rulings."""
    if not decision.mark:
        return ""
    return THUMB if decision.thumb else TRILL if decision.moving.mask else GRIP


def marked_notes(route: Route, house: HouseStyle = PLAIN_STYLE) -> tuple[MarkedNote, ...]:
    """The marked notes of a part on its own, by `marking`."""
    return marking(route, house).marked


def _written(drafted: Drafted, house: HouseStyle, short: Short | None, room: Room | None) -> WrittenSign:
    """A sign in the house's hand and form; `room` tells where a whole grip has room, if that counts."""
    sign, text = drafted.sign, ""
    if sign.kind == GRIP and house.form != FULL and not house.hand.abbreviation(sign):
        is_whole = drafted.whole or (room is not None and room.is_enough(drafted.note, sign, house))
        text = short(sign, drafted.note.note.pitch.number) if short and not is_whole else ""
        if house.form == STACKED:
            text = stacked(text) if text else one_hand_over_the_other(house.hand, sign)
    as_words = house.style in (WORDS, PICTURE)
    return WrittenSign(sign, house.hand.written(sign, as_words=as_words, short=text), drafted.until)


def as_marks(marked: Sequence[MarkedNote], house: HouseStyle, pictures: str = "") -> Iterator[Mark]:
    """The marks of the score, in the house's hand; `pictures` is the folder of pictures beside it."""
    for each in marked:
        for written in each.written:
            style, text = house.style, written.text
            if style == PICTURE:
                is_grip = written.sign.kind == GRIP
                style = PICTURE if is_grip else WORDS
                text = f"{pictures}/{picture_name(written.sign)}" if is_grip else text
            yield Mark(
                each.note.note.id,
                text,
                style,
                house.placement,
                until=written.until,
                font_points=house.font_points,
                distance_spaces=house.distance_spaces,
            )


def _singly(
    notes: Sequence[RouteNote], house: HouseStyle, whole: Sequence[Note], gains: Gains, rulings: Rulings
) -> Drafting:
    """Drafts the grips that are marked, without *simile* and held fingers; equal figures go together."""
    about = contexts(whole)
    names = {whole[place].id: about[place] for place in first_times(whole)}

    def drafted(left: frozenset[Hashable]) -> Draft:
        signs, told = [], set()
        for note in _to_mark(notes, house, gains, rulings):
            ruling = rulings.get(note.note.id)
            sign = thumb_sign(note) if ruling == THUMB else grip_sign(note, with_trill=ruling == TRILL)
            unit = _unit(note, names, rulings)
            if sign is not None and unit not in left:
                signs.append(Drafted(note, sign, unit, saved_at(note, gains)))
                told.add(note.note.id)
        return Draft(tuple(signs), frozenset(told))

    return drafted


def _unit(note: RouteNote, names: Mapping[str, Context], rulings: Rulings) -> Hashable:
    """What a note's mark stands or goes with: its like in equal figures; nothing where it is decided."""
    if note.note.id in rulings:
        return DECIDED
    return names[note.note.id], note.candidate and note.candidate.grip


def _to_mark(
    notes: Sequence[RouteNote], house: HouseStyle, gains: Gains, rulings: Rulings
) -> Iterator[RouteNote]:
    """The notes whose grip is marked, without regard to figures."""
    last: dict[int, str] = {}
    for note in notes:
        if note.note.fingering:
            for grip in source_grips(note.note):
                last[note.note.pitch.number] = grip.text
        elif rulings[note.note.id] if note.note.id in rulings else _wants(note, house, gains, last):
            yield note


def _wants(note: RouteNote, house: HouseStyle, gains: Gains, last: dict[int, str]) -> bool:
    """Whether a note gets a mark; `last` is the grip each pitch had last, by mark or by being plain."""
    candidate = note.candidate
    if candidate is None or not admitted(note, reason_at(note), house):
        return False
    before = last.get(note.note.pitch.number)
    last[note.note.pitch.number] = candidate.grip.text
    needed = is_unusual(note) and saved_at(note, gains) >= least_gain_of(house)
    if house.which == FIRST:
        return candidate.grip.text != before if before is not None else needed
    return house.which == EVERY or needed


def _left(notes: Sequence[RouteNote], draft: Draft, house: HouseStyle, gains: Gains) -> Iterator[LeftNote]:
    """What nothing tells, with the reason."""
    for note in notes:
        if not is_unusual(note) or note.note.id in draft.told or note.note.fingering:
            continue
        gain = saved_at(note, gains)
        if not admitted(note, reason_at(note), house):
            why = OMITTED
        elif note.note.id in draft.quiet:
            why = QUIET
        else:
            why = OVER if gain >= least_gain_of(house) else SMALL
        yield LeftNote(note, why, gain)


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
