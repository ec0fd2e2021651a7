"""The route of a passage, and whether leaving the standard grips is worth it."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gripway.asked.wishes import LEAST_EFFORT, Pin, Wishes
from gripway.candidates.found_shelf import beside_of
from gripway.errors import RequestError
from gripway.limits.answer import solve_within
from gripway.model.instrument import Instrument
from gripway.model.passage import Passage
from gripway.route.export import change_frame as change_frame
from gripway.route.export import note_frame as note_frame
from gripway.route.result import Route
from gripway.route.solve import Progress, Solver
from gripway.tasks.shelves import solver, wished_shelf

if TYPE_CHECKING:
    from gripway.route.threshold import Threshold


def finger(
    passage: Passage, instrument: Instrument, wishes: Wishes | None = None, progress: Progress | None = None
) -> Route:
    """The least awkward grips for a passage.

    Raises RequestError for pins that cannot hold, spans of limits that hold no note, or an empty
    passage; notes that have no grip and limits in conflict are statuses in the route.
    """
    wishes = wishes or Wishes()
    working, passage = ready(passage, instrument, wishes)
    return solve_within(working, passage, wishes, progress)


def ready(passage: Passage, instrument: Instrument, wishes: Wishes) -> tuple[Solver, Passage]:
    """A solver for a passage, and the passage with a remark on found grips that cannot be had.

    Raises RequestError for an empty passage.
    """
    if not passage.notes:
        raise RequestError("there is no note to finger", next_step="Choose bars or a part with notes")
    known, remark = wished_shelf(instrument, wishes, beside_of(passage))
    if remark:
        passage = replace(passage, remarks=(*passage.remarks, remark))
    return Solver(known), passage


@dataclass(frozen=True, slots=True)
class Spot:
    """A hard change: its place (`to`), and where leaving the standard grips pays around it."""

    to: int
    threshold: "Threshold"


@dataclass(frozen=True, slots=True)
class Worth:
    """Whether leaving the standard grips is worth it: in the passage, and around its hard spots.

    `passage` is None where the passage is too long to be tried at many tempos.
    """

    passage: "Threshold | None"
    spots: tuple[Spot, ...]


LONGEST_FOR_THRESHOLD = 200
"""Notes up to which the whole passage is tried at other tempos; longer ones by their hard spots only."""


def worth_it(route: Route, instrument: Instrument, wishes: Wishes, spots: int = 3) -> Worth | None:
    """The tempos below which the standard grips do as well, for a passage and its hardest changes.

    Pins are kept. None where there is nothing to compare: no note has a grip, the route was not
    chosen for the least effort, or limits over the whole passage or a number of grips to learn were
    asked for.
    """
    from gripway.route.threshold import around, threshold

    asked_for = wishes.limits or wishes.learn is not None
    if wishes.choose != LEAST_EFFORT or asked_for or not any(note.candidate for note in route.notes):
        return None
    passage = route.passage
    working = solver(instrument, wishes, beside_of(passage))
    wishes = replace(wishes, curve=False)
    by_id = tuple(
        Pin(passage.notes[pin.note].id if isinstance(pin.note, int) else pin.note, pin.grip)
        for pin in wishes.pins
    )

    def at(part: Passage) -> "Threshold":
        ids = {note.id for note in part.notes}
        pins = tuple(pin for pin in by_id if pin.note in ids)
        return threshold(part, replace(wishes, pins=pins), working)

    whole = at(passage) if len(passage.notes) <= LONGEST_FOR_THRESHOLD else None
    return Worth(whole, tuple(Spot(to, at(around(passage, to))) for to in route.hardest[:spots]))
