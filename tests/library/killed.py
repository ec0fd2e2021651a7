"""A run of many scores, killed at random moments and gone on with, against an undisturbed one.

    python -m tests.library.killed [--files 2000] [--kills 3] [--seed 1] [--jobs 1] [--scores FOLDER]

The scores are excerpts of three bars of the real parts in `tests/data` (or of FOLDER), over and over,
each with a number of its own. A run is ended by SIGKILL as soon as a random number of marked scores is
there, and a random fraction of a second later. Every marked score that is there then must be whole, and in
the end every file but the state must be that of the undisturbed run. Exit code 1 where anything differs.
"""

import argparse
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.cli.run_gripway import start
from tests.library.small_library import tree

import gripway
from gripway.errors import GripwayError
from gripway.model.passage import Passage
from gripway.tasks.reports import written

DATA = Path(__file__).parents[1] / "data"
BARS = 3
LONGEST = 40
"""Notes up to which an excerpt is taken."""

LAST_BAR = 100
"""Bar in which the last excerpt of a part may begin."""

LATER_S = 0.3
"""The kill comes up to so long after the score it waits for: in the middle of another one."""


def main() -> int:
    """Make the library, run it twice, compare; what was seen is printed."""
    asked = _asked()
    chance = random.Random(asked.seed)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        scores, whole, out = (folder / each for each in ("scores", "whole", "out"))
        notes = _make(scores, asked.files, sorted(asked.scores.glob("*.musicxml")))
        words = ("library", scores, "--jobs", asked.jobs, "--quiet", "--out")
        before = _cpu()
        _finished(start(*words, whole, stdout=subprocess.DEVNULL))
        once = _cpu() - before
        wrong = []
        for due in sorted(chance.sample(range(1, asked.files), asked.kills)):
            process = start(*words, out, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            _kill_after(process, out, due, LATER_S * chance.random())
            there = list(out.rglob("*.musicxml"))
            wrong += [f for f in there if f.read_bytes() != (whole / f.relative_to(out)).read_bytes()]
            print(f"killed with {len(there)} marked scores there", flush=True)
        _finished(start(*words, out, stdout=subprocess.DEVNULL))
        first, second = tree(whole), tree(out)
        differ = sorted(name for name in first.keys() | second if first.get(name) != second.get(name))
        again = _cpu() - before - once
        print(f"{asked.files} scores of {notes} notes, {len(first)} files: undisturbed {once:.1f} s of CPU,")
        print(f"killed {asked.kills} times and gone on with {again:.1f} s;", end=" ")
        print(f"{len(wrong)} broken, {len(differ)} differ")
        print(*wrong[:20], *differ[:20], sep="\n")
        return 1 if wrong or differ or not first else 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    for option, default in (("--files", 2000), ("--kills", 3), ("--seed", 1), ("--jobs", 1)):
        parser.add_argument(option, type=int, default=default)
    parser.add_argument("--scores", type=Path, default=DATA)
    return parser.parse_args()


def _make(folder: Path, files: int, parts: list[Path]) -> int:
    """Write so many scores into a folder; how many notes they have together."""
    excerpts = [each for part in parts for each in _excerpts(part)]
    texts = [written(passage)[0].source.data for passage in excerpts]
    for number in range(files):
        text = texts[number % len(texts)]
        path = folder / f"{number % 20:02}" / f"{number:05}.musicxml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.replace(b"<part-list>", b"<!-- %d --><part-list>" % number, 1))
    return sum(len(excerpts[number % len(excerpts)].notes) for number in range(files))


def _excerpts(part: Path) -> Iterator[Passage]:
    """Stretches of some bars of a part that have some notes, and not many."""
    for first in range(1, LAST_BAR, BARS):
        try:
            passage = gripway.read(part, bars=f"{first}-{first + BARS - 1}").passage
        except GripwayError:
            continue
        if 0 < len(passage.notes) <= LONGEST:
            yield passage


def _kill_after(process: "subprocess.Popen[bytes]", out: Path, due: int, later_s: float) -> None:
    """SIGKILL a run some time after so many marked scores are there."""
    while len(list(out.rglob("*.musicxml"))) < due:
        if process.poll() is not None:
            raise SystemExit("the run ended before it was killed")
        time.sleep(0.05)
    time.sleep(later_s)
    process.kill()
    process.communicate()
    if process.returncode != -signal.SIGKILL:
        raise SystemExit("the run ended before it was killed")


def _finished(process: "subprocess.Popen[bytes]") -> None:
    """Wait for a run that must go well."""
    _, err = process.communicate()
    if process.returncode:
        raise SystemExit(f"gripway library ended with {process.returncode}: {err.decode()[-500:]}")


def _cpu() -> float:
    """CPU seconds of all children so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    sys.exit(main())
