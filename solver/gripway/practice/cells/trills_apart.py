"""The line of a passage without its trills of special grips: first the run, then the trill, then both."""

from collections.abc import Iterator
from dataclasses import replace

from gripway.asked.limits import NO_LIMITS
from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.cells.cells import fingered
from gripway.practice.cells.hardness import hardness, is_new
from gripway.route.result import OPTIMAL, Route, RouteChange, RouteNote
from gripway.route.solve import Solver
from gripway.route.words.trill_words import is_told

BESIDE = 1
"""Notes on either side of a trill whose grips are looked for anew without it."""


def line_of(route: Route, wishes: Wishes, solver: Solver, figures: PracticeFigures) -> Route:
    """The route without the trills that alone make a change hard, by a grip taken for nothing else.

    All other notes keep their grips but those right beside such a trill. The route itself where there are
    none, or where the notes without their trills make no route.
    """
    apart = set(_apart(route, figures))
    if not apart:
        return route
    notes = tuple(
        replace(note, ornament=None) if place in apart else note
        for place, note in enumerate(route.passage.notes)
    )
    free = {place + off for place in apart for off in range(-BESIDE, BESIDE + 1)}
    pinned = {pin.note for pin in wishes.pins}
    pins = [
        Pin(note.index, note.candidate.grip)
        for note in route.notes
        if note.candidate and note.index not in free and not pinned & {note.index, note.note.id}
    ]
    asked = replace(wishes, pins=(*wishes.pins, *pins), others=0, limits=NO_LIMITS, curve=False)
    found = solver.solve(replace(route.passage, notes=notes), asked)
    return found if found.status == OPTIMAL else route


def apart_of(route: Route, line: Route) -> tuple[RouteNote, ...]:
    """The notes of a route whose trills its line leaves out, each written one once."""
    left = (
        note
        for note, plain in zip(route.notes, line.notes, strict=True)
        if note.note.ornament and not plain.note.ornament
    )
    return tuple({note.note.id: note for note in left}.values())


def _apart(route: Route, figures: PracticeFigures) -> Iterator[int]:
    """The notes whose trills have grips of their own that make the change into or out of them hard."""
    changes = {change.to: change for change in route.changes}
    for place, note in enumerate(route.notes):
        if not (
            note.candidate and is_new(note.candidate) and is_told(note) and _for_trills_only(note, route)
        ):
            continue
        beside = [changes[to] for to in (place, place + 1) if to in changes]
        if any(_is_hard(change, route, figures) for change in beside):
            yield place


def _is_hard(change: RouteChange, route: Route, figures: PracticeFigures) -> bool:
    """Whether a change is worth practising."""
    before, after = (fingered(note) for note in route.notes[change.to - 1 : change.to + 1])
    return hardness(change, before, after, figures) >= 1


def _for_trills_only(note: RouteNote, route: Route) -> bool:
    """Whether every note with the grip of this one is a trill or tremolo."""
    grip = note.candidate.row_grip if note.candidate else None
    same = (each for each in route.notes if each.note.pitch.number == note.note.pitch.number)
    return all(is_told(each) for each in same if each.candidate and each.candidate.row_grip == grip)
