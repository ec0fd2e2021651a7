"""What one hand does in a change: which fingers move, how, and which addends that brings."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.position import is_down
from gripway.model.mechanism import FINGERS

HAND_FINGERS = {"left": FINGERS[:5], "right": FINGERS[5:]}
LEVERS = frozenset({"Sb", "Kd", "Kds", "Kcs", "Hc"})
"""Touches away from the resting place of their finger."""

ROLLERS = frozenset({"Cs", "C", "B"})


FingerMove = tuple[str, float, float]
"""How (up, down, slide, across or empty), slide factor, sidestep addend."""


@dataclass(frozen=True, slots=True)
class HandMove:
    """One hand's share of a change.

    `movers` are (finger, how) with how = up, down, slide or across (lifted over to another
    touch); `slowest` is the largest finger weight (0 when nothing moves); `terms` are the
    addends by name; `slide` the slide factor; `thumb_slide` whether the thumb slides between T and Tb;
    `addends` the sum of the terms; `count` how many fingers move, `mask` which (a bit a finger).
    `line_terms` are what the hand adds to a change inside a line, in milliseconds by name,
    `line_ms` their sum.
    """

    movers: tuple[tuple[str, str], ...]
    slowest: float
    terms: tuple[tuple[str, float], ...]
    slide: float
    thumb_slide: bool
    addends: float
    count: int
    mask: int
    line_terms: tuple[tuple[str, float], ...]
    line_ms: float


FINGER_BITS = {finger: 1 << k for k, finger in enumerate(FINGERS)}


def hand_move(
    before: tuple[str, ...],
    after: tuple[str, ...],
    fingers: tuple[str, ...],
    figures: Figures,
    weights: dict[str, float],
    finger_moves: Callable[[str, str, str], FingerMove] | None = None,
) -> HandMove:
    """The moves of one hand between two positions (places in the order of `fingers`).

    `finger_moves` may be what remembers `finger_move` for these figures.
    """
    finger_moves = finger_moves or partial(finger_move, figures)
    movers: list[tuple[str, str]] = []
    slowest = sidesteps = 0.0
    slides = 1.0
    for finger, a, b in zip(fingers, before, after, strict=True):
        if a == b:
            continue
        how, slide, sidestep = finger_moves(finger, a, b)
        if how:
            movers.append((finger, how))
            slowest = max(slowest, weights[finger])
            slides, sidesteps = max(slides, slide), sidesteps + sidestep
    swap = coupling = 0.0
    if len(movers) > 1:
        swap, coupling = _swap(movers, figures), _coupling(movers, figures)
    named = (("swap", swap), ("coupling", coupling), ("sidestep", sidesteps))
    line_terms = tuple(term for term in _line_terms(movers, before, after, fingers, figures) if term[1])
    return HandMove(
        movers=tuple(movers),
        slowest=slowest,
        terms=tuple(term for term in named if term[1]),
        slide=slides,
        thumb_slide=("LT", "slide") in movers,
        addends=swap + coupling + sidesteps,
        count=len(movers),
        mask=sum(FINGER_BITS[finger] for finger, _ in movers),
        line_terms=line_terms,
        line_ms=sum(ms for _, ms in line_terms),
    )


def _line_terms(
    movers: Sequence[tuple[str, str]],
    before: tuple[str, ...],
    after: tuple[str, ...],
    fingers: tuple[str, ...],
    figures: Figures,
) -> tuple[tuple[str, float], ...]:
    """What this hand adds to the time of a change inside a line, in ms: spread, and detours of a finger.

    Fingers of a hand that go the same way go as one; each after the first adds a little spread, two
    ways in one hand (a swap) much more.
    """
    places = {finger: (a, b) for finger, a, b in zip(fingers, before, after, strict=True)}
    slides = [_line_slide(finger, *places[finger], figures) for finger, how in movers if how == "slide"]
    reached = sum(_reaches(*places[finger]) or _reaches(*places[finger][::-1]) for finger, _ in movers)
    asides = sum(_sidesteps(*places[finger]) for finger, how in movers if how != "slide")
    ways = {"down" if how == "down" else "up" for _, how in movers if how in ("up", "down")}
    ways |= {"up", "down"} if any(how == "across" for _, how in movers) else set()
    return (
        ("fingers together", figures.line_together_ms * max(0, len(movers) - max(1, len(ways)))),
        ("swap", _line_swap(movers, figures)),
        ("slide", max(slides, default=0.0)),
        ("lever", figures.line_lever_ms * reached),
        ("sidestep", figures.line_sidestep_ms * asides),
    )


def _line_swap(movers: Sequence[tuple[str, str]], figures: Figures) -> float:
    """Milliseconds of a swap in a line: dearer where ring and little finger part."""
    swap = _swap(movers, figures)
    if not swap:
        return 0.0
    return figures.line_swap_weak_ms if swap == figures.swap_ring_little_share else figures.line_swap_ms


def _line_slide(finger: str, a: str, b: str, figures: Figures) -> float:
    if finger == "LT":
        return figures.line_slide_thumb_ms
    if finger in ("R1", "R2", "R3"):
        return figures.line_across_ms
    return (
        figures.line_slide_roller_ms if set(a.split()) | set(b.split()) <= ROLLERS else figures.line_slide_ms
    )


def finger_move(figures: Figures, finger: str, a: str, b: str) -> FingerMove:
    """How one finger moves from place to place: how, slide factor and sidestep addend.

    `how` is empty for a lifted finger that only goes over to another resting place.
    """
    how = _how(finger, a, b) or ""
    if how == "slide":
        return how, _slide_factor(finger, a, b, figures), 0.0
    return how, 1.0, figures.sidestep_share * _sidesteps(a, b)


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
        return figures.slide_thumb_factor
    if set(a.split()) | set(b.split()) <= ROLLERS:
        return figures.slide_roller_factor
    return figures.slide_factor


def _sidesteps(a: str, b: str) -> bool:
    """Whether a lifted finger goes to, or comes from, another resting place than its touch's."""
    rests = {"T": "T", "Tb": "Tb", "R1": "R1", "Sb": "Sb"}
    home_a, home_b = rests.get(a.lstrip("-")), rests.get(b.lstrip("-"))
    return home_a is not None and home_b is not None and home_a != home_b


def _reaches(a: str, b: str) -> bool:
    """Whether a lever is pressed by a finger that does not rest over it already."""
    return bool(set(b.split()) & LEVERS) and a.lstrip("-") != b and is_down(b)


def _swap(movers: Sequence[tuple[str, str]], figures: Figures) -> float:
    """Addend for a hand in which one finger goes down while another goes up."""
    ups = {finger for finger, how in movers if how in ("up", "across")}
    downs = {finger for finger, how in movers if how in ("down", "across")}
    if not ups or not downs or len(ups | downs) == 1:
        return 0.0
    if _opposite("L3", "L4", ups, downs) or _opposite("R3", "R4", ups, downs):
        return figures.swap_ring_little_share
    if _opposite("L2", "L3", ups, downs) or _opposite("R2", "R3", ups, downs):
        return figures.swap_middle_ring_share
    return figures.swap_share


def _opposite(a: str, b: str, ups: set[str], downs: set[str]) -> bool:
    """Whether two fingers go in opposite directions."""
    return (a in ups and b in downs) or (b in ups and a in downs)


def _coupling(movers: Sequence[tuple[str, str]], figures: Figures) -> float:
    """Addend for a ring finger that moves while the little finger of its hand slides."""
    hows = dict(movers)
    moving_ring = hows.get("R3") in ("up", "down")
    return figures.coupling_share if moving_ring and hows.get("R4") == "slide" else 0.0
