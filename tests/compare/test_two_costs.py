"""The two axes: effort without its tuning part, cents as printed by length."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import fresh_solver, solver_of
from tests.oracles.passages import played

from gripway.compare.two_costs import Axes, axes_of
from gripway.model.passage import Passage
from gripway.model.player import Player
from gripway.route.joined import joined
from gripway.route.solve import Solver

PASSAGE = played("E6 F#6:1/4 G#6 A6:1/8", 100.0)


def axes(passage: Passage, solver: Solver) -> Axes:
    """The axes of a passage."""
    ground = solver.ground(passage)
    return axes_of(passage, ground, joined(ground))


def test_effort_leaves_out_the_tuning_part_and_no_other() -> None:
    """Each route's effort is that of its ledgers less their parts for tuning."""
    solver = solver_of()
    route, ground = solver.solve(PASSAGE), solver.ground(PASSAGE)
    tuning = sum(dict(note.holding.parts).get("tuning", 0) for note in route.notes)
    assert tuning > 0
    assert axes(PASSAGE, solver).values(joined(ground).path)[0] == route.effort_milli - tuning


def test_the_tuning_dial_changes_neither_axis() -> None:
    """Turned up or off, every node has the same effort and the same lean."""
    plain = axes(PASSAGE, solver_of())
    for size in (0.0, 3.0):
        assert axes(PASSAGE, fresh_solver(player=Player(dials=(("tuning", size),)))) == plain


def test_a_long_note_counts_by_its_length() -> None:
    """Twice as long is twice the lean; the mean of one note is its cents."""
    short, long = (axes(played(f"G#6:1/{n}", 60.0), solver_of()) for n in (8, 4))
    assert [tuple(2 * lean for lean in column) for column in short.leans] == list(long.leans)
    (column,) = solver_of().ground(played("G#6:1/4", 60.0)).pieces[0].trellis.columns
    for node, candidate in enumerate(column):
        assert long.cents(long.leans[0][node]) == pytest.approx(abs(round(candidate.tendency.cents, 1)))


def test_an_unknown_lean_is_never_a_gain() -> None:
    """A grip nobody knows counts as the furthest out of its note; with none known nothing counts."""
    solver = solver_of()
    ground = solver.ground(PASSAGE)
    whole = joined(ground)
    first = whole.columns[0]
    blank = replace(first[0].tendency, cents=None)
    some = replace(whole, columns=((replace(first[0], tendency=blank), *first[1:]), *whole.columns[1:]))
    none = replace(whole, columns=(tuple(replace(c, tendency=blank) for c in first), *whole.columns[1:]))
    partly, empty = axes_of(PASSAGE, ground, some), axes_of(PASSAGE, ground, none)
    assert partly.leans[0][0] == max(partly.leans[0][1:])
    assert set(empty.leans[0]) == {0}
    assert partly.sounding_ms - empty.sounding_ms == round(PASSAGE.notes[0].length_ms)
