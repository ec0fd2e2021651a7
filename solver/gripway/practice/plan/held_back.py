"""How far each hard bar is behind on a day, and which few of them the passage is then played without."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note, between_rests
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.of_ornaments import plain_changes, plain_load
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.plan.course import PLACE, RHYTHM, SECTIONS, THREES
from gripway.practice.ways.around import Around, Ends, without
from gripway.practice.ways.spots import HardPlace
from gripway.practice.ways.way_conditions import runs
from gripway.practice.ways.whole_passage import Stretch, bar_of, bars_of, is_apart
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
    """The bars in which a cell is hard, each as its first and last note; each time through.

    Where it has far more time elsewhere, as in longer notes, it is not hard there (`around_alike_share`).
    """
    notes = route.passage.notes
    loads = {change.to: change.load for change in route.changes}
    least = figures.around_alike_share * plain_load(cell, route, figures)
    written = {notes[to].id for to in plain_changes(cell, route, figures) if loads[to] >= least}
    return tuple(dict.fromkeys(bar_of(notes, to) for to, note in enumerate(notes) if note.id in written))


def around_of(
    shares: Sequence[tuple[float, Sequence[Ends]]],
    whole: float,
    before: Stretch | None,
    notes: Sequence[Note],
    hard: Mapping[str, float],
    figures: PracticeFigures,
) -> Around | None:
    """What the passage is played without, where the whole of it goes at a share of its tempo.

    `shares` say how far each hard change is and which bars it holds back (none: they are not left out),
    `before` is the passage of the day before, `hard` has the loads of hard changes by the id of the note they
    lead to. Left out are the runs that are more than `around_notches` behind what the others may have, or
    behind what these had; fewer, those furthest behind, where these are not few. None where that brings
    nothing.
    """
    step, behind_by = (
        (1 + figures.notch_share) ** n for n in (figures.passage_notches, figures.around_notches)
    )
    had = before.around.share if before and before.around else 0.0
    most = min(1.0, max(had, before.share) * step) if before else 1 / step
    bars: dict[Ends, float] = {}
    for share, places in shares:
        for place in (to_slur_ends(place, notes) for place in places):
            bars[place] = min(share, bars.get(place, 1.0))
    most = min(most, *(share for share, places in shares if not places), 1.0)
    limit = max(had, most / behind_by)
    for least in (limit, *sorted({share for share in bars.values() if share < limit}, reverse=True)):
        slow = [place for place, share in bars.items() if share < least - 1e-9]
        behind = [each for each in slow if _is_block(each, slow, notes, hard, figures)]
        if not behind:
            continue
        reached = min((share for place, share in bars.items() if place not in behind), default=1.0)
        around = without(behind, min(most, reached), notes)
        found = faster_than(whole, around, figures, begins=not had)
        if found and _is_little(around, notes, figures):
            return found
    return None


def still_around(
    shares: Sequence[tuple[float, Sequence[Ends]]],
    whole: float,
    before: Around | None,
    figures: PracticeFigures,
) -> Around | None:
    """The passage once more without what it went without the day before, as long as the whole is slower.

    No bar that has been at a tempo goes back to that of those few.
    """
    had = faster_than(whole, before, figures)
    if had is None:
        return None
    kept = (share for share, places in shares if not places or not all(had.leaves_out(*at) for at in places))
    most = had.share * (1 + figures.notch_share) ** figures.passage_notches
    return replace(had, share=max(had.share, min(1.0, most, *kept)), quarters=0)


def to_slur_ends(bar: Ends, notes: Sequence[Note]) -> Ends:
    """A bar with those that a slur binds it to: none is cut, but before or after the first note of a bar."""
    first, last = bar
    while first and notes[first].slurred and notes[min(first + 1, last)].slurred:
        first = bar_of(notes, first - 1)[0]
    while last + 2 < len(notes) and notes[last + 1].slurred and notes[last + 2].slurred:
        last = bar_of(notes, last + 1)[1]
    return first, last


def left_out_places(
    around: Around | None,
    cells: Sequence[tuple[Cell, Sequence[Ends]]],
    notes: Sequence[Note],
    figures: PracticeFigures,
) -> tuple[HardPlace, ...]:
    """The bars that the passage is played without, as hard places with the cells that are hard in them.

    `cells` are all, each with the bars in which it is hard. They go on to the next note, where it follows.
    """
    found: list[HardPlace] = []
    for first, last in around.ranges if around else ():
        hard = [cell for cell, bars in cells if any(first <= begin and end <= last for begin, end in bars)]
        if hard:
            end = last + (last + 1 < len(notes) and not is_apart(notes, last, figures))
            found.append(HardPlace(first, end, hard[0].part_quarters, tuple(cell.title for cell in hard)))
    return tuple(found)


def _is_block(
    bar: Ends,
    slow: Sequence[Ends],
    notes: Sequence[Note],
    hard: Mapping[str, float],
    figures: PracticeFigures,
) -> bool:
    """Whether a slow bar, with those that go with it, is a run that is hard: no melody, no few notes."""
    first, last = next(each for each in without(slow, 0.0, notes).ranges if each[0] <= bar[0] <= each[1])
    hardest = max((hard.get(each.id, 0.0) for each in notes[first : last + 2]), default=0.0)
    longest = max(map(len, between_rests(notes[first : last + 1])))
    is_hard = hardest >= figures.around_load and longest > figures.cell_notes
    return is_hard and runs(notes[first : last + 1], figures)


def _is_little(around: Around, notes: Sequence[Note], figures: PracticeFigures) -> bool:
    """Whether the bars left out are few, in few places, of a passage that is not short."""
    count = len(bars_of(notes, 0, len(notes) - 1))
    places = {tuple(bars_of(notes, *ends)) for ends in around.ranges}
    left = sum(map(len, places))
    few = left <= figures.around_share * count and len(places) <= figures.around_places
    return few and count >= figures.around_least_bars


def faster_than(
    whole: float, around: Around | None, figures: PracticeFigures, *, begins: bool = False
) -> Around | None:
    """What the passage is played without; None where that is no more than a notch faster than the whole.

    On the first day that `begins` with it, as many notches as the passage climbs in a day at least.
    """
    least = figures.passage_notches - 1e-6 if begins else 1
    return around if around and around.share > whole * (1 + figures.notch_share) ** least else None


def played_after(
    before: Mapping[str, float], stretches: Iterable[Stretch | None], notes: Sequence[Note]
) -> dict[str, float]:
    """The highest share that each note, by its id, had in sections, in a hard bar or in the passage."""
    found = dict(before)
    for each in stretches:
        if each and each.way in ("", SECTIONS, PLACE):
            for at in range(each.first, each.last + 1):
                found[notes[at].id] = max(each.share_of(at, at), found.get(notes[at].id, 0.0))
    return found


def least_played(around: Around, played: Mapping[str, float], notes: Sequence[Note]) -> float:
    """The lowest share that a note that is not left out was played at; 1 where none was."""
    out = {notes[at].id for first, last in around.ranges for at in range(first, last + 1)}
    kept = {note.id for note in notes} - out
    return min((played[note] for note in kept if note in played), default=1.0)


def most_beside_rows(around: Around, studies: Iterable[Stretch], figures: PracticeFigures) -> float:
    """The share that sections and rhythms of the day let the others have: `around_notches` beyond theirs.

    Those of which a quarter or more is left out are about that, and say nothing of the others (judgement).
    """
    out = {at for first, last in around.ranges for at in range(first, last + 1)}
    rows = (each for each in studies if each.way in (SECTIONS, RHYTHM, THREES))
    ahead = (1 + figures.notch_share) ** figures.around_notches
    return min(
        (ahead * each.share for each in rows if _is_mostly_kept(range(each.first, each.last + 1), out)),
        default=1.0,
    )


def _is_mostly_kept(notes: range, out: set[int]) -> bool:
    return 4 * sum(at in out for at in notes) < len(notes)
