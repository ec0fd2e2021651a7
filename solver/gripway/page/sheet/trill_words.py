"""The trills and tremolos of a passage as a player reads them: where, both grips, the finger that moves."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from math import inf

from gripway.model.passage import Note
from gripway.model.pitch import Pitch
from gripway.page.sheet.sheet_model import Hands
from gripway.practice.cells.short_passages import TRILL
from gripway.practice.cells.trill_cells import is_wide
from gripway.practice.drills.drills import IN_THE_PART, OF_SHORT_TRILLS
from gripway.practice.plan.course import NO_BARS
from gripway.practice.plan.plan import Day, Plan
from gripway.practice.ways.whole_passage import Stretch
from gripway.route.result import PlayedOrnament, Route, RouteNote
from gripway.route.words.place_words import places_in_words, places_text
from gripway.route.words.trill_words import grips_words, is_told, moving_words

FROM_ABOVE = (
    "A trill begins with its written note, in music before about 1800 usually with the upper one: "
    "your teacher decides."
)
"""How a trill begins (common practice)."""


@dataclass(frozen=True, slots=True)
class TrillTold:
    """A trill or tremolo: ids of its written notes, what is told of it, its two notes with their grips.

    It `begins_below` where it is a trill and the part does not begin it from above.
    """

    ids: tuple[str, ...]
    words: str
    hands: Hands
    begins_below: bool


def trills_of(route: Route, first: int, last: int) -> Iterator[TrillTold]:
    """The trills and tremolos of some notes (first and last index) with both grips; alike ones once.

    Not those wider than any trill, which are asked about.
    """
    found: dict[tuple[str, str, str], list[RouteNote]] = {}
    for note in route.notes[first : last + 1]:
        if note.ornament and is_told(note) and not is_wide(note.ornament):
            key = (note.ornament.kind, grips_words(note.ornament), moving_words(note.ornament))
            found.setdefault(key, []).append(note)
    for (kind, grips, moves), notes in found.items():
        where = places_text([(each.note.bar, each.index) for each in notes])
        ids = tuple(each.note.id for each in notes)
        hands = [hand for each in notes[:1] if each.ornament for hand in hands_of_ornament(each.ornament)]
        below = any(_begins_below(each.note) for each in notes)
        yield TrillTold(ids, f"{kind.capitalize()}, {where}: {grips}; {moves}.", hands, below)


def _begins_below(note: Note) -> bool:
    """Whether a note has a trill that the part does not begin on its upper note."""
    return note.ornament is not None and note.ornament.kind == TRILL and not note.ornament.from_upper


def trill_start_words(plan: Plan) -> str:
    """How trills begin; empty where nothing trills, or the part writes it."""
    return FROM_ABOVE * any(map(_begins_below, plan.route.passage.notes))


def untrilled(plan: Plan, day: Day, work: Stretch) -> list[RouteNote]:
    """The trills that a piece of work leaves out, as some of their drills come later."""
    coming = {
        place.index
        for number, planned in enumerate(plan.cells)
        if planned.cell.trill and _drills_of(plan, number, day.day) < _drills_of(plan, number)
        for place in planned.cell.places
    }
    left = [note for note in plan.trills_apart if note.index in coming]
    return [note for note in left if work.way not in NO_BARS and work.first <= note.index <= work.last]


def untrilled_words(plan: Plan, day: Day, work: Stretch) -> str:
    """`, without the trill in bar 48`: what a piece of work leaves out; empty where it has all."""
    left = untrilled(plan, day, work)
    where = places_in_words([(note.note.bar, note.index) for note in left]) if left else ""
    return f", without the trill{'s' * (len(left) > 1)} {where}" if left else ""


def _drills_of(plan: Plan, number: int, last: float = inf) -> set[int]:
    """The drills that a cell has had by the end of a day; without one those of all days."""
    return {item.drill for day in plan.days if day.day <= last for item in day.items if item.cell == number}


def hands_of_ornament(ornament: PlayedOrnament) -> Hands:
    """The two notes of a trill or tremolo with their grips."""
    return [(each.pitch.name, each.candidate.grip) for each in ornament.notes[:2] if each.candidate]


def as_drilled_words(plan: Plan, number: int, days: Sequence[Day]) -> str:
    """`trill as in 3.1`: where a drill in the part has a short trill that is a cell too.

    Of the drills of a cell (from 0) on some days; empty where none has one. What only a later day drills is
    left out by then.
    """
    places = sorted({item.drill for day in days for item in day.items if item.cell == number})
    for place in places:
        drill = plan.cells[number].drills[place]
        trilled = {
            note.pitch for note in drill.passage.notes if note.ornament and note.ornament.kind == TRILL
        }
        if drill.kind == IN_THE_PART and (found := _figure_on(trilled, plan)):
            figure, from_day = found
            return (
                f"trill as in {figure}" if from_day <= days[-1].day else f"without the trill until {figure}"
            )
    return ""


def _figure_on(pitches: Collection[Pitch], plan: Plan) -> tuple[str, int] | None:
    """The number and the first day of the drill that is a short trill on one of some pitches."""
    for at, item in ((day.day, item) for day in plan.days for item in day.items):
        planned = plan.cells[item.cell]
        if planned.drills[item.drill].kind in OF_SHORT_TRILLS and planned.cell.notes[0].note.pitch in pitches:
            return f"{item.cell + 1}.{item.drill + 1}", at
    return None
