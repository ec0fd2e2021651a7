"""Ledgers: whole thousandths by name, whose total is their sum."""

from hypothesis import given
from hypothesis import strategies as st

from gripway.effort.ledger import Ledger, ledger

PARTS = st.lists(st.tuples(st.sampled_from(["load", "balance", "lip", "tuning"]), st.floats(-5.0, 50.0)))


@given(PARTS)
def test_the_total_is_the_sum_of_the_parts(parts: list[tuple[str, float]]) -> None:
    """Total, effort and the shown parts say the same, exactly, each part rounded once."""
    made = ledger(parts)
    assert made.total == sum(amount for _, amount in made.parts)
    assert made.total == sum(round(amount * 1000) for _, amount in parts)
    assert made.effort == made.total / 1000
    assert all(isinstance(amount, int) and amount for _, amount in made.parts)


def test_parts_of_no_size_are_left_out() -> None:
    """Only what was added is shown."""
    assert ledger([("load", 0.0004), ("lip", 0.8)]) == Ledger((("lip", 800),))
    assert ledger([]).as_efforts() == {}
    assert ledger([("lip", 0.8)]).as_efforts() == {"lip": 0.8}
