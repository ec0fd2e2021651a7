"""What a sheet tells of a day besides what is played: hints, words of pace, what is new and how to tick."""

from collections.abc import Callable, Iterator

from gripway.catalog.tables.practice_figures import DrillKind, practice_tables
from gripway.page.sheet.goal_words import goal_words
from gripway.page.sheet.heading_words import silent_words
from gripway.page.sheet.lever_words import lever_words
from gripway.page.sheet.outlook_words import (
    SLUR_FIRST,
    SPARE_LIPS,
    early_words,
    grace_words_of_day,
    is_loud_and_high,
    is_tongued,
    named_left,
    trill_words,
)
from gripway.page.sheet.pace_words import pace_words
from gripway.practice.cells.change_bars import cell_places_text
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.plan.course import OPENING
from gripway.practice.plan.plan import Day, Item, Plan, PlannedCell

DIAGRAMS = (
    "Diagrams: black is pressed; above the line the left hand, thumb at its left, little finger at its "
    "right; below it the right hand. C5 is the C within the staff."
)
"""How to read the grips, on the first day."""

IN_THE_BAR = "In the bar go on while it stays clean."
"""What follows where drills end below the tempo of their bar."""

MOST_SPOTS = 1
"""Changes of balance named on the first page: one line."""


def hints_of_day(plan: Plan, day: Day, repeats: int) -> Iterator[str]:
    """What is left for later, how to tick, how to read the diagrams, and where the flute may tilt."""
    told = (
        grace_words_of_day(plan, day),
        trill_words(plan, first=False),
        _lever_words(plan, day),
        _ends_words(plan, day),
    )
    yield from filter(None, told)
    if day is plan.days[0] and (names := named_left(plan)):
        yield f"Left for later, as there is no time for it: {names}."
    if day.items:
        rest = f"Rest {day.rest_s:g} seconds between two drills, flute down."
        known = any(each.items for each in plan.days if each.day < day.day)
        silent = silent_words(plan.route.passage) * (day is plan.days[0])
        tick = f"Tick after {repeats} clean times in a row." * known
        yield " ".join(filter(None, (tick, rest, silent)))
    if day.items and not _kinds_before(plan, day):
        yield DIAGRAMS
    if day is plan.days[0] and (asked := goal_words(plan, practice_tables().figures)):
        yield asked
    if early := early_words(plan, day):
        yield early
    if day is plan.days[0]:
        yield from _first_hints(plan)


def pace_words_of_day(plan: Plan, day: Day) -> str:
    """The words that change the tempo in the bars that a day plays."""
    works = [work for work in day.works if not isinstance(work, Item) and work.way not in OPENING]
    return pace_words(plan.route.passage, [(work.first, work.last) for work in works])


def _lever_words(plan: Plan, day: Day) -> str:
    """Where the thumb leaves the B-flat lever, on the first day and where a day works on those bars."""
    whole = [(0, len(plan.route.notes) - 1)] if day is plan.days[0] else []
    works = [(study.first, study.last) for study in day.studies if study.way not in OPENING]
    return lever_words(plan.route.notes, whole or works)


def _ends_words(plan: Plan, day: Day) -> str:
    """Which drills of a day end below the tempo of their bar, and why; each is told of once."""
    before = {(item.cell, item.drill) for each in plan.days if each.day < day.day for item in each.items}
    new = sorted({(item.cell, item.drill) for item in day.items} - before)
    late = [(cell, drill) for cell, drill in new if ends_early(plan.cells[cell], drill)]
    if not late:
        return ""
    names = ", ".join(f"{cell + 1}.{drill + 1}" for cell, drill in late)
    bars = any(each.kind == IN_THE_PART for cell, _ in late for each in plan.cells[cell].drills)
    stay = "stays" if len(late) == 1 else "stay"
    told = f"{names} {stay} below the tempo of the bar: faster, the fingers would come late."
    return f"{told} {IN_THE_BAR}" if bars else told


def ends_early(planned: PlannedCell, drill: int) -> bool:
    """Whether a drill of a cell (from 0) ends at a tempo of its own, below that of the cell."""
    made = planned.drills[drill]
    return not made.free and made.fastest < planned.ladder.goal


def _first_hints(plan: Plan) -> Iterator[str]:
    """What the first day tells last: which bars are left out, the worst of balance."""
    if not plan.days[0].items and (silent := silent_words(plan.route.passage)):
        yield silent
    for spot in plan.balance[:MOST_SPOTS]:
        bar = f" ({where})" if (where := cell_places_text(spot.places[:1])) else ""
        yield f"Balance: {' to '.join(spot.pitches)}{bar}, {spot.watch}."


def _has(plan: Plan, day: Day, asked: Callable[[Drill], bool]) -> bool:
    """Whether one of the day's drills is what is asked."""
    return any(asked(plan.cells[item.cell].drills[item.drill]) for item in day.items)


def told_of_day(plan: Plan, day: Day, repeats: int) -> Iterator[tuple[str, str]]:
    """What is new on a day and what to do in it: how to tick, what is slurred first, the kinds of drills."""
    before = [each for each in plan.days if each.day < day.day]
    if day.items and not any(each.items for each in before):
        yield "Boxes", tick_words(repeats)
    for title, told, asked in (
        ("Slurs", SLUR_FIRST, is_tongued),
        ("Loudness", SPARE_LIPS, is_loud_and_high),
    ):
        if _has(plan, day, asked) and not any(_has(plan, each, asked) for each in before):
            yield title, told
    yield from ((kind.title, kind.instruction) for kind in _new_kinds(plan, day))


def _new_kinds(plan: Plan, day: Day) -> Iterator[DrillKind]:
    """The kinds of drills that no day before has."""
    new = _kinds(plan, day) - _kinds_before(plan, day)
    return (kind for kind in practice_tables().drills.values() if kind.id in new)


def _kinds_before(plan: Plan, day: Day) -> set[str]:
    return {kind for each in plan.days if each.day < day.day for kind in _kinds(plan, each)}


def _kinds(plan: Plan, day: Day) -> set[str]:
    """The kinds of drills on a day."""
    return {plan.cells[item.cell].drills[item.drill].kind for item in day.items}


def tick_words(repeats: int) -> str:
    """How to tick the tempos."""
    return (
        f"Tick a tempo (beats a minute) after {repeats} clean times in a row, relax, go one tempo on; "
        "stay where it is not clean."
    )
