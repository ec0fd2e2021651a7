"""What limits came to, in words: what they cost, whether that is proved, and what conflicts."""

from gripway.effort.ledger import MILLI
from gripway.errors import RequestError
from gripway.limits.limit_reasons import where_of
from gripway.model.passage import Remark
from gripway.route.result import Conflict, Least, Route


def limit_lines(route: Route) -> list[str]:
    """What the limits cost and how far each is used; nothing where none were asked for."""
    report = route.limits
    if report is None:
        return []
    more = (route.effort_milli - report.free_milli) / MILLI
    if report.proved:
        shown = "proved: no route within the limits takes less"
    else:
        shown = f"not proved the least: at least {report.bound_milli / MILLI:.2f} is needed in any case"
    lines = [f"effort {route.effort:.2f}, {more:.2f} more than without limits; {shown}"]
    for use in report.uses:
        used = "" if use.used is None else f": {use.used:g}"
        of = f" of {use.of:g}" if used and use.of is not None else ""
        lines.append(f"{use.words}{used}{of}" + (f" ({use.counted})" if use.counted else ""))
    return lines


def limit_remark(route: Route, free: Route | None = None) -> tuple[Remark, ...]:
    """What the limits cost and whether that is proved, for answers that have no room for it.

    `free` is the route before one grip was settled for every figure: its proof is for all routes.
    """
    report = (free or route).limits
    if report is None or report.conflict:
        return ()
    more = (route.effort_milli - report.free_milli) / MILLI
    cost = f"effort {route.effort:.2f}, {more:.2f} more than without"
    if report.proved and route.effort_milli == (free or route).effort_milli:
        return (Remark(f"limits: proved the least; {cost}"),)
    bound = report.bound_milli / MILLI
    return (Remark(f"limits: not proved the least; {cost}; no route takes less than {bound:.2f}"),)


def conflict_error(route: Route, conflict: Conflict) -> RequestError:
    """The message for limits that cannot be kept together: which, where, and what would be possible."""
    notes = route.passage.notes
    alone = len(conflict.limits) == 1
    what = "; ".join(conflict.limits)
    what = f"{what}: no route can keep this" if alone else f"these cannot be kept together: {what}"
    places = ", ".join(where_of(notes, k) for k in conflict.notes)
    return RequestError(what, place=places, next_step=_what_is_possible(conflict, alone=alone))


def _what_is_possible(conflict: Conflict, *, alone: bool) -> str:
    """The least that is possible of each sum; only where it is proved is it called so."""
    least = "; ".join(_size(each) for each in conflict.least if each.proved)
    known = "; ".join(_size(each) for each in conflict.least if not each.proved)
    found = [f"The least that is possible: {least}"] if least else []
    found += [f"Possible: {known} (whether less is was not decided in the time)"] if known else []
    return ". ".join(found) or ("Drop or loosen it" if alone else "Drop or loosen one of them")


def _size(least: Least) -> str:
    """`1 in place of 'no unusual grips'`."""
    return f"{least.size:g}{' cents' if 'cents' in least.words else ''} in place of {least.words!r}"
