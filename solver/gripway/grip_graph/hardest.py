"""The changes between all pitches of a range, each by itself, and which of them are hardest.

Every change is judged slurred, in a line, in one time from onset to onset. `standard` takes the
standard grips (where a pitch has several, those that change most easily); `best` the two grips that
the search takes for the two notes alone, holding them included.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations, product
from typing import TYPE_CHECKING, Any

from gripway.csv_text import flat
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.setting import Link
from gripway.grip_graph.graph import grips_of
from gripway.model.passage import Note, Passage
from gripway.model.pitch import Pitch, plain_name
from gripway.route.result import RouteChange
from gripway.route.solve import Progress, Solver
from gripway.route.words.reasons import TERM_WORDS

if TYPE_CHECKING:
    import pandas as pd

STANDARD, BEST = "standard", "best"
PAIRS = (STANDARD, BEST)

LOAD, MS, EFFORT, FINGERS = "load", "ms", "effort", "fingers"
MEASURES = (LOAD, MS, EFFORT, FINGERS)
"""What a change can be measured by: load, milliseconds, effort of moving, fingers that move."""

WORK_WORDS = {
    "more fingers": "several fingers",
    "two hands": "both hands",
    "key train": "many keys",
    "swap": "swap",
    "coupling": "ring finger beside a sliding little finger",
    "sidestep": "finger over another touch",
    "lever": "lever to reach for",
}
"""Addends of a change time as a player reads them."""

MOST_REASONS = 3


@dataclass(frozen=True, slots=True)
class PairChange:
    """One change: the two grips, what it takes, and what makes it slow (words and ms, largest first)."""

    before: Candidate
    after: Candidate
    change: RouteChange
    work: tuple[tuple[str, float], ...]
    slide: float

    @property
    def why(self) -> str:
        """What makes it slow, in words, and the parts of its effort that are no finger work."""
        told = [f"{WORK_WORDS.get(name, name)} {ms:+.0f} ms" for name, ms in self.work[:MOST_REASONS]]
        told += [f"a slide (times {self.slide:g})"] if self.slide > 1 else []
        parts = self.change.moving.as_efforts()
        others = [f"{TERM_WORDS[part]} {size:+.2f}" for part, size in parts.items() if part != LOAD]
        beside = f"; effort beside finger work: {', '.join(others)}" if others else ""
        return ", ".join(told) + beside

    def measure(self, name: str) -> float:
        """The change by one of MEASURES, rounded as it is exported."""
        change = self.change
        return {
            LOAD: round(change.load, 3),
            MS: round(change.change_ms, 1),
            EFFORT: change.moving.effort,
            FINGERS: float(len(change.movers)),
        }[name]

    def __repr__(self) -> str:
        return brief(
            self,
            f"{plain_name(self.before.pitch)} to {plain_name(self.after.pitch)}",
            f"load {self.change.load:.2f}",
        )


@dataclass(frozen=True, slots=True)
class HardChanges(Shown):
    """All changes of some pitches (note numbers), in the order of the pitches.

    A pair of pitches without a change in this time (only a thumb slide) is left out; `without` are
    pitches of the range that have no grip, each with its reason.
    """

    instrument: str
    pitches: tuple[int, ...]
    available_ms: float
    pair: str
    changes: tuple[PairChange, ...]
    without: tuple[tuple[int, str], ...] = ()

    def hardest(self, most: int, measure: str = LOAD) -> tuple[PairChange, ...]:
        """The changes with the highest measure, worst first; equal ones in the order of the pitches.

        A change and its way back count once, where they are worse.
        """
        chosen: dict[frozenset[int], PairChange] = {}
        for each in sorted(self.changes, key=lambda change: -change.measure(measure)):
            chosen.setdefault(frozenset((each.before.pitch, each.after.pitch)), each)
        return tuple(chosen.values())[:most]

    def __repr__(self) -> str:
        return brief(
            self,
            self.instrument,
            counted(len(self.pitches), "pitch") if len(self.pitches) == 1 else f"{len(self.pitches)} pitches",
            counted(len(self.changes), "change"),
            f"{self.available_ms:g} ms",
        )


def hard_changes(
    solver: Solver,
    pitches: tuple[int, ...],
    available_ms: float,
    pair: str = STANDARD,
    progress: Progress | None = None,
) -> HardChanges:
    """Every change between two of the pitches."""
    grips = {pitch: grips_of(solver.book, pitch) for pitch in pitches}
    usable = tuple(pitch for pitch in pitches if grips[pitch])
    link = Link(available_ms, 0.0, slurred=True)
    found = []
    orders = list(permutations(usable, 2))
    for done, (low, high) in enumerate(orders):
        if progress and done % 50 == 0:
            progress(done, len(orders))
        if pair == BEST:
            change = _searched(solver, low, high, link)
        else:
            change = _easiest(solver, _standard(grips[low]), _standard(grips[high]), link)
        if change is not None:
            found.append(change)
    without = tuple((pitch, solver.book.why_none(pitch)) for pitch in pitches if not grips[pitch])
    return HardChanges(solver.knowledge.instrument.id, usable, available_ms, pair, tuple(found), without)


def _standard(grips: list[Candidate]) -> list[Candidate]:
    """The standard grips as the tables have them; where there is none, all."""
    return [grip for grip in grips if grip.kind == STANDARD and grip.grip == grip.row_grip] or grips


def _easiest(
    solver: Solver, before: list[Candidate], after: list[Candidate], link: Link
) -> PairChange | None:
    """The pair of grips with the least effort of moving; the first of equal ones."""
    costs = [
        (cost, (a, b))
        for a, b in product(before, after)
        if (cost := solver.model.moving_total(solver.model.step(a, b), link)) is not None
    ]
    if not costs:
        return None
    _, (a, b) = min(costs, key=lambda each: each[0])
    return pair_change(solver, a, b, solver.changes.between(a, b, link))


def _searched(solver: Solver, low: int, high: int, link: Link) -> PairChange | None:
    """The change between the grips that the search takes for two notes alone."""
    time, length = link.available_ms, Fraction(1, 16)
    first = Note("n1", "", Pitch.from_number(low), Fraction(0), length, 0.0, time)
    second = Note("n2", "", Pitch.from_number(high), length, length, time, time, slurred=True)
    route = solver.solve(Passage((first, second)))
    a, b = (note.candidate for note in route.notes)
    return pair_change(solver, a, b, route.changes[0]) if a and b else None


def pair_change(solver: Solver, before: Candidate, after: Candidate, moved: RouteChange) -> PairChange:
    """A change of a route with what makes it slow."""
    change = solver.model.change(before, after)
    sizes: dict[str, float] = {}
    for name, ms in change.line_terms:
        sizes[name] = sizes.get(name, 0.0) + ms
    work = sorted(sizes.items(), key=lambda item: -item[1])
    return PairChange(before, after, moved, tuple(work), change.slide)


def matrix_frame(found: HardChanges, measure: str = LOAD) -> "pd.DataFrame":
    """The changes as a square pandas frame: rows from a pitch, columns to a pitch.

    The diagonal, and a change that is not allowed in the time, is NaN.
    """
    import pandas as pd

    names = [plain_name(pitch) for pitch in found.pitches]
    rows, columns = pd.Index(names, name="from"), pd.Index(names, name="to")
    return pd.DataFrame(matrix_rows(found, measure), index=rows, columns=columns, dtype=float)


def pair_row(each: PairChange) -> dict[str, Any]:
    """One change as plain data."""
    change = each.change
    return {
        "from": plain_name(each.before.pitch),
        "to": plain_name(each.after.pitch),
        "from_grip": each.before.grip.text,
        "to_grip": each.after.grip.text,
        "change_ms": each.measure(MS),
        "available_ms": round(change.available_ms, 1),
        "load": each.measure(LOAD),
        "fingers": len(change.movers),
        "movers": dict(change.movers),
        "lead": change.advice.lead or None,
        "on_the_way": list(change.advice.strays),
        "effort": round(change.moving.effort, 3),
        "parts": change.moving.as_efforts(),
        "why": each.why,
    }


def pair_frame(found: HardChanges, most: int, measure: str = LOAD) -> "pd.DataFrame":
    """The hardest changes as a pandas frame, worst first; lists become text."""
    import pandas as pd

    return pd.DataFrame(pair_rows(found, most, measure))


def pair_rows(found: HardChanges, most: int, measure: str = LOAD) -> list[dict[str, Any]]:
    """The hardest changes as plain rows; lists are text."""
    chosen = found.hardest(most, measure)
    return [{key: flat(value) for key, value in pair_row(each).items()} for each in chosen]


def matrix_rows(found: HardChanges, measure: str = LOAD) -> list[list[float | None]]:
    """The matrix as plain lists, None on the diagonal and where there is no change."""
    cells = {(each.before.pitch, each.after.pitch): each.measure(measure) for each in found.changes}
    return [[cells.get((low, high)) for high in found.pitches] for low in found.pitches]


def hardest_data(found: HardChanges, most: int, measure: str = LOAD) -> dict[str, Any]:
    """The JSON object that `gripway graph --hardest --format json` prints."""
    return {
        "instrument": found.instrument,
        "available_ms": found.available_ms,
        "pair": found.pair,
        "measure": measure,
        "pitches": [plain_name(pitch) for pitch in found.pitches],
        "matrix": matrix_rows(found, measure),
        "hardest": [pair_row(each) for each in found.hardest(most, measure)],
    }
