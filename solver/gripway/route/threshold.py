"""Is it worth it: the tempo below which plainer grips take no more effort than the best ones.

Two plainer ways to play are compared with the best route. The standard grips everywhere; and,
where other grips pay even at the slowest tempo tried, the grips that are best there: they serve
up to a tempo from which the fingers call for others (or for the standard ones again).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Pin, Wishes
from gripway.model.passage import Note, Passage
from gripway.route.result import Route

SLOWEST, FASTEST = 0.25, 2.0
"""Tempo factors tried, against the tempo of the passage."""

SAME_EFFORT_MILLI = 50
"""Routes this near (thousandths of an effort) take the same trouble: as leaving_standard in the tables."""

RUNGS = 6
"""Steps of equal ratio from SLOWEST to FASTEST, tried from slow to fast until one pays."""

HALVINGS = 4
"""Halvings of the step in which it begins to pay: the threshold is known to about 2 %."""

Solve = Callable[[Passage, Wishes], Route]


@dataclass(frozen=True, slots=True)
class Threshold:
    """Where leaving plainer grips begins to pay, in quarters per minute at the first note.

    `standard_quarters`: below it the standard grips do as well; None when other grips pay even
    at the slowest tempo tried. `slow_quarters`: below it the grips for slow playing do as
    well; None when they do at every tempo tried. Above either it need not pay at every faster tempo: a
    change that no grip makes easier in so little time saves nothing. `slowest` and `fastest` are the
    tempos tried; `saved` is the effort the best route saves against the standard grips at
    the tempo of the passage. `slow_grips` lists the pitches that leave the standard grip
    even when slow.
    """

    standard_quarters: float | None
    slow_quarters: float | None
    slowest: float
    fastest: float
    saved: float
    slow_grips: tuple[str, ...] = ()


def threshold(passage: Passage, wishes: Wishes, solve: Solve) -> Threshold:
    """The tempos below which plainer grips take no more effort than the best ones.

    Some tempos from SLOWEST to FASTEST are tried, slow ones first; between the first that pays and the
    one before it, halvings. What pays only between two tempos tried is not seen.
    """
    best = replace(wishes, choose=LEAST_EFFORT)
    standard = replace(wishes, choose=STANDARD_ONLY)
    slow_route = solve(at_tempo(passage, SLOWEST), best)
    slow = replace(best, pins=_pins(slow_route))

    def saved(factor: float, plainer: Wishes) -> int:
        played = at_tempo(passage, factor)
        return solve(played, plainer).effort_milli - solve(played, best).effort_milli

    quarters = quarters_per_minute(passage)
    leaves = saved(SLOWEST, standard) > SAME_EFFORT_MILLI
    from_standard = None if leaves else _first(lambda factor: saved(factor, standard))
    from_slow = _first(lambda factor: saved(factor, slow)) if leaves else from_standard
    return Threshold(
        standard_quarters=None if leaves else quarters * (from_standard or FASTEST),
        slow_quarters=None if from_slow is None else quarters * from_slow,
        slowest=quarters * SLOWEST,
        fastest=quarters * FASTEST,
        saved=saved(1.0, standard) / 1000,
        slow_grips=_slow_grips(slow_route) if leaves else (),
    )


def _first(saved: Callable[[float], int]) -> float | None:
    """The factor at which more than SAME_EFFORT_MILLI is saved first; None when at none tried."""
    low = SLOWEST
    for rung in range(1, RUNGS + 1):
        high = SLOWEST * (FASTEST / SLOWEST) ** (rung / RUNGS)
        if saved(high) > SAME_EFFORT_MILLI:
            return _halved(saved, low, high)
        low = high
    return None


def _halved(saved: Callable[[float], int], low: float, high: float) -> float:
    """Where between a factor that does not pay and one that does it begins to."""
    for _ in range(HALVINGS):
        middle = (low * high) ** 0.5
        low, high = (low, middle) if saved(middle) > SAME_EFFORT_MILLI else (middle, high)
    return high


def _pins(route: Route) -> tuple[Pin, ...]:
    return tuple(Pin(note.index, note.candidate.grip) for note in route.notes if note.candidate)


def _slow_grips(route: Route) -> tuple[str, ...]:
    """`F#6 T 1 3 | 2 Eb` for every pitch that leaves its standard grip when slow, once each."""
    found = (
        f"{note.note.pitch.name} {note.candidate.grip.short}"
        for note in route.notes
        if note.candidate and note.candidate.kind != "standard"
    )
    return tuple(dict.fromkeys(found))


def at_tempo(passage: Passage, factor: float) -> Passage:
    """The passage played `factor` times as fast."""
    notes = (_faster(note, factor) for note in passage.notes)
    return replace(passage, notes=tuple(notes))


def around(passage: Passage, place: int, reach: int = 3) -> Passage:
    """The few notes around the change into note `place`."""
    return replace(passage, notes=passage.notes[max(0, place - 1 - reach) : place + 1 + reach])


def _faster(note: Note, factor: float) -> Note:
    return replace(note, onset_ms=note.onset_ms / factor, length_ms=note.length_ms / factor)


def quarters_per_minute(passage: Passage) -> float:
    """Tempo of the first measured note, in quarters per minute; 0 where no note is measured."""
    return quarters_of(*passage.notes)


def quarters_of(*notes: Note) -> float:
    """Tempo of the first measured one of some notes, in quarters per minute; 0 where none is measured."""
    for note in notes:
        if note.length > 0 and note.length_ms > 0:
            return float(note.length) * 4 * 60_000.0 / note.length_ms
    return 0.0
