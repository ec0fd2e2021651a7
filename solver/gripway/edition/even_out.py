"""One grip for one figure, for a marked score: the limit *same figure same grip*, kept as far as can be.

The search judges each note with its neighbours, so that the same figure (`model/figures.py`) can come
out with two grips where the wider way differs. For a marked score the limited search (`limited_path`)
finds the least effort with one grip of the tables for each figure; a figure another part has already
keeps its grip where it can be, and a sustained note without a trill is kept from grips meant for trills
only. Pins come first: notes of a figure that have no grip in common keep what they have, as few of them
as can be, and the answer says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gripway.asked.wishes import Wishes
from gripway.candidates.note_columns import pins_by_place, trilled
from gripway.edition.one_grip_per_figure import OneGripPerFigure, Settled, Want
from gripway.effort.candidate import Candidate
from gripway.limits.answer import solve_within, terms_for
from gripway.model.figures import Figure, FigureBounds, Nearest, figure_places, no_place_for_trills
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage
from gripway.route.ground import Ground
from gripway.route.result import CONFLICT, Other, Route, RouteNote
from gripway.route.solve import Progress, Solver, Told

EVERY_OTHER = 10_000
"""More runners-up than any note has."""

Groups = Mapping[Figure, tuple[int, ...]]
"""Indices of the notes of each figure, with every time a repeat plays them."""


@dataclass(frozen=True, slots=True)
class Even:
    """A route with one grip a figure.

    `free` is the route before figures were looked at; `changed` are the indices of notes whose
    grip differs from it, `uneven` those of a note of each figure that still has two grips,
    because pins or the flute leave no choice. `grips` has the grip of every figure.
    """

    route: Route
    free: Route
    changed: tuple[int, ...] = ()
    uneven: tuple[int, ...] = ()
    grips: Mapping[Figure, Grip] = field(default_factory=dict)


def even_route(
    solver: Solver,
    passage: Passage,
    wishes: Wishes,
    bounds: FigureBounds,
    whole: Sequence[Note] | None = None,
    known: Mapping[Figure, Grip] | None = None,
    progress: Progress | None = None,
) -> Even:
    """The route in which every figure has one grip.

    `whole` are the notes of the complete part where the passage is only some bars of it. `known` are
    figures of other parts with their grips, which are kept where they can be.
    """
    groups = figure_places(passage.notes, bounds.tempo_step, whole)
    wishes = replace(wishes, settled_trills=tuple(_trills(passage, wishes, groups)))
    asked = replace(wishes, others=EVERY_OTHER)
    if wishes.limits:
        free, ground = solve_within(solver, passage, asked, progress), None
    else:
        free, ground = solver.solved(passage, asked, progress)
    alike = Nearest(tuple(known or {}), bounds.tempo_step)
    wants = [
        Want(places, None if (other := alike.of(figure)) is None else (known or {})[other])
        for figure, places in groups.items()
    ]
    route = free
    if free.status != CONFLICT and not _is_even(free, wants, bounds):
        ground = ground or solver.ground(passage, wishes)
        settled = _settled(solver, passage, ground, wishes, bounds, wants)
        asked = replace(asked, settled=settled.grips)
        if wishes.limits:
            found = solve_within(solver, passage, asked, progress)
        else:
            found, _ = solver.solved(passage, asked, progress, settled.milli, _with_other_fingers(free))
        route = free if found.status == CONFLICT else found
    return _even(route, free, groups, wishes.others, known or {})


def _with_other_fingers(free: Route) -> Told:
    """The notes with their grip of the free route but with other fingers held, or with none there.

    Of all others the answer gives the reasons of the free route, or that of the figure.
    """

    def told(index: int, candidate: Candidate) -> bool:
        before = free.notes[index].candidate
        if before is None:
            return True
        return before.row_grip == candidate.row_grip and before.grip != candidate.grip

    return told


def _trills(passage: Passage, wishes: Wishes, groups: Groups) -> Iterator[tuple[int, Grip]]:
    """The notes of figures of which one has the pair of its trill pinned, with the grip it goes to."""
    pinned = pins_by_place(passage.notes, wishes)
    if not any(pin.moving.mask for pin in pinned.values()):
        return
    for places in groups.values():
        mine = [pinned[place] for place in places if place in pinned]
        grips = {trilled(pin.grip, pin.moving) for pin in mine if pin.moving.mask}
        if len(grips) == 1:
            (grip,) = grips
            yield from ((place, grip) for place in places if place not in pinned)


def _is_even(route: Route, wants: Sequence[Want], bounds: FigureBounds) -> bool:
    """Whether every figure has one grip, that of other parts if there is one, and no trill grip is amiss."""
    for want in wants:
        notes = [route.notes[place] for place in want.places]
        rows = {row for note in notes if (row := row_of(note)) is not None}
        if len(rows) > 1 or (want.grip is not None and not rows <= {want.grip}):
            return False
        if any(note.candidate and _amiss(note.note, note.candidate, bounds) for note in notes):
            return False
    return True


def _amiss(note: Note, candidate: Candidate, bounds: FigureBounds) -> bool:
    return candidate.kind == "trill" and no_place_for_trills(note, bounds.sustained_ms)


def _settled(
    solver: Solver,
    passage: Passage,
    ground: Ground,
    wishes: Wishes,
    bounds: FigureBounds,
    wants: Sequence[Want],
) -> Settled:
    """The notes of figures with the grips of the tables that the limited search gives them."""
    terms = terms_for(solver, passage, ground)(replace(wishes.limits, same_figure=False))
    network = terms.network([piece.trellis for piece in ground.pieces])
    spoilt = [
        [_amiss(passage.notes[place], candidate, bounds) for candidate in column]
        for place, column in zip(network.places, network.columns, strict=True)
    ]
    return OneGripPerFigure(network, wants, spoilt, wishes.limits.seconds).settled()


def row_of(note: RouteNote) -> Grip | None:
    """The grip of the tables that a note of a route has, whatever fingers are held."""
    return note.candidate.row_grip if note.candidate else None


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
