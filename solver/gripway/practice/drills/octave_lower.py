"""High notes an octave lower first: for changes that are too high to begin a day with."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from gripway.asked.wishes import Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Passage
from gripway.practice.cells.beat_grid import QUARTER, BeatGrid
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.short_passages import Laid
from gripway.practice.drills.rhythms import EIGHTH
from gripway.route.result import OPTIMAL, RouteNote
from gripway.route.solve import Solver

PICCOLO = "piccolo"


def is_high(cell: Cell, figures: PracticeFigures) -> bool:
    """Whether both notes of the worst change are high."""
    pair = cell.notes[cell.worst - 1 : cell.worst + 1]
    return all(each.note.pitch.number >= figures.high_change_note_number for each in pair)


def are_tiring(laid: Sequence[Laid], figures: PracticeFigures) -> bool:
    """Whether there are notes so high that again and again loud they tire lips and ears."""
    return any(each.note.note.pitch.number >= figures.loud_most_note_number for each in laid)


def tables_of_flute(flute: str, tables: PracticeTables) -> PracticeTables:
    """The tables for a flute (its id): on the piccolo notes are high from lower ones on."""
    if flute != PICCOLO:
        return tables
    edge, lowest = tables.figures.piccolo_high_note_number, tables.figures.piccolo_lowest_note_number
    figures = replace(
        tables.figures,
        study_high_note_number=edge,
        high_change_note_number=edge,
        flute_lowest_note_number=lowest,
    )
    return replace(tables, figures=figures)


def octave_lower(cell: Cell, solver: Solver, grid: BeatGrid) -> list[Laid]:
    """The notes of the worst change an octave lower, long, then as written, short; empty without grips."""
    pair = cell.notes[cell.worst - 1 : cell.worst + 1]
    lower = [
        replace(each.note, pitch=replace(each.note.pitch, octave=each.note.pitch.octave - 1)) for each in pair
    ]
    route = solver.solve(Passage(tuple(lower)), Wishes(others=0))
    if route.status != OPTIMAL:
        return []
    short = EIGHTH if grid.compound else QUARTER
    laid = [*_slurred(route.notes, grid.half_bar), *_slurred(pair, short)]
    rest = -sum((each.length for each in laid), Fraction(0)) % grid.bar
    return [*laid[:-1], replace(laid[-1], rest=rest)]


def _slurred(pair: tuple[RouteNote, ...], length: Fraction) -> list[Laid]:
    """Two notes, the second slurred to the first."""
    return [Laid(each, length, place > 0) for place, each in enumerate(pair)]
