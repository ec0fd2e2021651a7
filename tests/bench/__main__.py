"""All of the bench in one command, its figures kept by version in `history.csv` beside this file.

    python -m tests.bench [--quick] [words for pytest, such as -k path]

Rows of this version that are measured again are replaced, all others stay. With --quick, as in `.ci/run`,
sizes are smaller, everything is measured once, and nothing is kept.
"""

import csv
import os
import sys
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

import pytest
from tests.bench.clock import QUICK, ROWS

HERE = Path(__file__).parent
HISTORY = HERE / "history.csv"
HEAD = ("version", "date", "what", "gripway", "unit", "peer", "peer_figure", "ratio")


def main() -> int:
    """Run the bench and keep what it reported."""
    words = [word for word in sys.argv[1:] if word != "--quick"]
    quick = len(words) < len(sys.argv) - 1
    if quick:
        os.environ[QUICK] = "1"
    code = pytest.main(["-m", "bench", "-n", "0", "-s", "-q", str(HERE), *words])
    if quick:
        return int(code)
    known = {}
    if HISTORY.exists():
        with HISTORY.open(newline="", encoding="utf-8") as file:
            known = {_key(row): row for row in list(csv.reader(file))[1:]}
    today = datetime.now(UTC).date().isoformat()
    for what, ours, unit, peer, theirs, ratio in ROWS:
        row = [version("gripway"), today, what, ours, unit, peer, theirs, ratio]
        known[_key(row)] = row
    with HISTORY.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows([HEAD, *(known[key] for key in sorted(known))])
    print(f"\n{len(ROWS)} figures kept in {HISTORY}")
    return int(code)


def _key(row: list[str]) -> tuple[str, str, str]:
    """Version, what was measured, and against whom."""
    return row[0], row[2], row[5]


if __name__ == "__main__":
    sys.exit(main())
