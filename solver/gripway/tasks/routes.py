"""The route of a passage, and whether leaving the standard grips is worth it."""

from dataclasses import replace
from typing import TYPE_CHECKING

from gripway.asked.wishes import LEAST_EFFORT, Pin, Wishes
from gripway.candidates.found_shelf import beside_of
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.route.route_data import change_frame as change_frame
from gripway.route.route_data import note_frame as note_frame
from gripway.route.solve import Progress
from gripway.tasks.flute_player import Flute, asked_of

if TYPE_CHECKING:
    from gripway.route.threshold import Threshold, Worth


def finger(
    passage: Passage, instrument: Flute, wishes: Wishes | None = None, progress: Progress | None = None
) -> Route:
    """The least awkward grips for a passage.

    Raises RequestError for pins that cannot hold, spans of limits that hold no note, or an empty
    passage; notes that have no grip and limits in conflict are statuses in the route.
    """
    mine, wishes = asked_of(instrument, wishes)
    if not wishes.limits:
        return mine.solved(passage, wishes, progress)[0]
    from gripway.limits.answer import solve_within

    solver, passage = mine.ready(passage, wishes)
    return solve_within(solver, passage, wishes, progress)


LONGEST_FOR_THRESHOLD = 200
"""Notes up to which the whole passage is tried at other tempos; longer ones by their hard spots only."""


MOST_SPOTS = 3
"""So many hard changes are looked at beside the passage."""


def worth_it(
    route: Route, instrument: Flute, wishes: Wishes | None = None, spots: int = MOST_SPOTS
) -> "Worth | None":
    """The tempos below which the standard grips do as well, for a passage and its hardest changes.

    `route` is what `finger` gives for these wishes. Pins are kept. None where there is nothing to compare:
    no note has a grip, the route was not chosen for the least effort, or limits over the whole passage
    or a number of grips to learn were asked for.
    """
    from gripway.route.threshold import Spot, Worth, around, threshold

    mine, wishes = asked_of(instrument, wishes)
    asked_for = wishes.limits or wishes.learn is not None
    if wishes.choose != LEAST_EFFORT or asked_for or not any(note.candidate for note in route.notes):
        return None
    passage = route.passage
    solver = mine.solver(wishes, beside_of(passage))
    wishes = replace(wishes, curve=False)
    by_id = tuple(
        Pin(passage.notes[pin.note].id if isinstance(pin.note, int) else pin.note, pin.grip)
        for pin in wishes.pins
    )

    def at(part: Passage, as_written_milli: int | None = None) -> "Threshold":
        ids = {note.id for note in part.notes}
        pins = tuple(pin for pin in by_id if pin.note in ids)
        return threshold(part, replace(wishes, pins=pins), solver, as_written_milli)

    known = route.effort_milli if by_id == wishes.pins else None  # else a repeat may have more pins
    whole = at(passage, known) if len(passage.notes) <= LONGEST_FOR_THRESHOLD else None
    return Worth(whole, tuple(Spot(to, at(around(passage, to))) for to in route.hardest[:spots]))
