"""The drills of a day with their tempos: each goes on where its cell ended, none beyond a sitting."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.model.passage import Note
from gripway.practice.drills.drill_minutes import item_steps, minutes_of, tempos_of
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.plan.cell_work import FIRST_KINDS, signs_of, sitting_of, still_there
from gripway.practice.plan.plan import Day, Item, PlannedCell
from gripway.practice.schedule.schedule_rules import spot_most
from gripway.practice.ways.spots import spot_of


@dataclass(frozen=True, slots=True)
class Climbed:
    """How many notches of its ladder a cell has climbed, and on how many days it was at its goal."""

    notches: int = 0
    at_goal: int = 0

    def foot(self, figures: PracticeFigures) -> int:
        """Where the next day with it begins, in notches."""
        return max(0, self.notches - figures.back_notches)

    def is_sure(self, figures: PracticeFigures) -> bool:
        """Whether it was at its goal on `sure_days`."""
        return self.at_goal >= figures.sure_days

    def climb(self, ladder: Ladder, figures: PracticeFigures) -> tuple[int, int]:
        """From which tempo to which the next day climbs."""
        foot = self.foot(figures)
        top = min(len(ladder.steps) - 1, foot + figures.sitting_notches)
        return ladder.steps[foot], ladder.steps[top]

    def sure(self, ladder: Ladder, figures: PracticeFigures) -> int:
        """How many notches up it is sure: at its goal once it was there on `sure_days`."""
        return len(ladder.steps) - 1 if self.is_sure(figures) else self.foot(figures)

    def after(self, planned: PlannedCell, top: int, known: int) -> "Climbed":
        """After a day whose drills went up to a tempo, those that are no holds and stops to a `known` one.

        0 where there are none. A cell whose drills end below its goal is there at the end of these.
        """
        if not top:
            return self
        fastest = [drill.fastest for drill in planned.drills if drill.kind not in FIRST_KINDS]
        goal = min(planned.ladder.goal, max(fastest, default=planned.ladder.goal))
        notches = max(self.notches, sum(step <= top for step in planned.ladder.steps) - 1)
        return Climbed(notches, self.at_goal + (known >= goal))


def climbed_before(planned: PlannedCell) -> Climbed:
    """What a cell has climbed by its log."""
    ladder = planned.ladder
    notches = sum(step <= (ladder.reached or 0) for step in ladder.steps[1:])
    return Climbed(notches, planned.days_at_goal)


def day_items(
    chosen: Sequence[tuple[int, int]],
    cells: Sequence[PlannedCell],
    climbed: Sequence[Climbed],
    planned_climbs: Sequence[tuple[int, int]],
    most_shares: Mapping[int, float],
    in_part: Mapping[int, int],
    longer: Mapping[int, float],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """The drills of a day with their tempos: each of a cell goes on where the one before it ended.

    What stands in the part begins `back_notches` below where it ended the last time (`in_part`, by the cell),
    or there where it would get no further, and goes no more than `part_notches` beyond them, or beyond what
    was known before; to no more than one of `most_shares` of its tempo, and not at all where that is below
    what the cell begins with. None takes longer than with the climb it was planned with, but `longer`, by the
    cell, what stands in the part.
    """
    reached: dict[int, int] = {}
    items = []
    for cell, drill in chosen:
        planned, figures = cells[cell], tables.figures
        ladder, made = planned.ladder, planned.drills[drill]
        foot, top = (ladder.steps.index(tempo) for tempo in climbed[cell].climb(ladder, figures))
        count = tempos_of(made, minutes, tables)
        first = min(reached.get(cell, foot), max(foot, top + 1 - max(count, figures.back_notches + 1)))
        last = top
        if made.kind == IN_THE_PART and cell in in_part:
            first = min(first, max(0, sum(step <= in_part[cell] for step in ladder.steps) - 1))
        if cell in reached and made.kind == IN_THE_PART:
            last = min(
                top,
                max(
                    first, reached[cell] + figures.part_notches, climbed[cell].notches + figures.part_notches
                ),
            )
        if made.kind == IN_THE_PART and cell in most_shares:
            last = min(last, sum(step <= most_shares[cell] * ladder.target for step in ladder.steps) - 1)
            if last < 0:
                continue
            first = min(first, last)
        most = sitting_of(planned, drill, planned_climbs[cell], minutes, tables)[1]
        if made.kind == IN_THE_PART and cell in longer:
            most = max(most, min(figures.item_most_min, longer[cell]))
        climb = (ladder.steps[first], ladder.steps[last])
        steps, lasts = sitting_of(planned, drill, climb, minutes, tables, most)
        ended = in_part.get(cell, 0) if made.kind == IN_THE_PART else 0
        stays = steps[-1] <= ended < ladder.steps[last]
        if stays:
            climb = (ended, ladder.steps[last])
            steps, lasts = _further(planned, drill, climb, (lasts, most), minutes, tables)
        ready = made.kind != IN_THE_PART or in_part.get(cell, ladder.goal) >= ladder.goal
        if climbed[cell].is_sure(figures) and ready:
            steps, lasts = still_there(planned, drill, steps, figures)
        elif made.kind == IN_THE_PART and cell in in_part and not stays:
            steps = _from_below(steps, in_part[cell], ladder, figures)
            lasts = minutes_of(made, ladder, steps, figures)
        items.append(Item(cell, drill, lasts, steps))
        if not made.free:
            reached[cell] = max(reached.get(cell, foot), sum(step <= steps[-1] for step in ladder.steps) - 1)
    kept = [_in_a_sitting(item, items, cells[item.cell], minutes, tables) for item in items]
    return [_in_strides(item, kept[:place], cells[item.cell], tables) for place, item in enumerate(kept)]


def _further(
    planned: PlannedCell,
    drill: int,
    climb: tuple[int, int],
    rooms: tuple[float, float],
    minutes: float,
    tables: PracticeTables,
) -> tuple[tuple[int, ...], float]:
    """A sitting from where a drill ended, with no time to begin below it: in the first room if that helps."""
    usual, most = rooms
    found = sitting_of(planned, drill, climb, minutes, tables, usual)
    return found if found[0][-1] > climb[0] else sitting_of(planned, drill, climb, minutes, tables, most)


def _from_below(
    steps: tuple[int, ...], ended: int, ladder: Ladder, figures: PracticeFigures
) -> tuple[int, ...]:
    """Tempos with one more before them, `back_notches` below where a drill ended, if they begin above it."""
    known = [step for step in ladder.steps if step <= ended]
    below = known[max(0, len(known) - 1 - figures.back_notches)] if known else steps[0]
    return (below, *steps) if below < steps[0] else steps


def _in_strides(item: Item, before: Sequence[Item], planned: PlannedCell, tables: PracticeTables) -> Item:
    """A drill at every second tempo where one of its cell has gone through as many before it that day."""
    figures, steps = tables.figures, item.steps
    ladders = [each.steps for each in before if each.cell == item.cell]
    if len(steps) < figures.stride_from_tempos or not any(len(each) >= len(steps) for each in ladders):
        return item
    between = [step for step in planned.ladder.steps if steps[0] <= step <= steps[-1]]
    thinned = tuple(sorted({steps[0], *between[::-2]}))
    if len(thinned) >= len(steps):
        return item
    made = planned.drills[item.drill]
    return replace(item, steps=thinned, minutes=minutes_of(made, planned.ladder, thinned, figures))


def one_more(
    items: Sequence[Item],
    planned: PlannedCell,
    near: Collection[int],
    days: Sequence[Day],
    minutes: float,
    tables: PracticeTables,
) -> list[Item]:
    """One more drill of the only cell of a plan on a long day that has room for it; else none.

    It is none of those `near` (of the day, or the one before or after), is not too much to read, and goes
    with the tempos of the last one, fewer of them where there is no time for all.
    """
    figures, last = tables.figures, items[-1] if items else None
    room = spot_most(minutes, figures) - sum(item.minutes for item in items)
    if minutes <= figures.day_usual_min or last is None or planned.drills[last.drill].free:
        return []
    met = {item.drill for day in days for item in day.items}
    new = sum(signs_of(planned.drills[item.drill], figures) for item in items if item.drill not in met)
    for place, made in enumerate(planned.drills):
        reads = new + signs_of(made, figures) * (place not in met)
        slow = made.free or made.fastest < last.end
        if slow or place in near or made.kind in FIRST_KINDS or reads > figures.day_new_signs:
            continue
        steps = item_steps(made, planned.ladder, (last.start, last.end), room, minutes, tables)
        lasts = minutes_of(made, planned.ladder, steps, figures)
        if lasts <= room:
            return [_in_strides(Item(last.cell, place, lasts, steps), items, planned, tables)]
    return []


def _in_a_sitting(
    item: Item, items: Sequence[Item], planned: PlannedCell, day: float, tables: PracticeTables
) -> Item:
    """An item with no tempo more than `sitting_notches` above the lowest that its cell has on the day.

    `day` is how many minutes that has.
    """
    made, figures = planned.drills[item.drill], tables.figures
    if made.free:
        return item
    own = (each for each in items if each.cell == item.cell and not planned.drills[each.drill].free)
    known = planned.ladder.steps
    lowest = min(sum(step < each.start for step in known) for each in own)
    most = known[min(lowest + figures.sitting_notches, len(known) - 1)]
    steps = tuple(step for step in item.steps if step <= most)
    if not steps:  # one that begins higher ends there
        steps = item_steps(made, planned.ladder, (most, most), item.minutes, day, tables)
    return replace(item, steps=steps, minutes=minutes_of(made, planned.ladder, steps, figures))


def is_in_part(item: Item, cells: Sequence[PlannedCell]) -> bool:
    """Whether a drill is the bar itself, as it stands in the part."""
    return cells[item.cell].drills[item.drill].kind == IN_THE_PART


def is_first(item: Item, cells: Sequence[PlannedCell]) -> bool:
    """Whether a drill is one that a cell is met with."""
    return cells[item.cell].drills[item.drill].kind in FIRST_KINDS


def drilled_to(items: Sequence[Item], cells: Sequence[PlannedCell]) -> dict[int, int]:
    """Up to which tempo the cells of a day are drilled on it."""
    found: dict[int, int] = {}
    for item in items:
        if not cells[item.cell].drills[item.drill].free:
            found[item.cell] = max(item.end, found.get(item.cell, 0))
    return found


def ready_of(
    cells: Sequence[PlannedCell], drilled: Mapping[int, int], notes: Sequence[Note]
) -> dict[str, float]:
    """How far the cells are that were `drilled` up to a tempo, as shares, by the ids of notes they lead to.

    0 for one that is not begun and was not before; none for trills, which have their own tempo.
    """
    found: dict[str, float] = {}
    for number, planned in enumerate(cells):
        if not planned.cell.has_own_tempo:
            spot = spot_of(number, planned.cell)
            at = drilled.get(number, planned.ladder.reached or 0) / planned.ladder.target
            for note in {notes[place].id for place in (spot.place, *spot.places)}:
                found[note] = min(at, found.get(note, 1.0))
    return found


def numbered(
    cells: Sequence[PlannedCell], days: Sequence[Day]
) -> tuple[tuple[PlannedCell, ...], tuple[Day, ...]]:
    """The cells with their drills numbered as the days have them one after another, and the days with these.

    Drills that were on days that are over come first, those that no day has last.
    """
    orders = []
    for cell, planned in enumerate(cells):
        used = [item.drill for day in days for item in day.items if item.cell == cell]
        places = range(len(planned.drills))
        orders.append(tuple(dict.fromkeys((*places[: planned.met], *used, *places))))
    moved = [
        replace(planned, drills=tuple(planned.drills[at] for at in order), order=order)
        for planned, order in zip(cells, orders, strict=True)
    ]
    return tuple(moved), tuple(
        replace(
            day,
            items=tuple(replace(item, drill=orders[item.cell].index(item.drill)) for item in day.items),
        )
        for day in days
    )
