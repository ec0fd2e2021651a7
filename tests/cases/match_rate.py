"""How many cases hold: by the route, by the standard grips only, and by the fewest moving fingers.

Run `python -m tests.cases.match_rate [TABLE.csv ...]`; it also shakes every judged figure by up
to 20 % and tells how many cases still hold.
"""

import csv
import random
import sys
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from tests.cases.expectations import Case, failures, read_cases

from gripway.catalog.effort_figures import EffortTables, effort_tables
from gripway.catalog.grips import grip_rows
from gripway.catalog.instruments import load_instrument
from gripway.catalog.locator import tables_folder
from gripway.catalog.trills import trill_rows
from gripway.model.player import PLAIN_PLAYER
from gripway.route.candidates import Shelf
from gripway.route.request import CHOICES, LEAST_EFFORT, Wishes
from gripway.route.solve import Solver
from gripway.tasks.shelves import survey_of

DRAWS = 30
SHAKE = 0.2


def solver_with(tables: EffortTables) -> Solver:
    """A solver for the plain concert flute with these figures."""
    flute = load_instrument()
    return Solver(Shelf(flute, grip_rows(flute), trill_rows(flute), tables, PLAIN_PLAYER, survey_of(flute)))


def broken_cases(cases: list[Case], solver: Solver, choose: str = LEAST_EFFORT) -> dict[str, list[str]]:
    """The cases that do not hold by id, with the clauses they break."""
    wishes = Wishes(choose=choose)
    found = {case.id: failures(case, solver.solve(case.passage, wishes)) for case in cases}
    return {id_: clauses for id_, clauses in found.items() if clauses}


def shaken(tables: EffortTables, seed: int) -> EffortTables:
    """The tables with every judged figure multiplied by a factor within 1 - SHAKE and 1 + SHAKE."""
    draw = random.Random(seed)

    def shake(value: float) -> float:
        return value * draw.uniform(1.0 - SHAKE, 1.0 + SHAKE)

    figures = {name: shake(getattr(tables.figures, name)) for name in judged("figures", "id")}
    return replace(
        tables,
        figures=replace(tables.figures, **figures),
        finger_weight=_shaken(tables.finger_weight, judged("fingers", "finger"), shake),
        support=_shaken(tables.support, judged("support", "touch"), shake),
        unfamiliarity=_shaken(tables.unfamiliarity, judged("familiarity", "case"), shake),
        response=_shaken(tables.response, judged("response", "response"), shake),
        b_flat=_shaken(tables.b_flat, judged("b_flat", "form", "near"), shake),
        dynamics=MappingProxyType(
            {mark: replace(d, drift_cents=shake(d.drift_cents)) for mark, d in tables.dynamics.items()}
        ),
    )


def _shaken(
    values: Mapping[Any, float], keys: list[Any], shake: Callable[[float], float]
) -> MappingProxyType[Any, float]:
    return MappingProxyType({**values, **{key: shake(values[key]) for key in keys}})


def judged(table: str, *columns: str) -> list[Any]:
    """Keys of the rows of a table of tables/effort that are judgements."""
    path = tables_folder() / "effort" / f"{table}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if row["how"] == "judgement"]
    return [row[columns[0]] if len(columns) == 1 else tuple(row[c] for c in columns) for row in rows]


def robustness(cases: list[Case], draws: int = DRAWS) -> tuple[float, int, dict[str, int]]:
    """Mean and worst number of cases that hold under shaken figures, and how often each case broke."""
    counts, lost = [], dict.fromkeys((case.id for case in cases), 0)
    for seed in range(draws):
        broken = broken_cases(cases, solver_with(shaken(effort_tables(), seed)))
        counts.append(len(cases) - len(broken))
        for id_ in broken:
            lost[id_] += 1
    return sum(counts) / len(counts), min(counts), {id_: n for id_, n in lost.items() if n}


def report(table: str) -> None:
    """Print the match rates of one table."""
    cases = read_cases(table)
    solver = solver_with(effort_tables())
    print(f"{table}: {len(cases)} cases")
    for choose in CHOICES:
        broken = broken_cases(cases, solver, choose)
        print(f"  {choose:9} {len(cases) - len(broken)} hold")
        for id_, clauses in broken.items():
            print(f"    not: {id_}" + (": " + " / ".join(clauses) if choose == LEAST_EFFORT else ""))
    mean, worst, lost = robustness(cases)
    print(f"  judged figures shaken by 20 %, {DRAWS} draws: mean {mean:.1f}, worst {worst}")
    for id_, n in sorted(lost.items(), key=lambda item: -item[1]):
        print(f"    lost in {n} draws: {id_}")


if __name__ == "__main__":
    for table in sys.argv[1:] or ("taught.csv", "held_out.csv"):
        report(table)
