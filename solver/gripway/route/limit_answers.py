"""What became of the limits, in words: what they cost, how far each is used, what cannot be kept together."""

from gripway.effort.ledger import MILLI
from gripway.errors import RequestError
from gripway.route.limited_reasons import where_of
from gripway.route.result import Conflict, Route


def limit_lines(route: Route) -> list[str]:
    """What the limits cost and how far each is used; nothing where none were asked for."""
    report = route.limits
    if report is None:
        return []
    more = (route.effort_milli - report.free_milli) / MILLI
    if report.proved:
        shown = "proved: no route within the limits takes less"
    else:
        shown = f"not proved: no route within the limits takes less than {report.bound_milli / MILLI:.2f}"
    lines = [f"effort {route.effort:.2f}, {more:.2f} more than without limits; {shown}"]
    for use in report.uses:
        used = "" if use.used is None else f": {use.used:g}"
        lines.append(f"{use.words}{used}" + (f" of {use.of:g}" if used and use.of is not None else ""))
    return lines


def conflict_error(route: Route, conflict: Conflict) -> RequestError:
    """The message for limits that cannot be kept together: which, where, and what would be possible."""
    notes = route.passage.notes
    alone = len(conflict.limits) == 1
    what = "; ".join(conflict.limits)
    what = f"{what}: no route can keep this" if alone else f"these cannot be kept together: {what}"
    places = ", ".join(where_of(notes, k) for k in conflict.notes)
    least = "; ".join(_least(words, size) for words, size in conflict.least)
    next_step = f"The least that is possible: {least}" if least else "Drop or loosen one of them"
    return RequestError(what, place=places, next_step=next_step)


def _least(words: str, size: float) -> str:
    """`1 for at most 0 unusual grips`."""
    return f"{size:g}{' cents' if 'cents' in words else ''} in place of {words!r}"
