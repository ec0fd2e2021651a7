"""Whole processes and calls timed in turn, several times; medians and their ratio are printed."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence

GRIPWAY = (sys.executable, "-m", "gripway")


def cpu_seconds(command: Sequence[str]) -> float:
    """User and system time of one finished process, as the operating system counts it."""
    before = os.times()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    after = os.times()
    return after.children_user - before.children_user + after.children_system - before.children_system


def in_turn(runs: int, *timed: Callable[[], float]) -> list[float]:
    """Medians of several timings taken A B A B ... after one uncounted round."""
    for each in timed:
        each()
    rounds = [[each() for each in timed] for _ in range(runs)]
    return [statistics.median(column) for column in zip(*rounds, strict=True)]


def wall(call: Callable[[], object]) -> float:
    """Seconds one call takes in this process."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def row(what: str, ours: float, peer_name: str = "", peer: float = 0.0) -> None:
    """Print one line of the bench: milliseconds, and how many times the peer takes."""
    against = f"   {peer_name} {1000 * peer:9.1f} ms   ratio {peer / ours:6.1f}" if peer_name else ""
    print(f"\nbench: {what:<58} {1000 * ours:9.1f} ms{against}", end="")
