"""The trellis: costs as the ledgers say, whatever was asked and remembered before."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.oracles.flutes import FIGURES, TABLES, candidate, solver_of
from tests.oracles.passages import passages, played
from tests.tiers import examples

from gripway.effort import setting
from gripway.effort.setting import Link
from gripway.model.passage import Passage
from gripway.trellis.path import INF
from gripway.trellis.trellis import TIE_BITS, TrellisBuilder, effort_of

SOLVER = solver_of()
SHARED = TrellisBuilder(SOLVER.model)
"""One builder for all examples, so that what it remembers is put to the test."""


@settings(max_examples=examples(60), deadline=None)
@given(passages(least=1, most=4))
def test_remembered_columns_are_right(passage: Passage) -> None:
    """Costs of holding equal the ledgers in each setting, also when a like setting was asked before."""
    between = setting.links(passage.notes, FIGURES)
    about = setting.settings(passage.notes, between, TABLES)
    for note, where in zip(passage.notes, about, strict=True):
        column = SOLVER.book.column(note.pitch.number, True, True)
        kept, costs = SHARED.column(column, where)
        held = {c: SOLVER.model.holding(c, where) for c in column}
        assert kept == tuple(c for c in column if held[c] is not None)
        assert [effort_of(cost) for cost in costs] == [held[c].total for c in kept]
        assert [int(cost) % 2**TIE_BITS for cost in costs] == [c.rank for c in kept]


@settings(max_examples=examples(40), deadline=None)
@given(
    st.integers(60, 96),
    st.integers(60, 96),
    st.builds(Link, st.sampled_from([60.0, 125.0, 250.0]), st.sampled_from([0.0, 0.5, 1.0]), st.booleans()),
)
def test_blocks_hold_the_cost_of_every_move(first: int, second: int, link: Link) -> None:
    """Edges equal the ledgers of moving; a thumb slide that is too fast is forbidden."""
    before, after = (SOLVER.book.column(p, False, False) for p in (first, second))
    block = SHARED.block(before, after, link)
    for k, b in enumerate(after):
        for j, a in enumerate(before):
            moved = SOLVER.model.moving(SOLVER.model.step(a, b), link)
            assert block[k][j] == (INF if moved is None else moved.total << TIE_BITS)


def test_the_tie_order_never_reaches_the_effort() -> None:
    """Ranks of a long passage of the widest column stay below the bits of the effort."""
    widest = max(len(SOLVER.book.column(pitch, True, True)) for pitch in range(59, 101))
    assert widest * 100_000 < 2**TIE_BITS


def test_a_segment_starts_where_it_is_told() -> None:
    """Settings and links are taken at the place of the segment in the passage."""
    notes = played("C4 (E6 F#6)").notes
    between = setting.links(notes, FIGURES)
    about = setting.settings(notes, between, TABLES)
    columns = [(candidate("E6"),), (candidate("F#6"),)]
    trellis = TrellisBuilder(SOLVER.model).segment(1, columns, about, between)
    assert trellis.start == 1
    moved = SOLVER.model.moving(SOLVER.model.step(*(c for (c,) in columns)), between[2])
    assert trellis.blocks[1] == [[moved.total << TIE_BITS]]
