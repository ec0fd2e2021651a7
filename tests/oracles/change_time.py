"""The time of a change by a second way: read from the tables' text, finger by finger, as a sum.

Written from two readings, `base x slowest finger x (1 + sum of shares) x slide` in an alternation and
`travel x slowest finger + what the hands add` in a line, mixed in proportion between the two; without a
line of the code under test but the two hand positions and the count of holes.
"""

import csv
from functools import cache
from pathlib import Path

from gripway.catalog.tables.locator import tables_folder
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
    """Milliseconds for the change; `alternation` 1 is a trill at full speed, 0 a line of rested fingers."""
    places = list(zip(FINGERS, before.left + before.right, after.left + after.right, strict=True))
    moves = {finger: (a, b) for finger, a, b in places if a != b and (_down(a) or _down(b))}
    if not moves:
        return 0.0
    in_line, in_trill = line_ms(moves), alternating_ms(moves, holes)
    return (1 - alternation) * in_line + alternation * in_trill


def alternating_ms(moves: dict[str, tuple[str, str]], holes: int) -> float:
    """Milliseconds of the moves in an alternation: one product of base, finger, slide and a sum of shares."""
    weights = column("fingers", "finger", "weight")
    shares = figure("more_fingers_share") * (len(moves) - 1)
    shares += figure("key_train_share") * max(holes - 1, 0)
    left, right = _by_hand(moves)
    shares += figure("two_hands_share") if left and right else 0.0
    for hand, moved in (("L", left), ("R", right)):
        shares += _hand_share(hand, moved)
    slide = max(_slide(finger, move) for finger, move in moves.items())
    return figure("base_ms") * max(weights[finger] for finger in moves) * slide * (1 + shares)


def line_ms(moves: dict[str, tuple[str, str]]) -> float:
    """Milliseconds of the moves inside a line: the slowest finger's travel, and what each hand adds."""
    weights = column("fingers", "finger", "weight")
    total = figure("line_travel_ms") * max(weights[finger] for finger in moves)
    left, right = _by_hand(moves)
    total += figure("line_two_hands_ms") if left and right else 0.0
    return total + _hand_line_ms("L", left) + _hand_line_ms("R", right)


def _by_hand(moves: dict[str, tuple[str, str]]) -> tuple[dict[str, tuple[str, str]], ...]:
    return tuple({f: m for f, m in moves.items() if f[0] == hand} for hand in "LR")


def _hand_line_ms(hand: str, moved: dict[str, tuple[str, str]]) -> float:
    """Fingers beyond the first of each way, one swap, the slowest slide, levers met, and sidesteps."""
    up, down, _ = _ways(moved)
    opposed = _opposed(up, down)
    total = figure("line_together_ms") * max(0, len(moved) - max(1, bool(up) + bool(down)))
    if opposed:
        weak = f"{hand}3{hand}4" in opposed
        total += figure("line_swap_weak_ms") if weak else figure("line_swap_ms")
    total += max([_line_slide(f, move) for f, move in moved.items() if _slides(*move)], default=0.0)
    for a, b in moved.values():
        met = _is_far_lever(a, b) or _is_far_lever(b, a)
        if _slides(a, b):
            met = bool(FAR_TOUCHES & set(f"{a} {b}".split()))
        total += figure("line_lever_ms") * met + figure("line_sidestep_ms") * _goes_aside(a, b)
    return total


def _line_slide(finger: str, move: tuple[str, str]) -> float:
    if finger == "LT":
        return figure("line_slide_thumb_ms")
    if finger in ("R1", "R2", "R3"):
        return figure("line_across_ms")
    rollers = set(" ".join(move).split()) <= {"Cs", "C", "B"}
    return figure("line_slide_roller_ms") if rollers else figure("line_slide_ms")


def turning_ms(fingers: set[str]) -> float:
    """The time the slowest of some fingers needs to turn round when it moved a note ago."""
    weights = column("fingers", "finger", "weight")
    return figure("base_ms") * figure("line_turning_share") * max((weights[f] for f in fingers), default=0.0)


def _down(place: str) -> bool:
    return place != "" and not place.startswith("-")


def _slides(a: str, b: str) -> bool:
    """Down on one touch and down on another, but R1 between plate and side lever lifts."""
    return _down(a) and _down(b) and {a, b} != {"R1", "Sb"}


def _slide(finger: str, move: tuple[str, str]) -> float:
    if not _slides(*move):
        return 1.0
    if finger == "LT":
        return figure("slide_thumb_factor")
    rollers = set(" ".join(move).split()) <= {"Cs", "C", "B"}
    return figure("slide_roller_factor") if rollers else figure("slide_factor")


def _ways(moved: dict[str, tuple[str, str]]) -> tuple[set[str], set[str], set[str]]:
    """Fingers that go up, that go down, and those of both that are lifted over to another touch."""
    lifted = {finger for finger, (a, b) in moved.items() if _down(a) and _down(b) and not _slides(a, b)}
    up = {finger for finger, (a, b) in moved.items() if _down(a) and not _down(b)} | lifted
    down = {finger for finger, (a, b) in moved.items() if _down(b) and not _down(a)} | lifted
    return up, down, lifted


def _opposed(up: set[str], down: set[str]) -> set[str]:
    """Pairs of fingers that go two ways, each in both orders."""
    pairs = {(u, d) for u in up for d in down if u != d}
    return {u + d for u, d in pairs} | {d + u for u, d in pairs}


def _goes_aside(a: str, b: str) -> bool:
    homes = {a.lstrip("-"), b.lstrip("-")}
    return not _slides(a, b) and homes in ({"T", "Tb"}, {"R1", "Sb"})


def _hand_share(hand: str, moved: dict[str, tuple[str, str]]) -> float:
    up, down, lifted = _ways(moved)
    opposed = _opposed(up, down)
    share = 0.0
    if f"{hand}3{hand}4" in opposed:
        share += figure("swap_ring_little_share")
    elif f"{hand}2{hand}3" in opposed:
        share += figure("swap_middle_ring_share")
    elif opposed:
        share += figure("swap_share")
    if hand == "R" and "R3" in (up | down) - lifted and "R4" in moved and _slides(*moved["R4"]):
        share += figure("coupling_share")
    return share + figure("sidestep_share") * sum(_goes_aside(a, b) for a, b in moved.values())


def _is_far_lever(a: str, b: str) -> bool:
    """Whether a lever is pressed that the finger does not rest over; sliding on to it is looked at apart."""
    if _slides(a, b) or not _down(b):
        return False
    return bool(FAR_TOUCHES & set(b.split())) and a.lstrip("-") != b
