"""A route and what practice makes of it, for tests."""

from functools import cache
from typing import Any

from tests.oracles.flutes import solver_of

from gripway.asked.wishes import Wishes
from gripway.catalog.tables.practice_figures import practice_tables
from gripway.model.passage import Passage
from gripway.practice.cells.cells import Cell, find_cells
from gripway.practice.drills.drills import Drill, drills_of
from gripway.route.result import Route
from gripway.route.solve import Solver

TABLES = practice_tables()
FIGURES = TABLES.figures

A_MAJOR = "A5 B5 C#6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5"
"""A major up to A6 and down."""


@cache
def plain_solver() -> Solver:
    """The solver of the concert flute and the plain player, made once."""
    return solver_of()


def routed(passage: Passage, wishes: Wishes | None = None) -> tuple[Solver, Route]:
    """The solver and the route of a passage on the concert flute; wishes without bans or a player."""
    return plain_solver(), plain_solver().solve(passage, wishes or Wishes())


def cells_in(passage: Passage) -> tuple[Cell, ...]:
    """The cells of a passage."""
    return find_cells(routed(passage)[1], FIGURES)


def drills_in(passage: Passage) -> list[tuple[Cell, Drill]]:
    """Every drill of every cell of a passage."""
    solver, route = routed(passage)
    return [
        (cell, drill)
        for cell in find_cells(route, FIGURES)
        for drill in drills_of(cell, solver, route.notes, TABLES)
    ]


def joined_notes(part: Any) -> list[tuple[float, float]]:
    """MIDI number and offset (quarters) of the sounding notes of a music21 part, ties joined by their marks.

    Its own joining compares accidentals too, and takes a tied natural for another note.
    """
    notes = [n for n in part.flatten().notes if n.tie is None or n.tie.type == "start"]
    return [(n.pitch.ps, n.offset) for n in notes]
