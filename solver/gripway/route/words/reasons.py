"""Reasons in words: why a grip was chosen, why a note has none."""

from collections import Counter
from collections.abc import Sequence

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.effort.setting import Link
from gripway.route.result import Other
from gripway.trellis.trellis import Column, Trellis

TERM_WORDS = {
    "load": "finger work",
    "balance": "balance",
    "lip": "lip work",
    "unsafe": "sounds on the way",
    "tuning": "tuning",
    "looseness": "looseness",
    "response": "response",
    "familiarity": "unfamiliar grips",
    "held": "held or lifted fingers",
    "b_flat": "the habit of the three B-flats",
    "trill": "the trill or ornament",
    "rules": "your rules",
    "fingers": "moving fingers",
    "thumb": "thumb slides",
    "charges": "grips to learn or to change",
}
"""Ledger terms as a player reads them."""

LEAST_SHOWN_MILLI = 5
MOST_SHOWN = 3
"""So many terms are told one by one; a rest smaller than this (thousandths) is not told."""


def why_standard(candidate: Candidate, others: tuple[Other, ...]) -> str:
    """Why a standard grip stays: what the nearest other one would cost."""
    held = held_words(candidate)
    if not others:
        return f"standard grip, the only one here{held}"
    nearest = others[0]
    if nearest.effort_more == 0.0:
        return f"standard grip{held}; {nearest.candidate.grip.short} would do as well"
    return f"standard grip{held}; next {nearest.candidate.grip.short}, {nearest.effort_more:.2f} more effort"


def why_no_standard(column: Column, where: str = "here") -> str:
    """Why no standard grip is taken: none may stand by what was asked for, or none can be reached."""
    if not any(candidate.kind == "standard" for candidate in column):
        return "by what was asked for no standard grip may stand here"
    return f"no standard grip is possible {where}"


def held_words(candidate: Candidate) -> str:
    """` with Sb held and L2 up`: how the fingers differ from the grip of the tables, if they do."""
    if candidate.grip == candidate.row_grip:
        return ""
    more = [touch for touch in candidate.grip.touches if not candidate.row_grip.has(touch)]
    fewer = [touch for touch in candidate.row_grip.touches if not candidate.grip.has(touch)]
    words = []
    if "Tb" in more and "T" in fewer:
        more.remove("Tb")
        fewer.remove("T")
        words.append("the thumb on Tb")
    words += [f"{' '.join(more)} held"] if more else []
    words += [f"{' '.join(fewer)} up"] if fewer else []
    return f" with {' and '.join(words)}"


def why_other_than_standard(
    candidate: Candidate, standard: Candidate, more: float, difference: Counter[str], unit: str = "effort"
) -> str:
    """Why another grip than the standard one: the terms in which the standard route differs.

    The largest terms are told and the others together as the rest, so that the sum is `more`.
    """
    kind = {"trill": "trill grip", "harmonic": "overblown low grip"}.get(
        candidate.kind, f"{candidate.kind} grip"
    )
    by_size = sorted(difference.items(), key=lambda item: (-abs(item[1]), item[0]))
    shown = [(TERM_WORDS.get(term, term), size) for term, size in by_size[:MOST_SHOWN] if size]
    rest = sum(size for _, size in by_size[MOST_SHOWN:])
    told = [*shown, ("the rest", rest)] if abs(rest) >= LEAST_SHOWN_MILLI else shown
    parts = ", ".join(f"{term} {size / MILLI:+.2f}" for term, size in told)
    tail = f": {parts}" if len(told) > 1 or (unit == "effort" and told) else ""
    take = f"take {more:.2f} more {unit}" if more >= 0.005 else "take as much"
    plain = f"{standard.row_grip.short}{held_words(standard)}"
    return f"{kind}; the standard {plain} would {take}{tail}"


def why_gap(trellis: Trellis, blocked: int, between: Sequence[Link]) -> str:
    """Why no route reaches a note of the trellis, in words."""
    if not trellis.columns[blocked]:
        return "only trill grips are left and none of their partners is beside it"
    time = between[trellis.start + blocked].available_ms
    before = sorted({c.grip.short for c in trellis.columns[blocked - 1]})
    after = sorted({c.grip.short for c in trellis.columns[blocked]})
    return (
        f"no allowed change from {' or '.join(before)} to {' or '.join(after)} in {time:.0f} ms: "
        "the thumb cannot slide between T and Tb that fast"
    )
