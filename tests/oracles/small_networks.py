"""Small random networks, and what trying every path finds in them."""

import random
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise, product

from gripway.trellis.constrained_network import STEP, Budgets, ConstrainedNetwork, Counted
from gripway.trellis.path import INF

COLUMNS, GRIPS = 6, 5


def row_of(grip: int) -> int:
    """The grip of the tables: the last two grips differ in a free finger only."""
    return min(grip, GRIPS - 2)


@cache
def random_network(seed: int) -> ConstrainedNetwork:
    """Six columns of two to four nodes, some of them with one grip of the tables; some changes barred.

    Limits, what new grips are charged, and which columns are charged for different grips, by chance.
    """
    source = random.Random(seed)
    sizes = [source.randint(2, 4) for _ in range(COLUMNS)]
    counted = []
    for size in sizes:
        grips = [source.randrange(GRIPS) for _ in range(size)]
        unusual = {row_of(grip): source.randrange(2) for grip in grips}
        pitches = {row_of(grip): source.randrange(2) for grip in grips}
        counted.append(
            Counted(
                tuple(unusual[row_of(grip)] for grip in grips),
                tuple(source.randrange(0, 60, 10) for _ in grips),
                tuple(grips),
                tuple(
                    (pitches[row_of(grip)], row_of(grip)) if unusual[row_of(grip)] else None for grip in grips
                ),
                tuple(row_of(grip) for grip in grips),
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
    network = ConstrainedNetwork(
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
        source.choice((0, 150, 400)),
        _chained([pair for pair in combinations(range(COLUMNS), 2) if source.random() < 0.2]),
        source.choice((0, 150, 400)),
    )
    return with_figures(network, figures) if seed % 3 else network


def _chained(pairs: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Those pairs that share no earlier and no later column with one before, as pitches return."""
    kept: list[tuple[int, int]] = []
    for a, b in pairs:
        if all(a != earlier and b != later for earlier, later in kept):
            kept.append((a, b))
    return tuple(kept)


def with_figures(network: ConstrainedNetwork, figures: list[tuple[int, ...]]) -> ConstrainedNetwork:
    """The network with these figures, each left with the rows its columns share (as the builder does)."""
    keep = [list(range(len(column))) for column in network.nodes]
    kept = []
    for figure in figures:
        shared = set.intersection(*(set(network.counted[p].rows) for p in figure))
        if shared:
            kept.append(figure)
            for p in figure:
                keep[p] = [k for k in keep[p] if network.counted[p].rows[k] in shared]
    part = network.only(keep)
    return replace(part, figures=tuple(kept), ids=tuple(tuple(range(len(column))) for column in part.nodes))


def enumerated(network: ConstrainedNetwork) -> int | None:
    """The least thousandths over all paths, each limit counted here anew; None when no path keeps them."""
    best = None
    for path in product(*(range(len(column)) for column in network.nodes)):
        chosen = list(zip(network.counted, path, strict=True))
        budgets = network.budgets
        unusual = sum(c.unusual[k] for c, k in chosen)
        tenths = sum(c.tenths[k] for c, k in chosen)
        learnt = {c.new[k] for c, k in chosen if c.new[k] is not None}
        if budgets.unusual is not None and unusual > budgets.unusual:
            continue
        if budgets.tenths is not None and tenths > budgets.tenths:
            continue
        if budgets.learnt is not None and len(learnt) > budgets.learnt:
            continue
        if any(len({chosen[p][0].rows[path[p]] for p in figure}) > 1 for figure in network.figures):
            continue
        cost = sum(network.nodes[p][k] for p, k in enumerate(path))
        cost += sum(network.blocks[p][path[p]][path[p - 1]] for p in range(1, COLUMNS))
        cost += charged(network, path) * STEP
        if cost < INF and (best is None or cost < best):
            best = int(cost)
    return None if best is None else best // STEP


def charged(network: ConstrainedNetwork, path: tuple[int, ...]) -> int:
    """Thousandths for every new grip, once, and for every pair of columns whose grips differ in their row."""
    chosen = list(zip(network.counted, path, strict=True))
    changed = sum(chosen[p][0].rows[path[p]] != chosen[q][0].rows[path[q]] for p, q in network.returns)
    return network.charge_milli * sum_of(network, path, "learnt") + network.return_milli * changed


def allowed_paths(network: ConstrainedNetwork) -> list[tuple[int, ...]]:
    """Every path without a barred change, whatever the limits."""
    paths = product(*(range(len(column)) for column in network.nodes))
    return [
        path
        for path in paths
        if all(network.blocks[p][path[p]][path[p - 1]] < INF for p in range(1, len(path)))
        and all(
            network.nodes[p][k] < INF for p, k in enumerate(path)
        )  # a settled run may hold a barred change
    ]


def sum_of(network: ConstrainedNetwork, path: tuple[int, ...], name: str) -> int:
    """A sum of a path, counted here anew: unusual, tenths or learnt."""
    chosen = list(zip(network.counted, path, strict=True))
    if name == "learnt":
        return len({c.new[k] for c, k in chosen if c.new[k] is not None})
    return sum((c.unusual if name == "unusual" else c.tenths)[k] for c, k in chosen)


def charged_network(seed: int, columns: int = 7) -> ConstrainedNetwork:
    """A small network without limits that charges: few grips in many columns, pitches that return.

    Charges are about as large as what a node costs, so that neither always pays nor never does.
    Some columns have one node, some have one row on several nodes, as held fingers make them.
    """
    source = random.Random(seed)
    sizes = [source.choice((1, 2, 2, 3, 4)) for _ in range(columns)]
    pitches = [source.randrange(2) for _ in range(columns)]
    counted = []
    for size, pitch in zip(sizes, pitches, strict=True):
        rows = [source.randrange(3) for _ in range(size)]
        new = tuple((pitch, row) if row else None for row in rows)
        none = (0,) * size
        counted.append(Counted(none, none, none, new, tuple(rows)))
    most = source.choice((4, 9))
    nodes = tuple(tuple(source.randrange(most) * 100 * STEP for _ in range(size)) for size in sizes)
    barred = source.choice((0.0, 0.1, 0.3))
    blocks: list[list[list[float]]] = [[]]
    for before, after in pairwise(sizes):
        blocks.append(
            [
                [
                    INF if source.random() < barred else source.randrange(most) * 100 * STEP
                    for _ in range(before)
                ]
                for _ in range(after)
            ]
        )
    return ConstrainedNetwork(
        columns=tuple((None,) * size for size in sizes),  # type: ignore[misc]
        places=tuple(range(columns)),
        nodes=nodes,
        blocks=tuple(blocks),
        counted=tuple(counted),
        ids=tuple(tuple(range(size)) for size in sizes),
        charge_milli=source.choice((0, 60, 150, 400, 1000)),
        returns=_returns(pitches),
        return_milli=source.choice((0, 50, 150, 300)),
    )


def _returns(pitches: list[int]) -> tuple[tuple[int, int], ...]:
    """Each column with the last one of its pitch, but for the one beside it."""
    pairs = []
    for b, pitch in enumerate(pitches):
        before = [a for a in range(b) if pitches[a] == pitch]
        if before and b - before[-1] > 1:
            pairs.append((before[-1], b))
    return tuple(pairs)


def every_path(network: ConstrainedNetwork) -> list[tuple[int, frozenset[object], tuple[int, ...]]]:
    """Thousandths with all charges, new grips and places of every allowed path, each counted here anew."""
    found = []
    for path in allowed_paths(network):
        cost = sum(network.nodes[p][k] for p, k in enumerate(path))
        cost += sum(network.blocks[p][path[p]][path[p - 1]] for p in range(1, len(path)))
        learnt = {c.new[k] for c, k in zip(network.counted, path, strict=True)} - {None}
        changed = 0
        for a, b in network.returns:
            changed += network.counted[a].rows[path[a]] != network.counted[b].rows[path[b]]
        milli = int(cost) // STEP + network.charge_milli * len(learnt) + network.return_milli * changed
        found.append((milli, frozenset(learnt), path))
    return found


def least_of(network: ConstrainedNetwork) -> int | None:
    """The least thousandths with all charges over every path; None where there is none."""
    return min((milli for milli, _, _ in every_path(network)), default=None)
