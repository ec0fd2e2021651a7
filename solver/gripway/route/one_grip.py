"""One grip for one figure: the least path again, until no figure comes with two grips.

The search judges each note with its neighbours, so that the same figure (`route/figures.py`)
can come out with two grips where the wider way differs. For a marked score one of them is
settled: the one that costs least over all places of the figure together. A written note that
a repeat plays again is one note with one mark, and so gets one grip too. A sustained note
without a trill is also kept from grips meant for trills only.

This is a heuristic: each figure is settled by what its grips cost on the route found so far.
The route that comes back is the least under what was settled, not over all ways to settle.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage
from gripway.route.figures import Figure, Nearest, figures, first_times
from gripway.route.request import Wishes
from gripway.route.result import Other, Route, RouteNote
from gripway.route.settling import FigureBounds, Groups, Settling, row_of

Solve = Callable[[Passage, Wishes], Route]

EVERY_OTHER = 10_000
"""More runners-up than any note has."""


@dataclass(frozen=True, slots=True)
class Even:
    """A route with one grip a figure.

    `free` is the route before anything was settled; `changed` are the indices of notes whose
    grip differs from it, `uneven` those of a note of each figure that still has two grips,
    because pins or the flute leave no choice. `grips` has the grip of every figure.
    """

    route: Route
    free: Route
    changed: tuple[int, ...] = ()
    uneven: tuple[int, ...] = ()
    grips: Mapping[Figure, Grip] = field(default_factory=dict)


def one_grip_a_figure(
    passage: Passage,
    wishes: Wishes,
    solve: Solve,
    bounds: FigureBounds,
    whole: Sequence[Note] | None = None,
    known: Mapping[Figure, Grip] | None = None,
) -> Even:
    """The route in which every figure has one grip.

    `whole` are the notes of the complete part where the passage is only some bars of it, so
    that the figures at its ends and their tempos are known. `known` are figures of other parts
    with their grips, which are kept where they can be.
    """
    free = solve(passage, replace(wishes, others=EVERY_OTHER))
    groups = _groups(passage.notes, figures_by_id(whole or passage.notes, bounds.tempo_step))
    alike = Nearest(tuple(known or {}), bounds.tempo_step)
    wanted = {figure: (known or {})[other] for figure in groups if (other := alike.of(figure)) is not None}
    settling = Settling(groups, bounds, free, wanted)
    route = free
    while (settled := settling.settle(route)) is not None:
        route = solve(passage, replace(wishes, others=EVERY_OTHER, settled=settled))
        settling.take_back(route)
    if settling.stale:
        route = solve(passage, replace(wishes, others=EVERY_OTHER, settled=settling.places()))
    return _even(route, free, groups, wishes.others, known or {})


def _even(route: Route, free: Route, groups: Groups, most: int, known: Mapping[Figure, Grip]) -> Even:
    """The answer: what was changed, what is left uneven, and the reasons of both."""
    rows = {figure: [row_of(route.notes[k]) for k in places] for figure, places in groups.items()}
    return Even(
        route=replace(route, notes=tuple(_told(note, free.notes[note.index], most) for note in route.notes)),
        free=free,
        changed=tuple(n.index for n in route.notes if row_of(n) != row_of(free.notes[n.index])),
        uneven=tuple(groups[figure][0] for figure, found in rows.items() if len({*found} - {None}) > 1),
        grips={figure: row for figure, found in rows.items() for row in found if row is not None} | {**known},
    )


def figures_by_id(notes: Sequence[Note], tempo_step: float) -> dict[str, Figure]:
    """The figure of every written note, at its first time."""
    known = figures(notes, tempo_step)
    return {notes[place].id: known[place] for place in first_times(notes)}


def _groups(notes: Sequence[Note], figure: Mapping[str, Figure]) -> Groups:
    groups: dict[Figure, list[int]] = {}
    for place, note in enumerate(notes):
        groups.setdefault(figure[note.id], []).append(place)
    return {each: tuple(places) for each, places in groups.items()}


def _told(note: RouteNote, free: RouteNote, most: int) -> RouteNote:
    """A note with its runners-up among all grips, and the reason where the figure decided."""
    if note.candidate is None or free.candidate is None:
        return replace(note, others=note.others[:most])
    others = (Other(free.candidate, 0.0), *free.others)
    mine = [other.effort_more for other in others if other.candidate.row_grip == note.candidate.row_grip]
    more = min(mine, default=0.0)
    why = note.why
    if free.candidate.row_grip != note.candidate.row_grip:
        here = f"{free.candidate.grip.short} here alone would take {more:.2f} less effort"
        why = f"one grip for this figure; {here}"
    else:
        why = free.why if free.candidate.grip == note.candidate.grip else why
    rest = [other for other in others if other.candidate.grip != note.candidate.grip]
    told = tuple(Other(other.candidate, round(other.effort_more - more, 3)) for other in rest[:most])
    return replace(note, others=told, why=why)
