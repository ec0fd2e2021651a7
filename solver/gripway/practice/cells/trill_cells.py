"""The trills and tremolos of a part as cells: their two notes to and fro, at their own speed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.asked.wishes import Pin, Wishes
from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.setting import is_fingered_tremolo
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage
from gripway.model.pitch import Pitch
from gripway.practice.cells.cells import Cell, CellPlace, Trill, fingered, quarters_near
from gripway.practice.cells.hardness import is_early, is_new
from gripway.route.result import OPTIMAL, PlayedOrnament, Route, RouteNote
from gripway.route.solve import Solver
from gripway.score.notation_values import DEFAULT_DYNAMIC
from gripway.units import length_ms

TRILL, TREMOLO = "trill", "tremolo"
STEP = Fraction(1, 16)
WIDEST_TRILL = 2
"""Semitones of the widest trill; wider ones are tremolos, or slips of the pen."""

TURNS = 4
"""Times to and fro that the change is judged in, so that it is that of a trill that goes on."""


Side = tuple[Pitch, Grip]


@dataclass(frozen=True, slots=True)
class _Alternation:
    """A note with a trill or tremolo on it, and its two sides, that of the note first."""

    note: RouteNote
    kind: str
    sides: tuple[Side, Side]


def trill_cells(route: Route, solver: Solver, figures: PracticeFigures) -> tuple[Cell, ...]:
    """A cell for each trill but those of one finger that every pupil has (`is_early`), hardest first.

    Its grips are those the route has chosen for it. None for a wide trill, which is asked about. Tremolos
    between two written notes are cells of their own change (`find_cells`).
    """
    alike: dict[tuple[Side, Side], list[_Alternation]] = {}
    for each in _alternations(route):
        alike.setdefault(each.sides, []).append(each)
    made = (_cell_of(notes, route, solver, figures) for notes in alike.values())
    cells = [cell for cell in made if cell and not _is_easy(cell, figures)]
    return tuple(sorted(cells, key=lambda cell: (-cell.hardness(figures), cell.place)))


def _is_easy(cell: Cell, figures: PracticeFigures) -> bool:
    before, after = cell.candidates
    return len(cell.change.movers) == 1 and is_early(before, after, figures)


def is_one_finger_trill(cell: Cell) -> bool:
    """Whether a cell is a trill of one finger on a note with a known grip: without drills it has no work."""
    return cell.trill is not None and len(cell.change.movers) == 1 and not is_new(cell.candidates[0])


def is_wide(ornament: PlayedOrnament) -> bool:
    """Whether it is a trill wider than a whole tone: rarely meant, more often a sign in the wrong place."""
    numbers = [each.pitch.number for each in ornament.notes]
    return ornament.kind == TRILL and max(numbers) - min(numbers) > WIDEST_TRILL


def _alternations(route: Route) -> Iterator[_Alternation]:
    """The trills and tremolos on one note, both of whose grips are known; each written one once."""
    played = [note.note for note in route.notes]
    met: set[str] = set()
    for place, note in enumerate(route.notes):
        ornament = note.ornament
        if ornament is None or ornament.kind not in (TRILL, TREMOLO) or note.note.id in met:
            continue
        if is_wide(ornament):
            continue
        if any(
            is_fingered_tremolo(played, second) for second in (place, place + 1) if 0 < second < len(played)
        ):
            continue
        sides = [(each.pitch, each.candidate.grip) for each in ornament.notes if each.candidate]
        if len(sides) == 2:
            met.add(note.note.id)
            yield _Alternation(note, ornament.kind, (sides[0], sides[1]))


def _cell_of(
    alike: list[_Alternation], route: Route, solver: Solver, figures: PracticeFigures
) -> Cell | None:
    """The cell of a trill that stands on these notes."""
    first = alike[0]
    written = first.note.note
    cell = trill_cell(first.sides, first.kind, written, solver, figures)
    if cell is None:
        return None
    there = quarters_near(route.notes, first.note.index)
    figure = _figure_notes(written, cell, figures) if first.kind == TRILL else 0
    trill = Trill(first.kind, first.note.index, there, written, figure)
    places = tuple(CellPlace(each.note.note.bar, each.note.index) for each in alike)
    return replace(cell, places=places, trill=trill, quarters=there if figure else cell.quarters)


def _figure_notes(written: Note, cell: Cell, figures: PracticeFigures) -> int:
    """How many notes a short trill has time for at its speed, an odd number, 3 at least; else 0."""
    step_ms = length_ms(STEP, cell.goal_quarters)
    count = int(written.length_ms / step_ms)
    return 0 if count > figures.short_trill_notes else max(3, count - 1 + count % 2)


def trill_cell(
    sides: tuple[Side, Side], kind: str, written: Note | None, solver: Solver, figures: PracticeFigures
) -> Cell | None:
    """The cell of a trill between two pitches with their grips; None where no finger can play it so."""
    quarters = figures.trill_quarters_a_minute
    pitches = [pitch for pitch, _ in sides] * TURNS
    pins = tuple(Pin(place, sides[place % 2][1]) for place in range(len(pitches)))
    made = solver.solve(_to_and_fro(pitches, written, quarters), Wishes(pins=pins, others=0))
    if made.status != OPTIMAL:
        return None
    change = next(change for change in made.changes if change.to == len(pitches) - 1)
    two = made.notes[-2:]
    kept = all(fingered(note).grip == grip for note, (_, grip) in zip(two, sides, strict=True))
    trill = Trill(kind, 0, quarters)
    return Cell(two, 1, change, (), quarters, trill=trill) if change.movers and kept else None


def _to_and_fro(pitches: Sequence[Pitch], written: Note | None, quarters: float) -> Passage:
    """Slurred sixteenths, as loud as the written note."""
    return Passage(
        tuple(
            Note(
                id=f"t{place + 1}",
                bar="",
                pitch=pitch,
                onset=place * STEP,
                length=STEP,
                onset_ms=length_ms(place * STEP, quarters),
                length_ms=length_ms(STEP, quarters),
                dynamic=written.dynamic if written else DEFAULT_DYNAMIC,
                slurred=place > 0,
                fifths=written.fifths if written else 0,
            )
            for place, pitch in enumerate(pitches)
        )
    )
