"""A route and what practice makes of it, for tests."""

from gripway.catalog.practice_figures import practice_tables
from gripway.model.passage import Passage
from gripway.practice.cells import Cell, find_cells
from gripway.practice.drills import Drill, drills_of
from gripway.route.request import Wishes
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.tasks.flutes import flute
from gripway.tasks.routes import ready

TABLES = practice_tables()
FIGURES = TABLES.figures

A_MAJOR = "A5 B5 C#6 D6 E6 F#6 G#6 A6 G#6 F#6 E6 D6 C#6 B5 A5"
"""A major up to A6 and down."""


def routed(passage: Passage, wishes: Wishes | None = None) -> tuple[Solver, Route]:
    """The solver and the route of a passage on the concert flute."""
    solver, passage = ready(passage, flute(), wishes or Wishes())
    return solver, solver.solve(passage, wishes or Wishes())


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
