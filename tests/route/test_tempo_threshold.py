"""Where leaving plainer grips begins to pay: the search against a scan over tempos."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import FIGURES, TABLES, fresh_solver, solver_of
from tests.oracles.passages import played
from tests.oracles.tempos import at_tempo
from tests.tiers import thinned

from gripway.asked.wishes import STANDARD_ONLY, Pin, Wishes
from gripway.model.passage import Passage
from gripway.route.tempo.tempo_threshold import FASTEST, SLOWEST, around, threshold

SOLVER = solver_of()
WISHES = Wishes()
STANDARD = Wishes(choose=STANDARD_ONLY)
SAME_TROUBLE_MILLI = round(1000 * SOLVER.tables.figures.same_trouble_effort)
STEP = (FASTEST / SLOWEST) ** (1 / 96)
"""Six steps, the first that pays halved four times: 96 steps of equal ratio."""


def saved(passage: Passage, factor: float, plainer: Wishes = STANDARD) -> int:
    """Thousandths of an effort that the best route saves against plainer wishes at a tempo."""
    faster = at_tempo(passage, factor)
    return SOLVER.solve(faster, plainer).effort_milli - SOLVER.solve(faster).effort_milli


def scanned(passage: Passage, plainer: Wishes) -> float | None:
    """The first of 97 tempo factors at which it pays; None when at none."""
    factors = (SLOWEST * STEP**k for k in range(97))
    return next((factor for factor in factors if saved(passage, factor, plainer) > SAME_TROUBLE_MILLI), None)


@pytest.mark.parametrize(
    "line",
    thinned(
        [
            "(D4 F#4 D4 F#4 A4)",
            "(D6 E6 D6 E6)",
            "(E4 F#4 E4 F#4 G4)",
            "(D5 E5 F#5 E5)",
            "(E6 F#6 G#6 A6 G#6)",
            "(B4 F#6 B4 F#6 D6)",
            "(F#6 A6 F#6 A6)",
        ],
        3,
    ),
)
def test_the_bisection_finds_the_scanned_tempo(line: str) -> None:
    """The first of all tempos at which it pays is found within one step of the ratio."""
    passage = played(line, 100.0)
    found, scan = threshold(passage, WISHES, SOLVER), scanned(passage, STANDARD)
    assert found.standard_quarters == found.slow_quarters
    assert found.standard_quarters / 100.0 == pytest.approx(scan, rel=STEP - 1 + 1e-6)


def test_above_the_slow_grips() -> None:
    """A B-flat scale is never all standard; above the tempo told it leaves the grips of slow playing too."""
    passage = played("(Bb4 C5 D5 Eb5 F5)", 100.0)
    found = threshold(passage, WISHES, SOLVER)
    assert found.standard_quarters is None
    slow = SOLVER.solve(at_tempo(passage, SLOWEST))
    pins = tuple(Pin(k, note.candidate.grip) for k, note in enumerate(slow.notes))
    scan = scanned(passage, Wishes(pins=pins))
    assert found.slow_quarters / 100.0 == pytest.approx(scan, rel=STEP - 1 + 1e-6)


def test_what_pays_need_not_pay_more_faster() -> None:
    """F#6-A6 saves more at its threshold than at the fastest tempo, where no grips are in time."""
    passage = played("(F#6 A6 F#6 A6)", 100.0)
    factor = threshold(passage, WISHES, SOLVER).standard_quarters / 100.0
    assert factor < FASTEST
    assert saved(passage, factor) > max(SAME_TROUBLE_MILLI, saved(passage, FASTEST))


def test_at_its_threshold_it_begins_to_pay() -> None:
    """At the tempo found more is saved than counts as the same effort, a step below it is not."""
    passage = played("(E4 F#4 E4 F#4)", 100.0)
    factor = threshold(passage, WISHES, SOLVER).standard_quarters / 100.0
    assert saved(passage, factor) > SAME_TROUBLE_MILLI >= saved(passage, factor / STEP**1.01)


def test_where_it_pays_at_any_tempo_slow_grips_are_named() -> None:
    """Held F#6 leaves its standard grip for tuning and response: no tempo is slow enough for it."""
    found = threshold(played("F#6:1/1 E6:1/1", 120.0), WISHES, SOLVER)
    assert found.standard_quarters is None
    assert found.slow_grips == ("F#6 T 1 3 | 2 Eb",)


def test_saved_is_told_at_the_tempo_of_the_passage() -> None:
    """`saved` is the difference of the two routes as written."""
    passage = played("(E6 F#6 G#6 A6)", 120.0)
    assert threshold(passage, WISHES, SOLVER).saved == pytest.approx(saved(passage, 1.0) / 1000)


def test_what_is_saved_counts_above_the_same_trouble_only() -> None:
    """At same_trouble_effort of the table the standard grips do as well, a thousandth above it no longer."""
    passage = played("(E4 F#4 E4 F#4)", 200.0)
    milli = saved(passage, 1.0)
    assert milli > 1

    def saves(same_milli: int) -> bool:
        solver = fresh_solver()
        solver.tables = replace(TABLES, figures=replace(FIGURES, same_trouble_effort=same_milli / 1000))
        return threshold(passage, WISHES, solver).saves

    assert [saves(milli), saves(milli - 1)] == [False, True]


def test_a_plain_scale_never_pays() -> None:
    """G A B needs nothing but its standard grips up to the fastest tempo tried."""
    found = threshold(played("G5 A5 B5 A5 G5", 60.0), WISHES, SOLVER)
    assert (found.standard_quarters, found.slow_quarters) == (found.fastest, None)
    assert (found.slowest, found.fastest) == (60.0 * SLOWEST, 60.0 * FASTEST)


@pytest.mark.parametrize(
    ("place", "names"), [(1, "C5 D5 E5 F5 G5"), (5, "D5 E5 F5 G5 A5 B5"), (4, "C5 D5 E5 F5 G5 A5 B5")]
)
def test_around_takes_the_notes_about_a_change(place: int, names: str) -> None:
    """Three notes on either side of the two of the change, less at the ends."""
    passage = played("C5 D5 E5 F5 G5 A5 B5")
    found = " ".join(note.pitch.name for note in around(passage, place).notes)
    assert found == names
