"""Whole processes and calls timed in turn, several times; medians and pairwise ratios are printed."""

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from compileall import compile_dir
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import gripway

QUICK = "GRIPWAY_QUICK_BENCH"
"""Environment variable: when set, one round of everything and smaller sizes, to see that the bench runs."""

GRIPWAY = (str(Path(sys.executable).with_name("gripway")),)
"""The installed command of this environment."""

ROWS: list[tuple[str, str, str, str, str, str]] = []
"""What was reported in this run: what, gripway's figure, its unit, the peer, the peer's figure, the ratio."""


MEASURED = """
import resource, subprocess, sys
code = subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(code, used.ru_utime + used.ru_stime, used.ru_maxrss)
"""
"""Runs a command and says its exit code, CPU seconds and peak memory."""


T = TypeVar("T")


@dataclass(frozen=True)
class Timed:
    """Median seconds of each timing, and of each round's ratio to the first of them."""

    seconds: list[float]
    ratios: list[float]


def cpu_seconds(command: Sequence[str]) -> float:
    """User and system time of one finished process, as the operating system counts it."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def compiled() -> None:
    """Keep the bytecode of the package, as an installer does: a checkout may be told to write none."""
    if not compile_dir(Path(gripway.__file__).parent, quiet=2):
        raise RuntimeError("gripway could not be compiled")


def seconds_and_mib(command: Sequence[str]) -> tuple[int, float, float]:
    """Exit code, CPU seconds and peak MiB of one process.

    It is started by a small one: a process counts the memory of the one it was forked from as its own.
    """
    said = subprocess.check_output([sys.executable, "-c", MEASURED, *command], text=True).split()
    scale = 1024 if sys.platform != "darwin" else 1024**2
    return int(said[0]), float(said[1]), float(said[2]) / scale


def wall(call: Callable[[], object]) -> float:
    """Seconds one call takes in this process."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def cpu(call: Callable[[], object]) -> float:
    """CPU seconds one call takes in this process, whatever else the machine does."""
    start = time.process_time()
    call()
    return time.process_time() - start


def sized(whole: T, quick: T) -> T:
    """A size of the bench: the whole one, or the smaller one where only a quick look is wanted."""
    return quick if os.environ.get(QUICK) else whole


def in_turn(runs: int, *timed: Callable[[], float]) -> Timed:
    """Several timings taken A B A B ... after one uncounted round: a drifting machine drifts for all.

    A quick look is one round, counted.
    """
    for each in sized(timed, ()):
        each()
    runs = sized(runs, 1)
    rounds = [[each() for each in timed] for _ in range(runs)]
    medians = [statistics.median(column) for column in zip(*rounds, strict=True)]
    ratios = [statistics.median(row[k] / row[0] for row in rounds) for k in range(len(timed))]
    return Timed(medians, ratios)


def report(what: str, timed: Timed, *peers: str) -> None:
    """Print a line of the bench for each peer: milliseconds, and how many times the peer takes."""
    ours = f"{1000 * timed.seconds[0]:.1f}"
    line = f"bench: {what:<56} {ours:>8} ms"
    for k, peer in enumerate(peers, start=1):
        theirs = f"{1000 * timed.seconds[k]:.1f}"
        print(f"\n{line}   {peer} {theirs:>8} ms   ratio {timed.ratios[k]:6.2f}", end="")
        ROWS.append((what, ours, "ms", peer, theirs, f"{timed.ratios[k]:.2f}"))
    if not peers:
        print(f"\n{line}", end="")
        ROWS.append((what, ours, "ms", "", "", ""))


def record(what: str, ours: float, unit: str, peer: str = "", theirs: float | None = None) -> None:
    """Keep a figure that has its own way of being printed; the ratio is the peer's over ours."""
    ratio = "" if theirs is None or not ours else f"{theirs / ours:.2f}"
    ROWS.append((what, f"{ours:.4g}", unit, peer, "" if theirs is None else f"{theirs:.4g}", ratio))
