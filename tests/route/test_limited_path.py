"""The least path under limits: the same as full enumeration on small random puzzles."""

import random
from itertools import pairwise, product

import pytest

from gripway.route.dominance import without_dominated
from gripway.route.limited_path import limited_path
from gripway.route.path import INF
from gripway.route.puzzle import STEP, Budgets, Counted, Puzzle

COLUMNS, GRIPS = 6, 4


def random_puzzle(seed: int) -> Puzzle:
    """Six columns of two to four nodes, two of them with one grip; some changes barred, limits by chance."""
    source = random.Random(seed)
    sizes = [source.randint(2, 4) for _ in range(COLUMNS)]
    counted = []
    for size in sizes:
        grips = [source.randrange(GRIPS) for _ in range(size)]
        unusual = {grip: source.randrange(2) for grip in grips}
        counted.append(
            Counted(
                tuple(unusual[grip] for grip in grips),
                tuple(source.randrange(0, 60, 10) for _ in grips),
                tuple(grips),
                tuple((source.randrange(2), grip) if unusual[grip] else None for grip in grips),
            )
        )
    nodes = tuple(tuple(source.randrange(9) * 100 * STEP for _ in range(size)) for size in sizes)
    blocks: list[list[list[float]]] = [[]]
    for before, after in pairwise(sizes):
        blocks.append(
            [
                [INF if source.random() < 0.1 else source.randrange(9) * 100 * STEP for _ in range(before)]
                for _ in range(after)
            ]
        )
    figures = [(0, 2, 4), (1, 3)] if seed % 2 else [(1, 2)]
    puzzle = Puzzle(
        tuple((None,) * size for size in sizes),  # type: ignore[misc]
        tuple(range(COLUMNS)),
        nodes,
        tuple(blocks),
        tuple(counted),
        (),
        Budgets(
            source.choice((None, None, 1, 2, 3)),
            source.choice((None, None, 40, 80, 120)),
            source.choice((None, None, 1, 2)),
        ),
        tuple(tuple(range(size)) for size in sizes),
    )
    return with_figures(puzzle, figures) if seed % 3 else puzzle


def with_figures(puzzle: Puzzle, figures: list[tuple[int, ...]]) -> Puzzle:
    """The puzzle with these figures, each left with the grips its columns share (as the builder does)."""
    keep = [list(range(len(column))) for column in puzzle.nodes]
    kept = []
    for figure in figures:
        shared = set.intersection(*(set(puzzle.counted[p].grips) for p in figure))
        if shared:
            kept.append(figure)
            for p in figure:
                keep[p] = [k for k in keep[p] if puzzle.counted[p].grips[k] in shared]
    part = puzzle.only(keep)
    return Puzzle(
        part.columns,
        part.places,
        part.nodes,
        part.blocks,
        part.counted,
        tuple(kept),
        part.budgets,
        tuple(tuple(range(len(column))) for column in part.nodes),
    )


def enumerated(puzzle: Puzzle) -> int | None:
    """The least thousandths over all paths, each limit counted here anew; None when no path keeps them."""
    best = None
    for path in product(*(range(len(column)) for column in puzzle.nodes)):
        chosen = list(zip(puzzle.counted, path, strict=True))
        budgets = puzzle.budgets
        unusual = sum(c.unusual[k] for c, k in chosen)
        tenths = sum(c.tenths[k] for c, k in chosen)
        learnt = {c.new[k] for c, k in chosen if c.new[k] is not None}
        if budgets.unusual is not None and unusual > budgets.unusual:
            continue
        if budgets.tenths is not None and tenths > budgets.tenths:
            continue
        if budgets.learnt is not None and len(learnt) > budgets.learnt:
            continue
        if any(len({chosen[p][0].grips[path[p]] for p in figure}) > 1 for figure in puzzle.figures):
            continue
        cost = sum(puzzle.nodes[p][k] for p, k in enumerate(path))
        cost += sum(puzzle.blocks[p][path[p]][path[p - 1]] for p in range(1, COLUMNS))
        if cost < INF and (best is None or cost < best):
            best = int(cost)
    return None if best is None else best // STEP


@pytest.mark.parametrize("seed", range(120))
def test_the_least_path_is_the_one_enumeration_finds(seed: int) -> None:
    """Value, proof and impossibility are those of trying every path, for every mixture of limits."""
    puzzle = random_puzzle(seed)
    expected = enumerated(puzzle)
    answer = limited_path(puzzle, 20.0)
    if expected is None:
        assert answer.conflict
        assert answer.path is None
    else:
        assert answer.path is not None
        assert puzzle.keeps(answer.path)
        assert (puzzle.milli(answer.path), answer.bound, answer.proved) == (expected, expected, True)


def test_the_random_puzzles_are_worth_trying() -> None:
    """Among them are free ones, bound ones and impossible ones, with and without figures."""
    puzzles = [random_puzzle(seed) for seed in range(120)]
    values = [enumerated(puzzle) for puzzle in puzzles]
    assert values.count(None) >= 5
    assert sum(bool(puzzle.figures) for puzzle in puzzles) >= 40
    assert sum(puzzle.budgets != Budgets() for puzzle in puzzles) >= 80


@pytest.mark.parametrize("seed", range(120))
def test_thinning_loses_no_least_path(seed: int) -> None:
    """Without the dominated candidates the least effort under the limits is what it was."""
    puzzle = random_puzzle(seed)
    assert enumerated(without_dominated(puzzle)) == enumerated(puzzle)


def test_a_cut_search_says_how_far_it_is() -> None:
    """With next to no time there may be no answer, but the bound is never above the least."""
    for seed in range(1, 30):
        puzzle = random_puzzle(seed)
        expected = enumerated(puzzle)
        answer = limited_path(puzzle, 1e-6)
        if expected is not None:
            assert answer.bound <= expected
            assert not answer.conflict
            if answer.path is not None:
                assert puzzle.milli(answer.path) >= expected


def test_the_same_puzzle_gives_the_same_path() -> None:
    """Two searches of one puzzle choose the same nodes."""
    for seed in (1, 5, 11):
        puzzle = random_puzzle(seed)
        assert limited_path(puzzle, 20.0) == limited_path(puzzle, 20.0)
