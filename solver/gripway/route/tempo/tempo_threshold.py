"""Is it worth it: the tempo below which plainer grips take no more effort than the best ones.

Two plainer ways to play are compared with the best route. The standard grips everywhere; and,
where other grips pay even at the slowest tempo tried, the grips that are best there: they serve
up to a tempo from which the fingers call for others (or for the standard ones again).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from gripway.asked.wishes import LEAST_EFFORT, STANDARD_ONLY, Pin, Wishes
from gripway.candidates.note_columns import with_asked_trills
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.passage import Passage, quarters_per_minute
from gripway.route.solve import Solver
from gripway.route.tempo.tempos import Efforts, Tempos

SLOWEST, FASTEST = 0.25, 2.0
"""Tempo factors tried, against the tempo of the passage."""

RUNGS = 6
"""Steps of equal ratio from SLOWEST to FASTEST, tried from slow to fast until one pays."""

HALVINGS = 4
"""Halvings of the step in which it begins to pay: the threshold is known to about 2 %."""


@dataclass(frozen=True, slots=True)
class Threshold:
    """Where leaving plainer grips begins to pay, in quarters per minute at the first note.

    `standard_quarters`: below it the standard grips do as well; None when other grips pay even
    at the slowest tempo tried. `slow_quarters`: below it the grips for slow playing do as
    well; None when they do at every tempo tried. Above either it need not pay at every faster tempo: a
    change that no grip makes easier in so little time saves nothing. `slowest` and `fastest` are the
    tempos tried; `saved` is the effort the best route saves against the standard grips at
    the tempo of the passage, `saves` whether that is more than counts as the same trouble. `slow_grips`
    lists the pitches that leave the standard grip even when slow.
    """

    standard_quarters: float | None
    slow_quarters: float | None
    slowest: float
    fastest: float
    saved: float
    saves: bool
    slow_grips: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HardSpot:
    """A hard change: its place (`to`), and where leaving the standard grips pays around it."""

    to: int
    threshold: Threshold


@dataclass(frozen=True, slots=True)
class Worth(Shown):
    """Whether leaving the standard grips is worth it: in the passage, and around its hard spots.

    `passage` has the tempo below which the standard grips do as well, `standard_quarters`, and what the
    route saves against them, `saved`; it is None where the passage is too long to be tried at many tempos.
    `spots` have the same in `threshold` for the change into the note of index `to`.
    """

    passage: Threshold | None
    spots: tuple[HardSpot, ...]

    def __repr__(self) -> str:
        return brief(
            self,
            "" if self.passage is None else f"saves {self.passage.saved:.3f}",
            counted(len(self.spots), "spot"),
        )


def threshold(
    passage: Passage, wishes: Wishes, solver: Solver, as_written_milli: int | None = None
) -> Threshold:
    """The tempos below which plainer grips take no more effort than the best ones.

    Some tempos from SLOWEST to FASTEST are tried, slow ones first; between the first that pays and the
    one before it, halvings. What pays only between two tempos tried is not seen. To pay is to save more
    than `same_trouble_effort` of tables/effort/figures.csv. `as_written_milli` is the least effort
    (thousandths) at the tempo of the passage, where that is known.
    """
    tempos = Tempos(solver, replace(passage, notes=with_asked_trills(passage.notes, solver.book, wishes)))
    best = Efforts(tempos, replace(wishes, choose=LEAST_EFFORT))
    standard = Efforts(tempos, replace(wishes, choose=STANDARD_ONLY))

    same_milli = round(solver.tables.figures.same_trouble_effort * MILLI)

    def pays(factor: float, plainer: Efforts) -> bool:
        return best.below(factor, plainer.effort(factor) - same_milli)

    quarters = quarters_per_minute(passage)
    leaves = pays(SLOWEST, standard)
    slow_grips: tuple[str, ...] = ()
    from_standard = None
    if leaves:
        slow = best.candidates(SLOWEST)
        slow_grips = _slow_grips(passage, slow)
        pins = tuple(Pin(place, candidate.grip) for place, candidate in slow.items())
        as_slow = Efforts(tempos, replace(wishes, choose=LEAST_EFFORT, pins=pins))
        from_slow = _first(lambda factor: pays(factor, as_slow))
    else:
        from_standard = from_slow = _first(lambda factor: pays(factor, standard))
    as_written = best.effort(1.0) if as_written_milli is None else as_written_milli
    saved_milli = standard.effort(1.0) - as_written
    return Threshold(
        standard_quarters=None if leaves else quarters * (from_standard or FASTEST),
        slow_quarters=None if from_slow is None else quarters * from_slow,
        slowest=quarters * SLOWEST,
        fastest=quarters * FASTEST,
        saved=saved_milli / MILLI,
        saves=saved_milli > same_milli,
        slow_grips=slow_grips,
    )


def _first(pays: Callable[[float], bool]) -> float | None:
    """The factor at which it pays first; None when at none tried."""
    low = SLOWEST
    for rung in range(1, RUNGS + 1):
        high = SLOWEST * (FASTEST / SLOWEST) ** (rung / RUNGS)
        if pays(high):
            return _halved(pays, low, high)
        low = high
    return None


def _halved(pays: Callable[[float], bool], low: float, high: float) -> float:
    """Where between a factor that does not pay and one that does it begins to."""
    for _ in range(HALVINGS):
        middle = (low * high) ** 0.5
        low, high = (low, middle) if pays(middle) else (middle, high)
    return high


def _slow_grips(passage: Passage, slow: Mapping[int, Candidate]) -> tuple[str, ...]:
    """`F#6 T 1 3 | 2 Eb` for every pitch that leaves its standard grip when slow, once each."""
    found = (
        f"{passage.notes[place].pitch.name} {candidate.grip.short}"
        for place, candidate in sorted(slow.items())
        if candidate.kind != "standard"
    )
    return tuple(dict.fromkeys(found))


def around(passage: Passage, place: int, reach: int = 3) -> Passage:
    """The few notes around the change into note `place`."""
    return replace(passage, notes=passage.notes[max(0, place - 1 - reach) : place + 1 + reach])
