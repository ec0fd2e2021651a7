"""A route as tidy pandas frames: its changes, its learning curve, and every part of its effort."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from gripway.csv_text import flat
from gripway.effort.ledger import MILLI, Ledger
from gripway.errors import RequestError, check_frame_of
from gripway.route.curve import CurveStep
from gripway.route.result import Route, RouteNote
from gripway.route.route_data import change_data, curve_data

if TYPE_CHECKING:
    import pandas as pd

HOLDING, MOVING, CHARGE = "holding", "moving", "charge"


def change_frame(route: Route) -> "pd.DataFrame":
    """The changes as a pandas frame, one row a change; movers and parts become text.

    `to` is the index of the note a change leads to, `bar` that note's bar as printed (empty for a line of
    notes), `onset_ms` when it begins; `change_ms` is the time the fingers need, `available_ms` the time
    they have, `load` the one over the other, `effort` that of moving only. Empty for fewer than two notes.

    >>> import gripway
    >>> frame = gripway.change_frame(gripway.finger(gripway.notes("E6 F#6", tempo=120), gripway.flute()))
    >>> frame[["to", "pitch", "onset_ms"]].values.tolist()
    [[1, 'F#6', 125.0]]
    """
    import pandas as pd

    check_frame_of(route, Route, "finger(...)")
    return pd.DataFrame([_change_row(route, place) for place in range(len(route.changes))])


def _change_row(route: Route, place: int) -> dict[str, Any]:
    change = route.changes[place]
    note = route.notes[change.to].note
    data = {key: flat(value) for key, value in change_data(change).items()}
    where = {"to": data.pop("to"), "bar": note.bar, "pitch": note.pitch.name}
    return {**where, "onset_ms": round(note.onset_ms, 1), **data}


def curve_frame(route: Route) -> "pd.DataFrame":
    """The learning curve as a tidy pandas frame, one row a number of new grips, from none on.

    `grips` is how many, `effort` what is left (charges for learning left out), `bound` what no route with as
    many can do without, `worst_load` the highest load of a change, `places` on how many notes the new grips
    stand, `learn` the grips themselves. Raises RequestError for a route whose curve was not asked for.

    >>> import gripway
    >>> route = gripway.finger(gripway.notes("E6 F#6 G#6 A6", tempo=200), wishes=gripway.wishes(curve=True))
    >>> gripway.curve_frame(route)["grips"].tolist()
    [0, 1, 2]
    """
    import pandas as pd

    check_frame_of(route, Route, "finger(...)")
    if not route.curve:
        raise RequestError(
            "the learning curve of this route was not asked for",
            next_step="Write finger(passage, wishes=wishes(curve=True))",
        )
    return pd.DataFrame([_curve_row(step) for step in route.curve])


def _curve_row(step: CurveStep) -> dict[str, Any]:
    data = curve_data(step)
    return data | {"learn": "; ".join(f"{each['pitch']} {each['grip']}" for each in data["learn"])}


LEDGER_COLUMNS = ("index", "bar", "pitch", "onset_ms", "of", "part", "effort")


def ledger_frame(route: Route) -> "pd.DataFrame":
    """Every part of the route's effort as a tidy pandas frame, one row a part; they add up to its effort.

    `of` is holding (a note's grip), moving (the change into the note) or charge (what the whole route pays
    once, for new grips and changed ones: no `index`, `bar`, `pitch` or `onset_ms`); `part` is the name of
    the part, `effort` its size, exact to a thousandth. `gripway schema finger --format text` says what each
    part measures.

    >>> import gripway
    >>> route = gripway.finger(gripway.notes("E6 F#6 G#6 A6", tempo=112), gripway.flute())
    >>> print(f"{gripway.ledger_frame(route)['effort'].sum():.3f}", route.effort)
    0.698 0.698
    """
    import pandas as pd

    check_frame_of(route, Route, "finger(...)")
    frame = pd.DataFrame([*_ledger_rows(route)], columns=list(LEDGER_COLUMNS))
    return frame.astype({"index": "Int64", "onset_ms": "float64", "effort": "float64"})


def _ledger_rows(route: Route) -> Iterator[tuple[Any, ...]]:
    for note in route.notes:
        yield from _rows(note, HOLDING, note.holding)
    for change in route.changes:
        yield from _rows(route.notes[change.to], MOVING, change.moving)
    charges = route.charges
    if charges:
        for part, milli in (("learning", charges.learning_milli), ("changing", charges.changing_milli)):
            if milli:
                yield (None, "", "", None, CHARGE, part, milli / MILLI)


def _rows(note: RouteNote, of: str, ledger: Ledger) -> Iterator[tuple[Any, ...]]:
    written = note.note
    for part, effort in ledger.as_efforts().items():
        yield (note.index, written.bar, written.pitch.name, round(written.onset_ms, 1), of, part, effort)
