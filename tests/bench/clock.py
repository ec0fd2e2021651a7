"""Whole processes and calls timed in turn, several times; medians and pairwise ratios are printed."""

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

GRIPWAY = (str(Path(sys.executable).with_name("gripway")),)
"""The installed command of this environment."""


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


def wall(call: Callable[[], object]) -> float:
    """Seconds one call takes in this process."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def in_turn(runs: int, *timed: Callable[[], float]) -> Timed:
    """Several timings taken A B A B ... after one uncounted round: a drifting machine drifts for all."""
    for each in timed:
        each()
    rounds = [[each() for each in timed] for _ in range(runs)]
    medians = [statistics.median(column) for column in zip(*rounds, strict=True)]
    ratios = [statistics.median(row[k] / row[0] for row in rounds) for k in range(len(timed))]
    return Timed(medians, ratios)


def report(what: str, timed: Timed, *peers: str) -> None:
    """Print a line of the bench for each peer: milliseconds, and how many times the peer takes."""
    line = f"bench: {what:<56} {1000 * timed.seconds[0]:8.1f} ms"
    for k, peer in enumerate(peers, start=1):
        print(f"\n{line}   {peer} {1000 * timed.seconds[k]:8.1f} ms   ratio {timed.ratios[k]:6.2f}", end="")
    if not peers:
        print(f"\n{line}", end="")
