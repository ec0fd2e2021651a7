"""How far each hard bar is behind on a day, and which few of them the passage is then played without."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import plain_changes
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.ways.around import Around, Ends, without
from gripway.practice.ways.whole_passage import Stretch, bar_of, bars_of
from gripway.route.result import Route


@dataclass(frozen=True, slots=True)
class HeldBack:
    """The ladder of a hard change without drills, and the bars that it holds back."""

    ladder: Ladder
    bars: tuple[Ends, ...] = ()

    def share_at(self, days: int, figures: PracticeFigures) -> float:
        """The share of its tempo after so many days: `others_notches` up on each."""
        steps = self.ladder.steps
        return steps[min(days * figures.others_notches, len(steps) - 1)] / self.ladder.target


def hard_bars(cell: Cell, route: Route, figures: PracticeFigures) -> tuple[Ends, ...]:
    """The bars in which a cell is hard, each as its first and last note."""
    notes = route.passage.notes
    return tuple(dict.fromkeys(bar_of(notes, to) for to in plain_changes(cell, route, figures)))


def around_of(
    shares: Sequence[tuple[float, Sequence[Ends]]],
    whole: float,
    before: Stretch | None,
    notes: Sequence[Note],
    figures: PracticeFigures,
) -> Around | None:
    """What the passage is played without, where the whole of it goes at a share of its tempo.

    `shares` say how far each hard change is and which bars it holds back, `before` is the passage of the day
    before. Left out are the bars that are more than `around_notches` behind what the others may have, or
    behind what these had; None where they are more than `around_share` of the bars, or the others no faster.
    """
    step = (1 + figures.notch_share) ** figures.passage_notches
    had = before.around.share if before and before.around else 0.0
    most = min(1.0, max(had, before.share) * step) if before else 1 / step
    behind_by = (1 + figures.notch_share) ** figures.around_notches
    bars: dict[Ends, float] = {}
    for share, places in shares:
        for place in places:
            bars[place] = min(share, bars.get(place, 1.0))
    behind = [place for place, share in bars.items() if share < max(had, most / behind_by) - 1e-9]
    count = len(bars_of(notes, 0, len(notes) - 1))
    few = len(behind) <= figures.around_share * count
    if not behind or not few or count < figures.around_least_bars:
        return None
    reached = min((share for place, share in bars.items() if place not in behind), default=1.0)
    return faster_than(whole, without(behind, min(most, reached), notes), figures)


def faster_than(whole: float, around: Around | None, figures: PracticeFigures) -> Around | None:
    """What the passage is played without; None where it is no more than a notch faster than the whole."""
    return around if around and around.share > whole * (1 + figures.notch_share) else None
