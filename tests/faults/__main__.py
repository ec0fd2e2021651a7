"""`python -m tests.faults`: damages all that is read and all that is written, and prints what held.

Every case is made from the seed, its section and its number; `--again SECTION NUMBER` shows and asks one again.
"""

import argparse
import gc
import os
import re
import shlex
import sys
import tempfile
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from tests.faults.clients import under_clients
from tests.faults.judging import ANSWERED, REFUSED, chance_of, verdict
from tests.faults.own_cases import LOGS, OWN_FILES
from tests.faults.running import Kept, in_turns, verdicts_of
from tests.faults.score_cases import SCORES
from tests.faults.seeds import EXAMPLES, bases
from tests.faults.surroundings import clock, odd_place
from tests.faults.word_cases import NOTES, OPTIONS
from tests.faults.writers import WRITERS, full, killed, prepared, time_of

SECTIONS = {section.name: section for section in (*SCORES, NOTES, *OWN_FILES, LOGS, OPTIONS)}
MANUAL = EXAMPLES / "manual" / "faults.md"
WARM = 10
"""Cases of each section that are asked first, so that the workers begin with what they need."""

Found = tuple[str, Counter[str]]
"""A section, and how its cases went."""


def arguments() -> argparse.Namespace:
    """How many cases of each kind, the seed, and where the table is written."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    for name, number, words in (
        ("scores", 2000, "damaged scores, in all"), ("notes", 1000, "lines of notes"),
        ("own", 400, "files of each kind of a player's own"), ("logs", 200, "practice logs"),
        ("options", 400, "odd options"), ("kills", 20, "kills of each writer"),
        ("full", 20, "full disks for each writer"), ("places", 50, "odd homes, locales, terminals, streams"),
        ("clocks", 10, "logs under a clock that jumps"), ("clients", 20, "clients of the page at a time"),
        ("requests", 10, "requests of each client"), ("seed", 1, "the seed"), ("workers", 2, "processes at a time"),
    ):  # fmt: skip
        parser.add_argument(f"--{name}", type=int, default=number, help=f"{words} [{number}]")
    parser.add_argument(
        "--keep",
        type=lambda name: Path(name).resolve(),
        metavar="FILE",
        help="keep what is done, and go on from there",
    )
    parser.add_argument("--so-far", action="store_true", help="ask nothing more of what --keep has")
    parser.add_argument("--manual", action="store_true", help=f"write the table into {MANUAL.name}")
    parser.add_argument(
        "--again", nargs=2, metavar=("SECTION", "NUMBER"), help="ask one case again and show it"
    )
    return parser.parse_args()


def _verdict(asked: argparse.Namespace) -> Callable[[str, int], str]:
    def of(name: str, number: int) -> str:
        section = SECTIONS[name]
        return verdict(section.make(chance_of(asked.seed, section.name, number)))

    return of


def _counted(name: str, cases: Iterable[tuple[int, str]]) -> Found:
    """How cases went; what did not hold is said on standard error with its number."""
    counts: Counter[str] = Counter()
    for number, found in cases:
        counts[found if found in (ANSWERED, REFUSED) else "fault"] += 1
        if found not in (ANSWERED, REFUSED):
            print(f"{name} {number}: {found}", file=sys.stderr, flush=True)
    return name, counts


def _at_home() -> None:
    """A folder and a cache of this run's own."""
    folder = tempfile.mkdtemp(prefix="gripway-faults-")
    os.environ["XDG_CACHE_HOME"] = f"{folder}/cache"
    os.chdir(folder)


def damaged_cases(asked: argparse.Namespace) -> list[Found]:
    """All sections whose cases are asked inside this process, or what earlier runs kept of them."""
    numbers = {section.name: asked.scores // len(SCORES) for section in SCORES}
    numbers |= {section.name: asked.own for section in OWN_FILES}
    numbers |= {NOTES.name: asked.notes, OPTIONS.name: asked.options, LOGS.name: asked.logs}
    kept = Kept(asked.keep, asked.seed)
    before = kept.before()
    total: dict[str, Counter[str]] = {name: Counter() for name in numbers}
    for chunk, counts in before.items():
        total[chunk.section].update(counts)
    if not asked.so_far:
        _at_home()
        ask_one = _verdict(asked)
        for name in (name for name, most in numbers.items() if most):
            for number in range(WARM):
                ask_one(name, number)
        gc.freeze()
        chunks = in_turns(numbers, before)
        for chunk, cases in verdicts_of(chunks, asked.workers, ask_one):
            _, counts = _counted(chunk.section, cases)
            kept.add(chunk, counts)
            total[chunk.section].update(counts)
    return list(total.items())


def writers(asked: argparse.Namespace) -> list[Found]:
    """Every writer killed, and on a full disk."""
    _at_home()
    whole = prepared(Path.cwd(), bases()[0])
    kills: list[tuple[int, str]] = []
    fulls: list[tuple[int, str]] = []
    for name in WRITERS:
        took_s = time_of(name)
        kills += [
            (n, killed(name, whole[name], chance_of(asked.seed, name, n), took_s)) for n in range(asked.kills)
        ]
        fulls += [
            (n, full(name, whole[name], chance_of(asked.seed, f"full {name}", n))) for n in range(asked.full)
        ]
    return [_counted("writers killed (kill -9)", kills), _counted("writers on a full disk", fulls)]


def processes(asked: argparse.Namespace) -> list[Found]:
    """Odd surroundings, clocks and the page under its clients."""
    places = ((n, odd_place(chance_of(asked.seed, "places", n))) for n in range(asked.places))
    clocks = ((n, clock(chance_of(asked.seed, "clocks", n), Path.cwd())) for n in range(asked.clocks))
    found = [_counted("odd homes, locales, terminals, streams", places), _counted("clock backwards", clocks)]
    if asked.clients * asked.requests:
        answers = under_clients(asked.clients, asked.requests, asked.seed)
        cases = ((0, text) for text, many in answers.items() for _ in range(many))
        found.append(_counted(f"page under {asked.clients} clients", cases))
    return found


def table(found: Iterable[Found]) -> str:
    """The Markdown table: what was tried, how often it was answered and refused, and what did not hold."""
    rows = [
        f"| {name} | {sum(counts.values()):,} | {counts[ANSWERED]:,} | {counts[REFUSED]:,} | {counts['fault']:,} |"
        for name, counts in found
        if sum(counts.values())
    ]
    return "\n".join(
        ("| tried | cases | answered | refused | faults |", "| --- | --- | --- | --- | --- |", *rows)
    )


def with_table(text: str, rows: str, words: Sequence[str]) -> str:
    """The topic of the manual with this day, the command and the table in place of those that stand there."""
    ours = [word for word in words if word not in ("--manual", "--so-far")]
    if "--keep" in ours:
        at = ours.index("--keep")
        del ours[at : at + 2]
    command = textwrap.wrap(
        shlex.join(["python", "-m", "tests.faults", *ours]),
        100,
        subsequent_indent="  ",
        break_on_hyphens=False,
    )
    lines = " \\\n".join(command)
    today = f"of {datetime.now(UTC):%Y-%m-%d}:"
    text = re.sub(r"of \d{4}-\d\d-\d\d:", today, text, count=1)
    text = re.sub(r"(?s)(?<=```sh\n).*?(?=\n```)", lambda _: lines, text, count=1)
    return re.sub(r"(?m)(^\|.*\n)+", lambda _: rows + "\n", text, count=1)


def main() -> int:
    """Run the suite; exit 1 where something did not hold."""
    asked = arguments()
    if asked.again:
        _at_home()
        section, number = SECTIONS[asked.again[0]], int(asked.again[1])
        case = section.make(chance_of(asked.seed, section.name, number))
        print(case.words, *case.files.items(), case.stdin, verdict(case), sep="\n")
        return 0
    steps: tuple[Callable[[argparse.Namespace], list[Found]], ...] = (damaged_cases, writers, processes)
    found: list[Found] = []
    for step in steps:
        found += step(asked)
    print(table(found))
    if asked.manual:
        MANUAL.write_text(with_table(MANUAL.read_text(), table(found), sys.argv[1:]))
    return 1 if any(counts["fault"] for _, counts in found) else 0


if __name__ == "__main__":
    sys.exit(main())
