"""What a route was chosen for, and whether leaving the standard grips is worth it, in sentences."""

from dataclasses import replace

from gripway.asked.wishes import FEWEST_MOVERS, LEAST_EFFORT, STANDARD_ONLY
from gripway.display import counted
from gripway.effort.ledger import MILLI
from gripway.route.result import BOUNDED, Route
from gripway.route.tempo.tempo_threshold import Threshold, Worth

CHOSEN = {
    LEAST_EFFORT: "the least effort there is",
    STANDARD_ONLY: "standard grips wherever there is one",
    FEWEST_MOVERS: "the fewest moving fingers",
}
"""What the route was chosen for, in words."""

WITHIN_LIMITS = {True: "the least effort within the limits", False: "the least found within the limits"}
"""The same where limits were asked for: proved, or not."""

SURE = "the least effort with grips that surely pay"
"""The same where grips were left out that pay by the tables as they stand and not by most shaken ones."""


def chosen_words(route: Route, choose: str, learn: int | None = None, *, pins: bool = False) -> str:
    """What a route was chosen for, in words; `learn` is how many new grips it was allowed.

    `pins` says whether some note had to keep its grip.
    """
    if pins:
        return f"{chosen_words(route, choose, learn)} with your pins"
    if route.limits:
        return WITHIN_LIMITS[route.limits.proved]
    words = CHOSEN[choose]
    if choose == LEAST_EFFORT and route.status == BOUNDED and route.charges:
        words = f"the least found; at least {route.charges.bound_milli / MILLI:.2f}"
    elif choose == LEAST_EFFORT and learn is None and route.charges and route.charges.left_out:
        words = SURE
    if learn is None:
        return words
    return f"{words.removesuffix(' there is')} with at most {counted(learn, 'new grip')}"


def worth_lines(route: Route, worth: Worth) -> list[str]:
    """One sentence for the passage and each of its hard spots; the same answer stands once."""
    lines: dict[str, str] = {}
    if worth.passage is not None:
        lines[threshold_text(worth.passage)] = "The passage"
    for spot in worth.spots:
        before, after = route.notes[spot.to - 1].note, route.notes[spot.to].note
        bar = f"bar {after.bar}, " if after.bar else ""
        where = f"Around {bar}{before.pitch.name} {after.pitch.name}"
        lines.setdefault(threshold_text(spot.threshold), where)
    return [f"{where}: {text}." for text, where in lines.items()]


def worth_line(route: Route, worth: Worth) -> str:
    """The answer for the whole passage in one sentence; empty where it was not looked at."""
    return worth_lines(route, replace(worth, spots=()))[0] if worth.passage else ""


def threshold_text(found: Threshold) -> str:
    """A threshold in words."""
    if found.standard_quarters is not None:
        if found.slow_quarters is None:
            return f"stay with the standard grips, up to quarter = {found.fastest:.0f} at least"
        return f"below quarter = {found.standard_quarters:.0f} stay with the standard grips"
    grips = ", ".join(found.slow_grips[:4]) + (", ..." if len(found.slow_grips) > 4 else "")
    slow = f"even slow, for other reasons than speed: {grips}"
    if not found.saves:
        return f"not at this tempo, where the standard grips do as well; slower, yes: {grips}"
    if found.slow_quarters is None:
        return f"yes, {slow}; the same grips serve up to quarter = {found.fastest:.0f} at least"
    return f"yes, {slow}; from quarter = {found.slow_quarters:.0f} on the fingers call for other grips"
