"""A plan's rules counted over real music and six budgets: `python -m tests.practice.account SCORE...`."""

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

from tests.oracles.practice import TABLES

from gripway.model.passage import Note, Passage
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.sheet.fit_choice import ROOM_MM, fit_for
from gripway.page.sheet.outlook_words import free_words, is_free, named_left
from gripway.page.sheet.practice_drill import DrillDrawer
from gripway.page.sheet.practice_layout import height_of
from gripway.practice.drills.drill_minutes import clean_times_of, item_steps, minutes_of, up_to_fastest
from gripway.practice.drills.drills import IN_THE_PART
from gripway.practice.plan.cell_work import DAILY_KINDS, FIRST_KINDS, TO_AND_FRO, daily_drills
from gripway.practice.plan.course import OPENING, SECTIONS
from gripway.practice.plan.day_items import is_in_part
from gripway.practice.plan.easy_cells import is_least, is_light
from gripway.practice.plan.plan import Day, Item, Plan
from gripway.practice.schedule.schedule_rules import LAST_FROM_DAYS, more_things, spot_most
from gripway.practice.ways.fitting_bars import TONGUES
from gripway.practice.ways.sections import LEAST_BARS
from gripway.practice.ways.whole_passage import Stretch, bars_of
from gripway.score.reading.score_reading import ReadOptions, load_score
from gripway.tasks.flutes import flute
from gripway.tasks.practice_sheets import day_page
from gripway.tasks.practise import PracticeTime, practise

BUDGETS = ((5, 3), (10, 3), (15, 7), (20, 5), (30, 5), (60, 5))
"""Minutes a day, and days."""

BARS, STRETCHES = 12, 3
FAST_MS, HIGH = 190.0, 86
"""Stretches are those with most notes that come so soon after the one before, in the third octave."""

USED = 0.85
LEAST_BEFORE_REST_MIN = 10.0
"""No long rest comes after less work (judgement)."""

QUARTER = Fraction(1, 4)

LEAST_MOVES = 3
"""A phrase in which fewer notes move quickly is no work (judgement)."""

QUICK_MS = 260.0
"""Slower notes are read at sight (judgement)."""

WORKED_SHARE = 0.5
"""A phrase is worked on where a row has so much of it (judgement)."""

NO_WORK_ON_BARS = (*OPENING, "listen")
"""Ways that are no work on the bars they name: long notes, breaths, listening."""

FIGURES = TABLES.figures


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that a day of a plan breaks."""

    rule: str
    day: int
    what: str


def faults_of(plan: Plan) -> Iterator[Broken]:
    """Every rule of the issue's that a plan breaks, by its own arithmetic."""
    drawer = DrillDrawer(GripSymbols(flute()))
    yield from (Broken(rule, day, what) for rule, day, what in _course_faults(plan))
    for day in plan.days:
        yield from (Broken(rule, day.day, what) for rule, what in _day_faults(plan, day))
        page = day_page(plan, day)
        high = height_of(page, drawer, fit_for(page, drawer))
        if high > ROOM_MM:
            yield Broken("one page", day.day, f"{high:.0f} mm")


def _course_faults(plan: Plan) -> Iterator[tuple[str, int, str]]:
    """What a course breaks: what is hard, the last day, all bars, tempos, and what a way is for."""
    notes, last = plan.route.passage.notes, plan.days[-1]
    met = {item.cell for day in plan.days[:-1] for item in day.items}
    if len(plan.days) > 1 and not plan.days_before and (new := {item.cell for item in last.items} - met):
        yield "no cell new on the last day", last.day, str(new)
    first_met: dict[tuple[int, int], int] = {}
    for day in plan.days:
        for study in day.studies:
            if study.way == "place":
                first_met.setdefault((study.first, study.last), day.day)
            way = TABLES.ways[study.way]
            within = notes[study.first : study.last + 1]
            if way.not_over & {"ornaments"} and any(note.ornament for note in within):
                yield "no other articulation or rhythm over trills", day.day, study.way
            notches = FIGURES.ahead_notches if study.way in ("place", *TONGUES) else 1
            share = day.passage.share_of(study.first, study.last) if day.passage else study.share
            most = share * (1 + FIGURES.notch_share) ** notches
            if study.share > max(most, _worked_before(plan, day, study.first)) + 1e-9:
                yield "no study a notch above the passage", day.day, study.way
    if len(plan.days) > 1 and last.day in first_met.values():
        yield "no hard place new on the last day", last.day, ""
    named = named_left(plan)
    if named and any(is_free(plan, day, FIGURES) for day in plan.days):
        yield "no free time while what is hard is left for later", last.day, named
    for cell in plan.left:
        there = any(first <= cell.place <= last for first, last in first_met)
        if not there and cell.title not in named:
            yield "what is hard is met or named", last.day, cell.title
    yield from (("tempos go on", day, what) for day, what in leaps(plan))
    yield from (("no bar at two tempos", day, what) for day, what in contradictions(plan))
    yield from (("the passage no faster than its hard bars", day, what) for day, what in too_fast(plan))
    yield from (("no drill twice", last.day, what) for what in _twice(plan))
    for few in _few_in_sections(plan):
        yield "sections are of four bars or more and go on", last.day, few


def _worked_before(plan: Plan, day: Day, first: int) -> float:
    """The highest share of its tempo that a hard bar was worked on at before a day."""
    before = (study for each in plan.days if each.day < day.day for study in each.studies)
    return max(
        (study.share for study in before if study.way == "place" and study.first == first), default=0.0
    )


def too_fast(plan: Plan) -> Iterator[tuple[int, str]]:
    """Days whose passage is faster than a hard bar has been worked on by then, as it stands or by a drill.

    Above its tempo it counts as at it. Not of bars that are hard in grace notes only: the passage is played
    without these.
    """
    graced = [cell.place for cell in plan.left_ornaments]
    worked: dict[int, float] = {}
    ends: dict[int, int] = {}
    for day in plan.days:
        for study in (study for study in day.studies if study.way == "place"):
            if not any(study.first <= place <= study.last for place in graced):
                worked[study.first] = max(study.share, worked.get(study.first, 0.0))
                ends[study.first] = study.last
        for first, end in ends.items():
            drilled = (
                item.end / plan.cells[item.cell].ladder.target
                for item in day.items
                if first < plan.cells[item.cell].cell.place <= end and is_in_part(item, plan.cells)
            )
            worked[first] = max(worked[first], *drilled, 0.0)
        for first, at in worked.items():
            share = min(1.0, day.passage.share_of(first, ends[first])) if day.passage else 0.0
            if at < share - 1e-9:
                bar = plan.route.passage.notes[first].bar
                yield day.day, f"bar {bar} at {at:.0%}, the passage at {share:.0%}"


def contradictions(plan: Plan) -> Iterator[tuple[int, str]]:
    """Days on which a cell goes through its bar far faster than what else is worked on there, or the passage.

    That is `part_notches` above a hard bar that shares two notes with it, and `part_ahead_notches` above a
    passage that is not at its tempo; half a beat a minute is rounding.
    """
    notch = 1 + FIGURES.notch_share
    for day in plan.days:
        for item in day.items:
            planned = plan.cells[item.cell]
            cell, target = planned.cell, planned.ladder.target
            if not is_in_part(item, plan.cells) or cell.has_own_tempo:
                continue
            for study in (study for study in day.studies if study.way == "place"):
                there = study.first < cell.place <= study.last
                if there and item.end > study.share * notch**FIGURES.part_notches * target + 1:
                    yield day.day, f"{cell.title} at {item.end}, its bar at {study.share * target:.0f}"
            share = day.passage.share if day.passage else 1.0
            if share < 1 and item.end > share * notch**FIGURES.part_ahead_notches * target + 1:
                yield day.day, f"{cell.title} at {item.end}, the passage at {share * target:.0f}"


def leaps(plan: Plan) -> Iterator[tuple[int, str]]:
    """Tempos of a cell or of the passage that do not follow from what there was before.

    Within a drill no more than `stride_notches` apart; none begins above what its cell was drilled to before,
    nor ends two sittings' steps back below it, but in the part; the passage goes up, `passage_notches` a day
    at most, but to what it had without few hard bars where that is less than a notch more.
    """
    notch, half = 1 + FIGURES.notch_share, (1 + FIGURES.notch_share) ** 0.6
    tops: dict[int, float] = {}
    for day in plan.days:
        before, now = dict(tops), dict(tops)
        for item in day.items:
            if plan.cells[item.cell].drills[item.drill].free:
                continue
            label = f"{item.cell + 1}.{item.drill + 1} at {' '.join(map(str, item.steps))}"
            if any(b > a * notch**FIGURES.stride_notches * half for a, b in pairwise(item.steps)):
                yield day.day, f"{label} in leaps"
            if item.start > now.get(item.cell, item.start) * half:
                yield day.day, f"{label} after {now[item.cell]:g}"
            part = plan.cells[item.cell].drills[item.drill].kind == IN_THE_PART
            if not part and item.end * notch ** (2 * FIGURES.back_notches) * half < before.get(
                item.cell, 0.0
            ):
                yield day.day, f"{label} below {before[item.cell]:g}"
            now[item.cell] = max(now.get(item.cell, 0.0), item.end)
        tops = now
    played = [(day.day, day.passage) for day in plan.days if day.passage]
    for (_, before), (number, after) in pairwise(played):
        one, other = before.share, after.share
        closes = number == plan.days[-1].day and other >= 1
        most = before.around.share if closes and before.around else one
        up = most * notch**FIGURES.passage_notches
        if before.around and before.around.share < up * notch:
            up = max(up, before.around.share)
        if not min(1.0, one) - 1e-9 <= other <= up + 1e-9:
            yield number, f"passage at {other:.0%} after {one:.0%}"


def _twice(plan: Plan) -> Iterator[str]:
    """Drills that a plan has in two cells: the same notes with the same grips and lengths."""
    had: dict[object, str] = {}
    for number, planned in enumerate(plan.cells, start=1):
        own = {}
        for place, drill in enumerate(planned.drills, start=1):
            notes = [(note.pitch.number, note.onset, note.length) for note in drill.passage.notes]
            key = (tuple(notes), tuple(grip.text for grip in drill.grips))
            own[key] = f"{number}.{place}"
            if key in had:
                yield f"{had[key]} and {number}.{place}"
        had |= own


def _few_in_sections(plan: Plan) -> Iterator[str]:
    """Sections of too few bars but from rest to rest, the same ones two days running at the same tempo.

    Or some again while a phrase of two bars has no row.
    """
    notes = plan.route.passage.notes
    bare = [ends for ends in unworked(plan) if len(bars_of(notes, *ends)) > 1]
    had: set[int] = set()
    before: list[Stretch] = []
    for day in plan.days:
        found = [study for study in day.studies if study.way == SECTIONS]
        for study in found:
            few = len(bars_of(notes, study.first, study.last)) < LEAST_BARS
            if few and not (_is_cut(notes, study.first) and _is_cut(notes, study.last + 1)):
                yield f"few bars {study.bars}"
            if bare and (study.first + study.last) // 2 in had:
                yield f"again bars {study.bars} while {notes[bare[0][0]].bar} has no row"
            had |= {*range(study.first, study.last + 1)}
            if any(
                (one.first, one.last, one.share) == (study.first, study.last, study.share) for one in before
            ):
                yield f"again bars {study.bars}"
        before = found


def _day_faults(plan: Plan, day: Day) -> Iterator[tuple[str, str]]:
    if day.minutes > plan.minutes + 1e-9:
        yield "no longer than asked", f"{day.minutes:g} minutes"
    if day.minutes < USED * plan.minutes and (_work_left(plan, day) or not free_words(plan, FIGURES)):
        yield "the day is used", f"{day.minutes:g} of {plan.minutes}"
    if repeated := _repeated(plan, day):
        yield "nothing two days running but music", ", ".join(repeated)
    if day.passage is None:
        yield "the passage every day", ""
    most = FIGURES.day_most_things + more_things(plan.minutes, FIGURES)
    if len(day.works) > most:
        yield "no more things than a pupil keeps in mind", str(len(day.works))
    if (signs := _new_to_read(plan, day)) > FIGURES.day_new_signs:
        yield "a page to read a day", f"{signs} signs"
    stretch = 0.0
    for place, minutes in enumerate(day.lasting):
        stretch += minutes + FIGURES.rest_s / 60 * bool(stretch)
        if stretch > FIGURES.long_rest_every_min + 1e-9:
            yield "a long rest in time", f"{stretch:g} minutes"
        if place in day.long_rests:
            if stretch < LEAST_BEFORE_REST_MIN:
                yield "a long rest after work", f"{stretch:g} minutes"
            stretch = 0.0
    cells = list(dict.fromkeys(item.cell for item in day.items))
    if cells != sorted(cells):
        yield "cells in their order", str(cells)
    for cell in cells:
        steps = plan.cells[cell].ladder.steps
        asked = {
            step for item in day.items if item.cell == cell for step in item.steps if _climbs(plan, day, item)
        }
        played = [place for place, step in enumerate(steps) if step in asked] or [0]
        if max(played) - min(played) > FIGURES.sitting_notches:
            yield "notches of a sitting", f"{max(played) - min(played)} of cell {cell + 1}"
    for item in day.items:
        if (seconds := _needed(plan, item.cell, item.drill, item.steps)) > item.minutes * 60 + 1e-6:
            yield "an item fits its minutes", f"{seconds:.0f} s in {item.minutes:g} minutes"


def _climbs(plan: Plan, day: Day, item: Item) -> bool:
    """Whether a drill goes with the climb of its cell: not where its own fastest tempo lies below it."""
    ends = [other.end for other in day.items if other.cell == item.cell]
    return item.end == max(ends) or item.end != plan.cells[item.cell].drills[item.drill].fastest


def _at_its_end(plan: Plan, item: Item) -> bool:
    """Whether a drill gets to its last tempo: the goal of its cell, or the fastest its fingers go."""
    planned = plan.cells[item.cell]
    made = planned.drills[item.drill]
    return made.free or item.end >= up_to_fastest(planned.ladder.steps, made)[-1]


def _repeated(plan: Plan, day: Day) -> list[str]:
    """Drills of the day before that come again, though no music; the last of three days may have them."""
    if day is plan.days[-1] and len(plan.days) >= LAST_FROM_DAYS:
        return []
    before = next((each for each in plan.days if each.day == day.day - 1), None)
    drills = {(item.cell, item.drill) for item in before.items} if before else set()
    daily = {(cell, drill) for cell, one in enumerate(plan.cells) for drill in daily_drills(one, FIGURES)}
    again = (item for item in day.items if (item.cell, item.drill) in drills - daily)
    return [f"{item.cell + 1}.{item.drill + 1}" for item in again]


def alike(plan: Plan) -> Iterator[float]:
    """For each day but the first the share of its drills and studies that the day before has too."""
    for before, day in pairwise(plan.days):
        old, new = ({(i.cell, i.drill) for i in d.items} | {s.way for s in d.studies} for d in (before, day))
        yield len(old & new) / max(1, len(new))


def _needed(plan: Plan, cell: int, drill: int, steps: Sequence[int]) -> float:
    """Seconds of three clean times in a row at each tempo, one try in ten failing at least."""
    clean = 1 - FIGURES.errors_slow_share
    repeats = clean_times_of(plan.minutes, FIGURES)
    tries = sum(clean**-power for power in range(1, repeats + 1))
    quarters = 4 * float(plan.cells[cell].drills[drill].lasts)
    return sum(tries * (quarters * 60 / step + FIGURES.breath_s) for step in steps)


def _work_left(plan: Plan, day: Day) -> bool:
    """Whether a cell has a drill left that its 15 minutes still hold, at fewer tempos if need be.

    A day with as many things as it may have has none; nor is a cell that begins on a later day work of this,
    nor more of an easy cell than its bar.
    """
    days = [each for each in plan.days if abs(each.day - day.day) <= 1]
    played = {(item.cell, item.drill) for each in days for item in each.items}
    full = len(day.works) >= FIGURES.day_most_things + more_things(plan.minutes, FIGURES)
    if full or len(day.items) >= FIGURES.day_most_drills + more_things(plan.minutes, FIGURES):
        return False
    for cell, planned in enumerate(plan.cells):
        own = [item for item in day.items if item.cell == cell]
        climb = (min(i.start for i in own), max(i.end for i in own)) if own else planned.ladder.steps[:2]
        closes = day is plan.days[-1] and len(plan.days) >= LAST_FROM_DAYS
        met = {i.drill for each in plan.days if each.day < day.day for i in each.items if i.cell == cell}
        if _days_at_goal(plan, day, cell) >= FIGURES.sure_days or not (own or met or planned.met):
            continue
        had = sum(any(i.cell == cell for i in each.items) for each in plan.days if each.day < day.day)
        if is_least(planned.cell, FIGURES) and had >= FIGURES.least_cell_days:
            continue
        bar = any(is_in_part(item, plan.cells) for item in own)
        if bar and is_light(planned, FIGURES):
            continue
        if len(own) >= FIGURES.kept_drills and all(_at_its_end(plan, item) for item in own):
            continue
        room = spot_most(plan.minutes, FIGURES) - sum(item.minutes for item in own)
        for drill, made in enumerate(planned.drills):
            if closes and drill not in met and drill >= planned.met:
                continue
            plain = [item for item in own if planned.drills[item.drill].kind not in DAILY_KINDS]
            if closes and plain and made.kind not in DAILY_KINDS:
                continue
            if (cell, drill) not in played and made.kind not in FIRST_KINDS:
                if drill not in met and drill >= planned.met and not _can_be_read(plan, day, cell, drill):
                    break  # drills are met in their order
                least = FIGURES.item_least_min
                steps = item_steps(made, planned.ladder, climb, least, plan.minutes, TABLES)
                if minutes_of(made, planned.ladder, steps, FIGURES) <= room:
                    return True
    return False


def _days_at_goal(plan: Plan, day: Day, cell: int) -> int:
    """On how many days before a day a cell was drilled up to its goal."""
    planned = plan.cells[cell]
    return planned.days_at_goal + sum(
        any(
            item.cell == cell and not planned.drills[item.drill].free and item.end >= planned.ladder.goal
            for item in before.items
        )
        for before in plan.days
        if before.day < day.day
    )


def _signs(plan: Plan, cell: int, drill: int) -> int:
    """What there is to read: two notes in turn are read as one of them, the part is known."""
    made = plan.cells[cell].drills[drill]
    notes = len(made.passage.notes) // (2 if made.kind in TO_AND_FRO else 1)
    return FIGURES.drill_signs + (0 if made.kind == "overlap" else notes)


def _new_to_read(plan: Plan, day: Day) -> int:
    """How much a day has to read that no day before had."""
    had = {(item.cell, item.drill) for each in plan.days if each.day < day.day for item in each.items}
    new = {(item.cell, item.drill) for item in day.items} - had
    return sum(_signs(plan, *each) for each in new if each[1] >= plan.cells[each[0]].met)


def _can_be_read(plan: Plan, day: Day, cell: int, drill: int) -> bool:
    """Whether one more new drill is not too much to read on a day."""
    return _new_to_read(plan, day) + _signs(plan, cell, drill) <= FIGURES.day_new_signs


def phrases_of(notes: Sequence[Note]) -> list[tuple[int, int]]:
    """First and last notes from rest to rest, of a beat or more, or to a repeat; none for sight-reading."""
    cuts = [place for place in range(1, len(notes)) if _is_cut(notes, place)]
    found = zip((0, *cuts), (*cuts, len(notes)), strict=True)
    return [(first, end - 1) for first, end in found if _moves(notes[first:end]) >= LEAST_MOVES]


def with_a_phrase(plan: Plan) -> Iterator[bool]:
    """For each of the sections of a plan whether they begin where a phrase does."""
    notes = plan.route.passage.notes
    rows = (study for day in plan.days for study in day.studies if study.way == SECTIONS)
    return (_is_cut(notes, study.first) for study in rows)


def _is_cut(notes: Sequence[Note], place: int) -> bool:
    """Whether a phrase begins at a note, or the part ends before it."""
    if place in (0, len(notes)):
        return True
    one, other = notes[place - 1], notes[place]
    beat = Fraction(1, one.metre[1]) if one.metre else QUARTER
    return other.onset - one.onset - one.length >= beat or one.time_through != other.time_through


def _moves(notes: Sequence[Note]) -> int:
    """How many notes move quickly."""
    played = [note for note in notes if not note.grace]
    return sum(
        one.pitch.number != other.pitch.number and other.onset_ms - one.onset_ms <= QUICK_MS
        for one, other in pairwise(played)
    )


def unworked(plan: Plan) -> list[tuple[int, int]]:
    """The phrases of which no row of the plan works on half the notes."""
    notes = plan.route.passage.notes
    worked = _worked_notes(plan)

    def share(first: int, last: int) -> float:
        within = notes[first : last + 1]
        return sum(note.id in worked for note in within) / len(within)

    return [ends for ends in phrases_of(notes) if share(*ends) < WORKED_SHARE]


def _worked_notes(plan: Plan) -> set[str]:
    """The written notes that some row works on: of studies their own, of a cell in the part its bar."""
    notes = plan.route.passage.notes
    worked: set[str] = set()
    for day in plan.days:
        for study in day.studies:
            if study.way not in NO_WORK_ON_BARS:
                worked |= {note.id for note in notes[study.first : study.last + 1]}
        for item in day.items:
            planned = plan.cells[item.cell]
            if planned.drills[item.drill].kind == IN_THE_PART:
                bar = notes[planned.cell.place].bar
                worked |= {note.id for note in notes if note.bar == bar}
    return worked


def stretches(path: Path, count: int = STRETCHES) -> Iterator[tuple[str, Passage]]:
    """The bars of a score with most fast changes of the third octave, no bar twice."""
    passage = load_score(path).passage
    bars = [bar for bar in dict.fromkeys(note.bar for note in passage.notes) if bar.isdecimal()]
    score = Counter[str]()
    for one, other in zip(passage.notes, passage.notes[1:], strict=False):
        if other.onset_ms - one.onset_ms < FAST_MS and max(one.pitch.number, other.pitch.number) >= HIGH:
            score[one.bar] += 1
    for _ in range(count):
        places = range(max(1, len(bars) - BARS + 1))
        best = max(places, key=lambda place: sum(score[bar] for bar in bars[place : place + BARS]))
        chosen = bars[best : best + BARS]
        span = f"{chosen[0]}-{chosen[-1]}"
        yield span, load_score(path, ReadOptions(bars=span)).passage
        for bar in chosen:
            score[bar] = -1


def main(paths: Sequence[str]) -> None:
    """Count and name what is broken."""
    counted, days, plans, proved = Counter[str](), 0, 0, 0
    used: list[float] = []
    same: list[float] = []
    free = 0
    phrases, bare = 0, 0
    begun: list[bool] = []
    for path in map(Path, paths):
        for span, passage in stretches(path):
            for minutes, many in BUDGETS:
                plan = practise(passage, flute(), time=PracticeTime(minutes, many))
                plans, days, proved = plans + 1, days + len(plan.days), proved + plan.proved
                used += [day.minutes / minutes for day in plan.days]
                same += alike(plan)
                phrases += len(phrases_of(passage.notes))
                bare += len(unworked(plan))
                begun += with_a_phrase(plan)
                free += sum(is_free(plan, day, FIGURES) for day in plan.days)
                for fault in faults_of(plan):
                    counted[fault.rule] += 1
                    print(f"{path.stem} {span} {minutes} min day {fault.day}: {fault.rule}: {fault.what}")
            print(path.stem, span, file=sys.stderr, flush=True)
    print(f"{plans} plans ({proved} proved), {days} days, {sum(used) / len(used):.1%} of the time used")
    print(f"{bare} of {phrases} phrases have no row that works on half of them")
    print(f"{sum(begun)} of {len(begun)} sections begin where a phrase does")
    print(f"{free} days of which the plan says that the rest is free, as it is enough for a day")
    print(f"{sum(same) / len(same):.1%} of a day's drills and studies are those of the day before")
    print("\n".join(f"{rule}: {count}" for rule, count in counted.items()) or "no rule broken")


if __name__ == "__main__":
    main(sys.argv[1:])
