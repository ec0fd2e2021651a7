"""Hands by brute force: every way nine fingers can press a grip, from the table of reaches alone."""

import csv
from functools import cache
from itertools import product
from pathlib import Path

REACHES = Path(__file__).parents[2] / "tables" / "instruments" / "concert-flute" / "reach.csv"
FINGERS = ("LT", "L1", "L2", "L3", "L4", "R1", "R2", "R3", "R4")

Hands = tuple[frozenset[str], ...]
"""What each finger presses, in the order of FINGERS."""


@cache
def reaches(parts: frozenset[str]) -> dict[str, tuple[frozenset[str], ...]]:
    """For each finger the sets of touches it can press at once on a flute with these parts."""
    found: dict[str, list[frozenset[str]]] = {finger: [frozenset()] for finger in FINGERS}
    with REACHES.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            if set(row["needs"].split()) <= parts:
                found[row["finger"]].append(frozenset(row["touches"].split()))
    return {finger: tuple(options) for finger, options in found.items()}


@cache
def ways(grip: str, parts: frozenset[str] = frozenset()) -> frozenset[Hands]:
    """Every way to press exactly the touches of a grip, no touch with two fingers; empty: impossible."""
    touches = frozenset(grip.replace("|", " ").split())
    fitting = [[r for r in reaches(parts)[finger] if r <= touches] for finger in FINGERS]
    return frozenset(
        hands
        for hands in product(*fitting)
        if frozenset().union(*hands) == touches and sum(map(len, hands)) == len(touches)
    )


def possible_movers(one: str, other: str, parts: frozenset[str] = frozenset()) -> set[tuple[str, ...]]:
    """The sets of fingers that press something else, over all ways to hold two grips."""
    return {
        tuple(f for f, a, b in zip(FINGERS, first, second, strict=True) if a != b)
        for first in ways(one, parts)
        for second in ways(other, parts)
    }
