"""Practice schedules by trying every one: the rules and the gain written down a second time."""

from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.practice.schedule.schedule_rules import CellWork, TimeFrame

Chosen = tuple[frozenset[tuple[int, int]], ...]
"""What is played, day by day: (cell, drill)."""


def every_choice(works: Sequence[CellWork], days: int) -> Iterator[Chosen]:
    """Every set of drills on every day."""
    drills = [(cell, drill) for cell, work in enumerate(works) for drill in range(len(work.slots))]
    sets = [
        frozenset(d for d, taken in zip(drills, bits, strict=True) if taken)
        for bits in product((0, 1), repeat=len(drills))
    ]
    yield from product(sets, repeat=days)


def faults(
    chosen: Chosen, works: Sequence[CellWork], frame: TimeFrame, figures: PracticeFigures, least: int
) -> str:
    """The first rule a plan breaks; empty where it keeps them all. `least` drills make a visit."""
    visits = [0] * len(works)
    for number, day in enumerate(chosen):
        enough = 1 if 0 < number == len(chosen) - 1 else least
        slots = [work.slots_on(visit) for work, visit in zip(works, visits, strict=True)]
        known = [len(work.later) if work.kept_from is None else work.kept_from for work in works]
        most = [work.kept if n >= first else 99 for work, n, first in zip(works, visits, known, strict=True)]
        before = visits
        visits = [n + any(other == cell for other, _ in day) for cell, n in enumerate(visits)]
        lasts = sum(slots[cell][drill] for cell, drill in day) + frame.rest * max(0, len(day) - 1)
        if lasts > frame.slots:
            return "the day is too long"
        if len(day) > frame.most:
            return "too many drills on a day"
        for cell in range(len(works)):
            own = [drill for other, drill in day if other == cell]
            if any(_is_too_slow(works[cell], drill, before[cell]) for drill in own):
                return "a drill that is too slow for the visit"
            if 1 < number == len(chosen) - 1 and len(set(own) - works[cell].music) > 1:
                return "more than one drill that is no music on the last day"
            if sum(slots[cell][drill] for drill in own) > frame.spot:
                return "one cell too long"
            sure = before[cell] >= works[cell].mastered
            if sure and set(own) - {len(works[cell].slots) - 1}:
                return "more than the last drill of a cell that is sure"
            yesterday = number > 0 and any(other == cell for other, _ in chosen[number - 1])
            if own and yesterday and before[cell] - 1 >= works[cell].mastered:
                return "a cell that is sure on two days running"
            if own and len(own) < (1 if sure else enough):
                return "too few drills of a cell"
            if len(own) > most[cell]:
                return "too many drills of a cell at its goal"
            if frame.interleaved and len(works) > 1 and 2 * len(own) > len(day) + 1:
                return "a cell must follow itself"
    if behind := _too_far(chosen, works, frame):
        return behind
    for cell in range(len(works)):
        met = set(range(works[cell].met))
        for day in chosen:
            today = {drill for other, drill in day if other == cell}
            music = works[cell].music
            half = {drill: drill // 2 if drill in music and drill > 1 else drill - 1 for drill in today}
            first = {_not_slower(works[cell], place, drill) for drill, place in half.items()} - {-1}
            if first - met - today:
                return "a drill before the one before it"
            met |= today
        times = [drill for day in chosen for other, drill in day if other == cell]
        once = works[cell].plain - works[cell].daily
        if any(times.count(drill) > (drill >= works[cell].met) for drill in once):
            return "a hold or a stop again"
        spread = chosen[:-1] if len(chosen) > 2 else chosen
        for before, day in pairwise(spread):
            again = {drill for other, drill in before & day if other == cell}
            if again - works[cell].daily:
                return "a drill on two days running"
        for first_day, third in zip(spread, spread[2:], strict=False):
            if {drill for other, drill in first_day & third if other == cell} & works[cell].apart:
                return "a drill twice in three days"
        if any({(cell, d) for d in works[cell].apart} & a & b for a, b in pairwise(spread)):
            return "a drill twice in three days"
        new = {drill for other, drill in chosen[-1] if other == cell} - set(range(works[cell].met))
        new -= {drill for day in chosen[:-1] for other, drill in day if other == cell}
        if (
            len(chosen) > 1
            and new
            and not works[cell].met
            and not any(o == cell for d in chosen[:-1] for o, _ in d)
        ):
            return "a cell begun on the last day"
        trill = works[cell].music if works[cell].bar is None else frozenset()
        if len(chosen) > 2 and new - trill:
            return "a drill begun on the last day"
        visited = [number for number, day in enumerate(chosen) if any(other == cell for other, _ in day)]
        if visited and visited[-1] != len(chosen) - 1:
            return "a cell begun and dropped"
        climbing = visited[: works[cell].mastered]
        if any(b - a > figures.gap_most_days + 1 for a, b in pairwise(climbing)):
            return "too long without the cell"
    return ""


def _goes(work: CellWork, drill: int) -> int:
    """On how many visits a drill goes with the tempos: 99 where on all."""
    return work.until[drill] if work.until and work.until[drill] <= len(work.later) else 99


def _is_too_slow(work: CellWork, drill: int, visit: int) -> bool:
    return visit >= _goes(work, drill)


def _not_slower(work: CellWork, place: int, drill: int) -> int:
    """The drill at a place, or the nearest before it that goes as far as another drill; -1 for none."""
    return max((p for p in range(place + 1) if _goes(work, p) >= _goes(work, drill)), default=-1)


def _too_far(chosen: Chosen, works: Sequence[CellWork], frame: TimeFrame) -> str:
    """Whether a cell gets a new drill before the harder one ahead of it has had as many."""
    climbing = [cell for cell, work in enumerate(works) if not work.done]
    for ahead, cell in pairwise(climbing):
        lengths = [max(slots) for slots in zip(*(works[ahead].slots_on(v) for v in range(9)), strict=True)]
        played: set[int] = set()
        visits = 0
        for day in chosen:
            if visits >= works[ahead].mastered:
                break
            played |= {drill for other, drill in day if other == ahead}
            visits += any(other == ahead for other, _ in day)
            for drill in (drill for other, drill in day if other == cell and drill >= works[cell].met):
                goes = [p for p in range(len(lengths)) if _goes(works[ahead], p) == 99]
                first = max((p for p in goes if p <= drill), default=-1)
                if first < 0:
                    continue
                fits = max(lengths[: first + 1]) <= min(frame.slots, frame.spot)
                if fits and first >= works[ahead].met and first not in played:
                    return "further than the harder cell"
    return ""


def gain(chosen: Chosen, works: Sequence[CellWork], figures: PracticeFigures) -> int:
    """What a plan is worth."""
    total = 0
    for cell, work in enumerate(works):
        times = [sum((cell, drill) in day for day in chosen) for drill in range(len(work.slots))]
        visits = sum(any(other == cell for other, _ in day) for day in chosen)
        worth = sum(max(0, figures.visit_gain - k * figures.visit_less_gain) for k in range(visits))
        worth += figures.return_gain * (visits > 1)
        worth += figures.sure_gain * max(0, visits - work.mastered)
        for drill, often in enumerate(times):
            again = figures.again_plain_gain if drill in work.plain else figures.again_gain
            worth += often * again + (drill >= work.met and often > 0) * (figures.drill_gain - again)
        worth += figures.last_gain * ((cell, len(work.slots) - 1) in chosen[-1])
        worth += figures.first_gain * (cell == 0 and any(other == 0 for other, _ in chosen[0]))
        worth += figures.second_gain * (
            cell == 0 and any(other == 0 for day in chosen[1:2] for other, _ in day)
        )
        total += work.weight * worth
    return total
