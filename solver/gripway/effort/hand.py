"""What one hand does in a change: which fingers move, how, and which addends that brings."""

from dataclasses import dataclass

from gripway.catalog.effort_figures import Figures
from gripway.effort.position import is_down
from gripway.model.mechanism import FINGERS

HAND_FINGERS = {"left": FINGERS[:5], "right": FINGERS[5:]}
LEVERS = frozenset({"Sb", "Kd", "Kds", "Kcs", "Hc"})
"""Touches away from the resting place of their finger."""

ROLLERS = frozenset({"Cs", "C", "B"})


@dataclass(frozen=True, slots=True)
class HandMove:
    """One hand's share of a change.

    `movers` are (finger, how) with how = up, down, slide or across (lifted over to another
    touch); `slowest` is the largest finger weight (0 when nothing moves); `terms` are the
    addends by name; `reach` is the addend of levers not yet under the finger; `slide` the
    slide factor; `thumb_slide` whether the thumb slides between T and Tb;
    `addends` the sum of the terms.
    """

    movers: tuple[tuple[str, str], ...]
    slowest: float
    terms: tuple[tuple[str, float], ...]
    reach: float
    slide: float
    thumb_slide: bool
    addends: float


def hand_move(
    before: tuple[str, ...],
    after: tuple[str, ...],
    fingers: tuple[str, ...],
    figures: Figures,
    weights: dict[str, float],
) -> HandMove:
    """The moves of one hand between two positions (places in the order of `fingers`)."""
    movers: list[tuple[str, str]] = []
    reach = sidestep = 0.0
    slide = 1.0
    for finger, a, b in zip(fingers, before, after, strict=True):
        how = _how(finger, a, b)
        if how is None:
            continue
        movers.append((finger, how))
        if how == "slide":
            slide = max(slide, _slide_factor(finger, a, b, figures))
        else:
            sidestep += figures.sidestep * _sidesteps(a, b)
            reach += figures.reach * _reaches(a, b)
    terms = tuple(
        (name, amount)
        for name, amount in (
            ("swap", _swap(movers, figures)),
            ("coupling", _coupling(movers, figures)),
            ("sidestep", sidestep),
        )
        if amount
    )
    slowest = max((weights[finger] for finger, _ in movers), default=0.0)
    thumb_slide = ("LT", "slide") in movers
    return HandMove(
        tuple(movers), slowest, terms, reach, slide, thumb_slide, sum(amount for _, amount in terms)
    )


def _how(finger: str, a: str, b: str) -> str | None:
    """How a finger moves between two places; None when it presses the same or nothing."""
    if a == b:
        return None
    down_a, down_b = is_down(a), is_down(b)
    if down_a and down_b:
        return "across" if {a, b} == {"R1", "Sb"} else "slide"
    if down_a:
        return "up"
    return "down" if down_b else None


def _slide_factor(finger: str, a: str, b: str, figures: Figures) -> float:
    if finger == "LT":
        return figures.slide_thumb
    if set(a.split()) | set(b.split()) <= ROLLERS:
        return figures.slide_roller
    return figures.slide


def _sidesteps(a: str, b: str) -> bool:
    """Whether a lifted finger goes to, or comes from, another resting place than its touch's."""
    rests = {"T": "T", "Tb": "Tb", "R1": "R1", "Sb": "Sb"}
    home_a, home_b = rests.get(a.lstrip("-")), rests.get(b.lstrip("-"))
    return home_a is not None and home_b is not None and home_a != home_b


def _reaches(a: str, b: str) -> bool:
    """Whether a lever is pressed by a finger that does not rest over it already."""
    return bool(set(b.split()) & LEVERS) and a.lstrip("-") != b and is_down(b)


def _swap(movers: list[tuple[str, str]], figures: Figures) -> float:
    """Addend for a hand in which one finger goes down while another goes up."""
    ups = {finger for finger, how in movers if how == "up"}
    downs = {finger for finger, how in movers if how == "down"}
    if not ups or not downs:
        return 0.0
    pairs = {frozenset((up, down)) for up in ups for down in downs}
    if pairs & {frozenset(("L3", "L4")), frozenset(("R3", "R4"))}:
        return figures.swap_ring_little
    if pairs & {frozenset(("L2", "L3")), frozenset(("R2", "R3"))}:
        return figures.swap_middle_ring
    return figures.swap


def _coupling(movers: list[tuple[str, str]], figures: Figures) -> float:
    """Addend for a ring finger that moves while the little finger of its hand slides."""
    hows = dict(movers)
    moving_ring = hows.get("R3") in ("up", "down")
    return figures.coupling if moving_ring and hows.get("R4") == "slide" else 0.0
