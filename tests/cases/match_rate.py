"""How many cases hold: by the route, by the standard grips only, and by the fewest moving fingers.

Run `python -m tests.cases.match_rate [TABLE.csv ...]`. It shakes every judged figure by up to 20 % and
tells how many cases still hold, and how many recommendations of the route (an unusual grip at a
place) stand under every draw; then what is known of lines at speed (speeds.csv).
"""

import sys
from collections import Counter

from tests.cases.expectations import Case, failures, read_cases
from tests.cases.speeds import HARDEST_LOAD, hardest_load, left_standard, read_lines

from gripway.asked.wishes import CHOICES, LEAST_EFFORT, Wishes
from gripway.candidates.candidates import FluteKnowledge
from gripway.catalog.flute.grips import grip_rows
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.trills import trill_rows
from gripway.catalog.tables.effort_figures import EffortTables, effort_tables
from gripway.effort.shaken_figures import shaken
from gripway.model.passage import Passage
from gripway.model.player import PLAIN_PLAYER
from gripway.route.solve import Solver
from gripway.tasks.flute_knowledge import survey_of

DRAWS = 30
SHAKE = 0.2


def solver_with(tables: EffortTables) -> Solver:
    """A solver for the plain concert flute with these figures."""
    flute = load_instrument()
    return Solver(
        FluteKnowledge(flute, grip_rows(flute), trill_rows(flute), tables, PLAIN_PLAYER, survey_of(flute))
    )


def broken_cases(cases: list[Case], solver: Solver, choose: str = LEAST_EFFORT) -> dict[str, list[str]]:
    """The cases that do not hold by id, with the clauses they break."""
    wishes = Wishes(choose=choose)
    found = {case.id: failures(case, solver.solve(case.passage, wishes)) for case in cases}
    return {id_: clauses for id_, clauses in found.items() if clauses}


def robustness(cases: list[Case], draws: int = DRAWS) -> tuple[float, int, dict[str, int]]:
    """Mean and worst number of cases that hold under shaken figures, and how often each case broke."""
    counts, lost = [], dict.fromkeys((case.id for case in cases), 0)
    for seed in range(draws):
        broken = broken_cases(cases, solver_with(shaken(effort_tables(), seed, SHAKE)))
        counts.append(len(cases) - len(broken))
        for id_ in broken:
            lost[id_] += 1
    return sum(counts) / len(counts), min(counts), {id_: n for id_, n in lost.items() if n}


Advice = tuple[int, int, str]
"""A recommendation: which passage, which note, the grip of the tables."""


def recommendations(passages: list[Passage], solver: Solver) -> set[Advice]:
    """Every note of the routes that is told to take an unusual grip."""
    return {
        (k, note.index, note.candidate.row_grip.text)
        for k, passage in enumerate(passages)
        for note in solver.solve(passage).notes
        if note.candidate is not None and not note.candidate.usual
    }


def standing(passages: list[Passage], draws: int = DRAWS) -> tuple[int, int, float]:
    """How many recommendations there are, how many stand under every draw, and the mean share that stands."""
    told = recommendations(passages, solver_with(effort_tables()))
    stood: Counter[Advice] = Counter()
    for seed in range(draws):
        stood.update(told & recommendations(passages, solver_with(shaken(effort_tables(), seed, SHAKE))))
    always = sum(stood[advice] == draws for advice in told)
    return len(told), always, stood.total() / (draws * len(told)) if told else 1.0


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
    told, always, share = standing([case.passage for case in cases])
    print(f"  {told} recommendations: {always} stand under every draw, in the mean {share:.0%}")


def report_speeds() -> None:
    """Print what the tool makes of the lines of speeds.csv."""
    solver, lines = solver_with(effort_tables()), read_lines()
    standard = [line for line in lines if line.keeps == "standard"]
    loads = {line: hardest_load(line, solver) for line in lines}
    late = [line for line in standard if loads[line] > HARDEST_LOAD]
    print(f"speeds.csv: {len(lines)} lines, {len(standard)} of them kept standard by their sources")
    print(f"  hardest standard change at load {HARDEST_LOAD:g} or less: {len(standard) - len(late)}")
    for line in late:
        print(f"    late: {line.text} at {line.ms:g} ms: {loads[line]:.2f}")
    for line in lines:
        if line.keeps != "standard":
            print(f"  at its limit: {line.text} at {line.ms:g} ms: {loads[line]:.2f}")
    left = {line: left_standard(solver.solve(line.passage)) for line in standard}
    notes = sum(len(line.passage.notes) for line in standard)
    print(f"  notes kept standard: {notes - sum(left.values())} of {notes}")
    for line, count in left.items():
        if count:
            print(f"    left: {count} in {line.text} at {line.ms:g} ms")


if __name__ == "__main__":
    for table in sys.argv[1:] or ("taught.csv", "held_out.csv", "plain.csv"):
        report(table)
    if len(sys.argv) == 1:
        report_speeds()
