"""Trills wider than any, as they are likelier meant: to the next note of the key, with its grips."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.asked.wishes import Wishes
from gripway.model.pitch import Pitch
from gripway.practice.cells.trill_cells import WIDEST_TRILL, is_wide
from gripway.route.result import Route, RouteNote
from gripway.route.solve import Solver
from gripway.route.tempo.tempo_threshold import around
from gripway.score.spelling import fifths_alters


def likelier_trills(route: Route, wishes: Wishes, solver: Solver) -> tuple[RouteNote, ...]:
    """The notes with such trills, each once, with the trill of the key; none where that is wide too."""
    found: dict[str, RouteNote] = {}
    for note in route.notes:
        if note.ornament and is_wide(note.ornament) and note.note.id not in found:
            for each in _of_the_key(note, route, wishes, solver):
                found[note.note.id] = each
    return tuple(found.values())


def _of_the_key(note: RouteNote, route: Route, wishes: Wishes, solver: Solver) -> Iterator[RouteNote]:
    written = note.note
    ornament = written.ornament
    if ornament is None or ornament.upper is None:
        return
    step = ornament.upper.step
    upper = Pitch(step, fifths_alters(written.fifths).get(step, 0), ornament.upper.octave)
    if not 0 < upper.number - written.pitch.number <= WIDEST_TRILL:
        return
    meant = replace(written, ornament=replace(ornament, upper=upper))
    notes = tuple(meant if each is written else each for each in route.passage.notes)
    part = around(replace(route.passage, notes=notes), note.index)
    made = solver.solve(part, replace(wishes, pins=(), others=0))
    yield from (each for each in made.notes if each.note is meant and each.ornament)
