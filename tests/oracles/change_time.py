"""The time of a change by a second way: read from the tables' text, finger by finger, as a sum.

Written from the reading `time = base x slowest finger x (1 + sum of shares) x slide x context`,
without a line of the code under test but the two hand positions and the count of holes.
"""

import csv
from functools import cache
from pathlib import Path

from gripway.catalog.locator import tables_folder
from gripway.effort.position import Position

FINGERS = ["LT", "L1", "L2", "L3", "L4", "R1", "R2", "R3", "R4"]
FAR_TOUCHES = {"Sb", "Kd", "Kds", "Kcs", "Hc"}


@cache
def column(table: str, key: str, value: str) -> dict[str, float]:
    """One column of a table of tables/effort, as numbers by key."""
    path = Path(str(tables_folder())) / "effort" / f"{table}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return {row[key]: float(row[value]) for row in csv.DictReader(stream)}


def figure(name: str) -> float:
    """One figure by its id."""
    return column("figures", "id", "value")[name]


def change_ms(before: Position, after: Position, holes: int, alternation: float = 0.0) -> float:
    """Milliseconds for the change; `alternation` 1 is a trill at full speed, 0 a line."""
    places = list(zip(FINGERS, before.left + before.right, after.left + after.right, strict=True))
    moves = {finger: (a, b) for finger, a, b in places if a != b and (_down(a) or _down(b))}
    if not moves:
        return 0.0
    weights = column("fingers", "finger", "weight")
    shares = figure("more_fingers") * (len(moves) - 1)
    shares += figure("key_train") * max(holes - 1, 0)
    left, right = ({f: m for f, m in moves.items() if f[0] == hand} for hand in "LR")
    shares += figure("two_hands") if left and right else 0.0
    for hand, moved in (("L", left), ("R", right)):
        shares += _hand_share(hand, moved)
    lever = sum(figure("reach") for a, b in moves.values() if _is_far_lever(a, b))
    slide = max(_slide(finger, move) for finger, move in moves.items())
    base = figure("base") * max(weights[finger] for finger in moves) * slide
    context = figure("line") + (1 - figure("line")) * alternation
    return context * base * (1 + shares + lever * (1 - alternation))


def _down(place: str) -> bool:
    return place != "" and not place.startswith("-")


def _slides(a: str, b: str) -> bool:
    """Down on one touch and down on another, but R1 between plate and side lever lifts."""
    return _down(a) and _down(b) and {a, b} != {"R1", "Sb"}


def _slide(finger: str, move: tuple[str, str]) -> float:
    if not _slides(*move):
        return 1.0
    if finger == "LT":
        return figure("slide_thumb")
    rollers = set(" ".join(move).split()) <= {"Cs", "C", "B"}
    return figure("slide_roller") if rollers else figure("slide")


def _hand_share(hand: str, moved: dict[str, tuple[str, str]]) -> float:
    lifted = {finger for finger, (a, b) in moved.items() if _down(a) and _down(b) and not _slides(a, b)}
    up = {finger for finger, (a, b) in moved.items() if _down(a) and not _down(b)} | lifted
    down = {finger for finger, (a, b) in moved.items() if _down(b) and not _down(a)} | lifted
    pairs = {(u, d) for u in up for d in down if u != d}
    opposed = {u + d for u, d in pairs} | {d + u for u, d in pairs}
    share = 0.0
    if f"{hand}3{hand}4" in opposed:
        share += figure("swap_ring_little")
    elif f"{hand}2{hand}3" in opposed:
        share += figure("swap_middle_ring")
    elif opposed:
        share += figure("swap")
    if hand == "R" and "R3" in (up | down) - lifted and "R4" in moved and _slides(*moved["R4"]):
        share += figure("coupling")
    for a, b in moved.values():
        homes = {a.lstrip("-"), b.lstrip("-")}
        if not _slides(a, b) and homes in ({"T", "Tb"}, {"R1", "Sb"}):
            share += figure("sidestep")
    return share


def _is_far_lever(a: str, b: str) -> bool:
    if _slides(a, b) or not _down(b):
        return False
    return bool(FAR_TOUCHES & set(b.split())) and a.lstrip("-") != b
