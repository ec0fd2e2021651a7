"""A plan made in one pass, the hardest cells first: the solver begins with it and falls back on it."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.plan.schedule import Frame, Work, least_drills

Days = list[list[tuple[int, int]]]


def greedy(works: Sequence[Work], frame: Frame, figures: PracticeFigures) -> Days:
    """Drills by day, each cell's in order: every rule is kept, the most gain is not sought."""
    met = [work.met for work in works]
    last: list[int | None] = [None] * len(works)
    days: Days = []
    for day in range(frame.days):
        free = [
            cell
            for cell in range(len(works))
            if (then := last[cell]) is None or day - then <= figures.gap_most + 1
        ]
        rank = sorted(free, key=lambda cell: (day > 0 or cell > 0, -works[cell].weight, cell))
        chosen = _day(rank, works, met, frame, figures)
        for cell, drill in chosen:
            met[cell], last[cell] = max(met[cell], drill + 1), day
        days.append(chosen)
    return days


def _day(
    rank: Sequence[int], works: Sequence[Work], met: Sequence[int], frame: Frame, figures: PracticeFigures
) -> list[tuple[int, int]]:
    """First the least a visit needs of each cell while there is room, then one drill more of each in turn."""
    turns = frame.interleaved and len(works) > 1
    chosen: list[tuple[int, int]] = []
    for cell in rank:
        least = least_drills(works[cell], frame, figures)
        more = [(cell, drill) for drill in _wanted(works[cell], met[cell])[:least]]
        if len(more) == least and _fits(chosen + more, works, frame):
            chosen += more
    if turns and not _in_turns(chosen):
        return []
    for cell in [cell for cell in rank if any(cell == other for other, _ in chosen)]:
        for drill in _wanted(works[cell], met[cell]):
            if (cell, drill) in chosen:
                continue
            more = [*chosen, (cell, drill)]
            if not _fits(more, works, frame) or (turns and not _in_turns(more)):
                break
            chosen = more
    return chosen


def _wanted(work: Work, met: int) -> list[int]:
    """The drills not met yet in order, then those met, the latest first."""
    return [*range(met, len(work.slots)), *reversed(range(min(met, len(work.slots))))]


def _fits(chosen: Sequence[tuple[int, int]], works: Sequence[Work], frame: Frame) -> bool:
    """Whether the day and each cell's part of it are long enough."""
    spots: dict[int, int] = {}
    for cell, drill in chosen:
        spots[cell] = spots.get(cell, 0) + works[cell].slots[drill]
    rests = frame.rest * (len(chosen) - 1)
    return sum(spots.values()) + rests <= frame.slots and max(spots.values()) <= frame.spot


def _in_turns(chosen: Sequence[tuple[int, int]]) -> bool:
    """Whether the drills can be ordered so that no cell follows itself."""
    cells = [cell for cell, _ in chosen]
    return all(2 * cells.count(cell) <= len(cells) + 1 for cell in set(cells))
