"""The next hardest bars, for the time that is left where few changes are hard."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell, find_cells
from gripway.practice.cells.hardness import is_easy
from gripway.practice.plan.cell_work import weight_of
from gripway.practice.ways.spots import HardPlace, hard_places, side_by_side
from gripway.practice.ways.way_conditions import is_singing, is_slow, runs
from gripway.route.result import Route


def nearly_hard(
    route: Route, found: Sequence[Cell], minutes: float, figures: PracticeFigures
) -> tuple[HardPlace, ...]:
    """The bars of the next hardest changes, where few are hard: there is time; none of an easy line.

    They take much of the time there is (`next_load`) though every pupil has them, and more than a few fingers
    one way, or where there is nothing else run through many notes; nothing harder is in these bars, nor are
    they mostly repeated notes.
    """
    notes = route.passage.notes
    if not found and (is_slow(notes, figures, figures.music_slow_ms) or is_singing(notes, figures)):
        return ()
    eased = replace(figures, early_load=figures.next_load)
    hard = {place for cell in found for place in range(cell.first + 1, cell.first + len(cell.notes))}
    more = [
        cell
        for cell in find_cells(route, eased)
        if cell.load >= figures.next_load and not ({cell.place} & hard or cell.alone)
    ]
    ranked = sorted(more, key=lambda cell: -weight_of(cell, figures))
    most = min(figures.next_bars, int(minutes // figures.next_bar_min)) - max(0, len(found) - 1)

    def bars_with(cells: Sequence[Cell]) -> list[HardPlace]:
        return [
            place
            for place in hard_places(cells, notes, figures, nearly=True)
            if not hard & {*range(place.first, place.last)}
            if _moves(notes[place.first : place.last + 1], figures)
        ]

    enough = bars_with([cell for cell in ranked if not _is_easy(cell, figures)])
    if not (enough or found):
        enough = [
            each for each in bars_with(ranked) if _is_quick_run(notes[each.first : each.last + 1], figures)
        ]
    return side_by_side(enough)[: max(0, most)]


def _moves(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether notes go on to other ones, but for a few, enough of them quickly."""
    moves = [
        other.onset_ms - one.onset_ms
        for one, other in pairwise(notes)
        if one.pitch.number != other.pitch.number
    ]
    quick = sum(gap_ms <= figures.study_fast_ms for gap_ms in moves)
    return len(moves) > figures.next_moves_share * (len(notes) - 1) and quick >= figures.next_notes


def _is_quick_run(notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether notes too quick for a single tongue run through many others, not to and fro between a few."""
    pitches = {note.pitch.number for note in notes if not note.grace}
    return runs(notes, figures, figures.study_double_ms) and len(pitches) > figures.next_notes


def _is_easy(cell: Cell, figures: PracticeFigures) -> bool:
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    return is_easy(cell.change, before, after, figures)
