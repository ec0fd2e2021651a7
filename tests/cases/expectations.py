"""Taught cases: a passage, and what its route must show, in a small language of our own.

An expectation is a list of clauses between semicolons; notes are counted from 1:
`3 has T L1` | `3 lacks Tb R1` | `3 one of Sb R1` | `3 is T L2 L3 | Eb or T L2 L3 |` |
`3 any of R1 R2 R3` | `3 kind standard` | `3 not kind harmonic` | `3 5 7 same` | `1-2 one touch` |
`no thumb slide` | `hardest 2-3 or 3-4` |
`prefer 2 Sb` (a wish: read, never counted).
"""

import csv
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.score.notation import read_notation

FOLDER = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Case:
    """One row of a table of cases."""

    id: str
    passage: Passage
    expect: tuple[str, ...]
    source: str
    note: str


def read_cases(name: str) -> list[Case]:
    """All cases of a table in this folder, in its order."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as stream:
        return [_case(row) for row in csv.DictReader(stream)]


def _case(row: dict[str, str]) -> Case:
    passage = read_notation(row["passage"], Fraction(row["unit"]), float(row["tempo"]), int(row["fifths"]))
    clauses = tuple(clause.strip() for clause in row["expect"].split(";"))
    return Case(row["id"], passage, clauses, row["source"], row["note"])


def failures(case: Case, route: Route) -> list[str]:
    """The clauses of a case its route breaks, with what the route has instead."""
    broken = [clause for clause in case.expect if not holds(clause, route)]
    return [f"{clause} (route: {'; '.join(_grips(route))})" for clause in broken]


def holds(clause: str, route: Route) -> bool:
    """Whether a route does what one clause says. ValueError for a clause that says nothing."""
    if clause.startswith("prefer "):
        return True
    if clause == "no thumb slide":
        return all(("LT", "slide") not in change.movers for change in route.changes)
    if clause.startswith("hardest "):
        changes = re.findall(r"(\d+)-(\d+)", clause)
        return bool(route.hardest) and (str(route.hardest[0]), str(route.hardest[0] + 1)) in changes
    if match := re.fullmatch(r"([\d ]+) same", clause):
        return len({_grip(route, int(number)) for number in match[1].split()}) == 1
    if match := re.fullmatch(r"(\d+)-(\d+) one touch", clause):
        first, second = (_grip(route, int(number)) for number in match.groups())
        return bool(first and second and (first.mask ^ second.mask).bit_count() == 1)
    if match := re.fullmatch(r"(\d+) (has|lacks|one of|any of|is|kind|not kind) (.+)", clause):
        return _note_holds(route, int(match[1]), match[2], match[3])
    raise ValueError(f"no such clause: {clause!r}")


def _note_holds(route: Route, number: int, verb: str, rest: str) -> bool:
    grip = _grip(route, number)
    if grip is None:
        return False
    if verb == "is":
        return grip in {Grip.parse(text) for text in rest.split(" or ")}
    kind = route.notes[number - 1].candidate.kind  # type: ignore[union-attr]
    if verb in ("kind", "not kind"):
        return (kind in rest.split()) == (verb == "kind")
    pressed = [grip.has(touch) for touch in rest.split()]
    told = {
        "has": all(pressed),
        "lacks": not any(pressed),
        "one of": sum(pressed) == 1,
        "any of": any(pressed),
    }
    return told[verb]


def _grip(route: Route, number: int) -> Grip | None:
    candidate = route.notes[number - 1].candidate
    return candidate.grip if candidate else None


def _grips(route: Route) -> list[str]:
    return [f"{note.note.pitch} {note.candidate.grip if note.candidate else '-'}" for note in route.notes]
