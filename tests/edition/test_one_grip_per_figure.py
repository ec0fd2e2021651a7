"""One grip a figure as a network: the least effort where all can have one, as many as can be else."""

from dataclasses import replace

from tests.every import every
from tests.oracles.small_networks import GRIPS, allowed_paths, random_network

from gripway.edition.one_grip_per_figure import OneGripPerFigure, Want
from gripway.model.grip import Grip
from gripway.trellis.constrained_network import ConstrainedNetwork

FIGURES = ((0, 2, 4), (1, 3), (5,))


def network_of(seed: int) -> ConstrainedNetwork:
    """A network without figures."""
    return replace(random_network(seed), figures=())


def unspoilt(network: ConstrainedNetwork) -> list[list[bool]]:
    """Every node may be taken."""
    return [[False] * len(column) for column in network.nodes]


def least(network: ConstrainedNetwork, paths: list[tuple[int, ...]]) -> int | None:
    """The least thousandths of some paths."""
    return min(map(network.milli, paths), default=None)


def with_rows(
    network: ConstrainedNetwork, paths: list[tuple[int, ...]], settled: dict[int, int]
) -> list[tuple[int, ...]]:
    """The paths that have the rows settled."""
    return [
        path for path in paths if all(network.counted[p].rows[path[p]] == row for p, row in settled.items())
    ]


def rows_in(network: ConstrainedNetwork, path: tuple[int, ...], figure: tuple[int, ...]) -> set[int]:
    """The rows a path gives a figure."""
    return {network.counted[p].rows[path[p]] for p in figure}


@every(range(100))
def test_figures_that_can_have_one_grip_have_it_at_least_effort(seed: int) -> None:
    """Of all paths that enumeration finds even, none takes less than one with the rows settled."""
    network = network_of(seed)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    even = [path for path in kept if all(len(rows_in(network, path, f)) == 1 for f in FIGURES)]
    settled = OneGripPerFigure(network, [Want(f) for f in FIGURES], unspoilt(network), 20.0).settled().grips
    found = with_rows(network, kept, {p: grip.mask for p, grip in settled})
    if even:
        assert {p for p, _ in settled} == {0, 1, 2, 3, 4}
        assert least(network, found) == least(network, even)
    else:
        assert bool(found) == bool(kept)


@every(range(100))
def test_a_grip_known_from_elsewhere_is_kept_where_it_can_be(seed: int) -> None:
    """Every note of the figure that has the grip gets it, if any path can give it to all of them."""
    network, wanted = network_of(seed), seed % (GRIPS - 1)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    having = tuple(p for p in (1, 3) if wanted in network.counted[p].rows)
    search = OneGripPerFigure(network, [Want((1, 3), Grip(wanted))], unspoilt(network), 20.0)
    settled = dict(search.settled().grips)
    if having and with_rows(network, kept, dict.fromkeys(having, wanted)):
        assert settled == dict.fromkeys(having, Grip(wanted))


@every(range(60))
def test_nodes_better_not_taken_are_taken_only_where_there_is_no_other(seed: int) -> None:
    """A spoilt row of a column is settled on another one, unless every path needs it."""
    network = network_of(seed)
    kept = [path for path in allowed_paths(network) if network.keeps(path)]
    if not kept:
        return
    path = min(kept, key=network.milli)
    spoilt = unspoilt(network)
    for k, row in enumerate(network.counted[2].rows):
        spoilt[2][k] = row == network.counted[2].rows[path[2]]
    (settled,) = OneGripPerFigure(network, [], spoilt, 20.0).settled().grips
    others = [each for each in kept if not spoilt[2][each[2]]]
    found = with_rows(network, kept, {settled[0]: settled[1].mask})
    assert least(network, found) == least(network, others or kept)
