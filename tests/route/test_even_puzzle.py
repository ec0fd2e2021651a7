"""One grip a figure as a puzzle: the least effort where all can have one, as many as can be else."""

from dataclasses import replace

from tests.every import every
from tests.oracles.small_puzzles import GRIPS, allowed_paths, random_puzzle

from gripway.edition.even_puzzle import EvenPuzzle, Want
from gripway.model.grip import Grip
from gripway.trellis.puzzle import Puzzle

FIGURES = ((0, 2, 4), (1, 3), (5,))


def puzzle_of(seed: int) -> Puzzle:
    """A puzzle without figures."""
    return replace(random_puzzle(seed), figures=())


def unspoilt(puzzle: Puzzle) -> list[list[bool]]:
    """Every node may be taken."""
    return [[False] * len(column) for column in puzzle.nodes]


def least(puzzle: Puzzle, paths: list[tuple[int, ...]]) -> int | None:
    """The least thousandths of some paths."""
    return min(map(puzzle.milli, paths), default=None)


def with_rows(puzzle: Puzzle, paths: list[tuple[int, ...]], settled: dict[int, int]) -> list[tuple[int, ...]]:
    """The paths that have the rows settled."""
    return [
        path for path in paths if all(puzzle.counted[p].rows[path[p]] == row for p, row in settled.items())
    ]


def rows_in(puzzle: Puzzle, path: tuple[int, ...], figure: tuple[int, ...]) -> set[int]:
    """The rows a path gives a figure."""
    return {puzzle.counted[p].rows[path[p]] for p in figure}


@every(range(100))
def test_figures_that_can_have_one_grip_have_it_at_least_effort(seed: int) -> None:
    """Of all paths that enumeration finds even, none takes less than one with the rows settled."""
    puzzle = puzzle_of(seed)
    kept = [path for path in allowed_paths(puzzle) if puzzle.keeps(path)]
    even = [path for path in kept if all(len(rows_in(puzzle, path, f)) == 1 for f in FIGURES)]
    settled = EvenPuzzle(puzzle, [Want(f) for f in FIGURES], unspoilt(puzzle), 20.0).settled()
    found = with_rows(puzzle, kept, {p: grip.mask for p, grip in settled})
    if even:
        assert {p for p, _ in settled} == {0, 1, 2, 3, 4}
        assert least(puzzle, found) == least(puzzle, even)
    else:
        assert bool(found) == bool(kept)


@every(range(100))
def test_a_grip_known_from_elsewhere_is_kept_where_it_can_be(seed: int) -> None:
    """Every note of the figure that has the grip gets it, if any path can give it to all of them."""
    puzzle, wanted = puzzle_of(seed), seed % (GRIPS - 1)
    kept = [path for path in allowed_paths(puzzle) if puzzle.keeps(path)]
    having = tuple(p for p in (1, 3) if wanted in puzzle.counted[p].rows)
    settled = dict(EvenPuzzle(puzzle, [Want((1, 3), Grip(wanted))], unspoilt(puzzle), 20.0).settled())
    if having and with_rows(puzzle, kept, dict.fromkeys(having, wanted)):
        assert settled == dict.fromkeys(having, Grip(wanted))


@every(range(60))
def test_nodes_better_not_taken_are_taken_only_where_there_is_no_other(seed: int) -> None:
    """A spoilt row of a column is settled on another one, unless every path needs it."""
    puzzle = puzzle_of(seed)
    kept = [path for path in allowed_paths(puzzle) if puzzle.keeps(path)]
    if not kept:
        return
    path = min(kept, key=puzzle.milli)
    spoilt = unspoilt(puzzle)
    for k, row in enumerate(puzzle.counted[2].rows):
        spoilt[2][k] = row == puzzle.counted[2].rows[path[2]]
    (settled,) = EvenPuzzle(puzzle, [], spoilt, 20.0).settled()
    others = [each for each in kept if not spoilt[2][each[2]]]
    found = with_rows(puzzle, kept, {settled[0]: settled[1].mask})
    assert least(puzzle, found) == least(puzzle, others or kept)
