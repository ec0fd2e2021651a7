"""Costs renewed from those of a nearly equal trellis are those of a search from scratch."""

from hypothesis import given
from hypothesis import strategies as st

from gripway.trellis.path import INF, backward, forward
from gripway.trellis.repaired_path_costs import renewed_backward, renewed_forward, shift_between
from gripway.trellis.trellis import Trellis

COSTS = st.sampled_from([0, 1, 2, 3, 5, 8, 13, INF])


@st.composite
def trellises(draw: st.DrawFn) -> tuple[Trellis, Trellis]:
    """Two trellises of as many columns; some columns of the second are others, of any width."""
    length = draw(st.integers(1, 12))
    first = [draw(st.integers(1, 3)) for _ in range(length)]
    changed = [draw(st.integers(0, 4)) == 0 for _ in range(length)]
    second = [draw(st.integers(1, 3)) if new else old for old, new in zip(first, changed, strict=True)]

    def column(width: int) -> tuple[int, ...]:
        return tuple(draw(st.lists(st.integers(0, 9), min_size=width, max_size=width)))

    def block(wide: int, before: int) -> list[list[float]]:
        return draw(st.lists(st.lists(COSTS, min_size=before, max_size=before), min_size=wide, max_size=wide))

    nodes = [column(width) for width in first]
    blocks = [[], *(block(first[k], first[k - 1]) for k in range(1, length))]
    other_nodes = [column(second[k]) if changed[k] else nodes[k] for k in range(length)]
    other_blocks = [
        block(second[k], second[k - 1]) if k and (changed[k] or changed[k - 1]) else blocks[k]
        for k in range(length)
    ]
    make = lambda n, b: Trellis(0, tuple(() for _ in n), tuple(n), tuple(b))  # noqa: E731
    return make(nodes, blocks), make(other_nodes, other_blocks)


@given(trellises())
def test_renewed_costs_are_those_of_a_search_from_scratch(pair: tuple[Trellis, Trellis]) -> None:
    """Forward and backward costs of the second trellis, renewed from the first's, equal the plain search."""
    was, now = pair
    assert renewed_forward(was, forward(was.nodes, was.blocks), now) == forward(now.nodes, now.blocks)
    assert renewed_backward(was, backward(was.nodes, was.blocks), now) == backward(now.nodes, now.blocks)


def test_what_agrees() -> None:
    """Columns agree where one is the other plus a number; what cannot be reached must be the same."""
    assert shift_between([3, 5, INF], [1, 3, INF]) == 2
    assert shift_between([3, 5], [1, 4]) is None
    assert shift_between([3, INF], [1, 4]) is None
    assert shift_between([3], [1, 4]) is None
    assert shift_between([INF], [INF]) == 0
