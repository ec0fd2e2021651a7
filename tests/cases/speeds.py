"""Lines that trained players play at a tempo with standard grips (speeds.csv), as the tool sees them.

Most sources give the tempo of such lines and not the grips; that they are the standard ones is read
between the lines (technical work, tutti parts). `keeps` is `standard`, or `limit` for the one line
whose source calls the standard grips possible but hardly so.
"""

import csv
from dataclasses import dataclass
from fractions import Fraction

from tests.cases.expectations import FOLDER

from gripway.asked.wishes import STANDARD_ONLY, Wishes
from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.pitch import Pitch
from gripway.route.result import Route
from gripway.route.solve import Solver
from gripway.score.notation import read_notation

UNIT = Fraction(1, 16)
HARDEST_LOAD = 1.05
"""Up to this load a change counts as in time: what is played is possible, give or take a twentieth."""

F_SHARP_6 = Pitch.parse("F#6").number
F_SHARP_6_FORMS = (Grip.parse("T L1 L3 | R3 Eb"), Grip.parse("T L1 L3 | R2 Eb"))
"""Teachers allow both in technical work (common practice)."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row: a line slurred at so many milliseconds a note; `alternation` where it is a b a b."""

    text: str
    passage: Passage
    ms: float
    kind: str
    keeps: str
    source: str
    known: str


def read_lines() -> list[Line]:
    """All lines of speeds.csv, in its order."""
    with (FOLDER / "speeds.csv").open(encoding="utf-8", newline="") as stream:
        return [_line(row) for row in csv.DictReader(stream)]


def _line(row: dict[str, str]) -> Line:
    ms = float(row["ms"])
    passage = read_notation(f"({row['passage']})", UNIT, 60_000.0 / (4 * ms))
    return Line(row["passage"], passage, ms, row["kind"], row["keeps"], row["source"], row["known"])


def hardest_load(line: Line, solver: Solver) -> float:
    """The greatest load of the line's standard grips."""
    route = solver.solve(line.passage, Wishes(choose=STANDARD_ONLY))
    return max(change.load for change in route.changes)


def kept_standard(candidate: Candidate | None) -> bool:
    """Whether a note has its standard grip, one of the three B-flats, or F#6 by R2 or R3."""
    if candidate is None:
        return False
    return candidate.usual or (candidate.pitch == F_SHARP_6 and candidate.row_grip in F_SHARP_6_FORMS)


def left_standard(route: Route) -> int:
    """How many notes of a route have left their standard grip."""
    return sum(not kept_standard(note.candidate) for note in route.notes)
