"""A practice plan as a player reads it: why, drills, ladder, days, balance, cautions."""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from rich.console import Console
from rich.text import Text

from gripway.catalog.flute.instruments import full_title
from gripway.catalog.tables.practice_figures import practice_tables
from gripway.cli.text.terminal import print_indented, print_table, rendered, words
from gripway.display import counted
from gripway.effort.candidate import Candidate
from gripway.model.instrument import Instrument
from gripway.model.tempo import beat_name, beats_of, tempo_words
from gripway.page.sheet.day_hints import IN_THE_BAR, ends_early
from gripway.page.sheet.goal_words import above_of_day, at_this_tempo
from gripway.page.sheet.heading_words import (
    beyond_words,
    easy_words,
    fingering_words,
    goal_of,
    grace_words,
    heading_of,
    metre_words,
    movement_of,
    no_mark_words,
    silent_words,
    time_words,
)
from gripway.page.sheet.lever_words import lever_words
from gripway.page.sheet.outlook_words import (
    SLUR_FIRST,
    SPARE_LIPS,
    WARM_UP,
    climb_words,
    first_words,
    how_of,
    is_loud_and_high,
    is_of_the_file,
    is_tongued,
    left_words,
    lifted_words,
    other_grips_words,
    outlook_words,
    rest_words,
)
from gripway.page.sheet.pace_words import (
    around_tempos,
    pace_words,
    settled_words,
    stretch_tempo,
    with_settled,
)
from gripway.page.sheet.trill_words import as_drilled_words, trill_start_words, trills_of, untrilled_words
from gripway.practice.cells.change_bars import cell_places_text, where_words
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.cells.grip_to_try import to_try_words
from gripway.practice.drills.drill_score import drill_title, grips_in_turn
from gripway.practice.drills.drills import IN_THE_PART, Drill
from gripway.practice.plan.balance import MIRROR
from gripway.practice.plan.course import BREATHS
from gripway.practice.plan.outlook import outlook_of
from gripway.practice.plan.plan import Day, Item, Plan, PlannedCell, tempos_of_stretch
from gripway.practice.ways.whole_passage import (
    Stretch,
    around_words,
    passage_words,
    study_words,
    title_of_way,
)
from gripway.route.result import RouteNote

DRILL_COLUMNS = ("drill", "metre", "up to", "notes")
ENDS = "No drill goes faster than its own last tempo (up to): the fingers would come late."
TEMPO_SIGNS = 36
"""Signs of tempos in one line of the days."""

MOST_SPOTS = 3
"""Changes of balance that are told; the JSON has all."""

LENGTHS = (
    "Notes without a length are sixteenths; 1/8 is an eighth, 3/16 a dotted eighth, r a rest, {} hold grace "
    "notes, tr is a trill."
)


@rendered
def practise_text(console: Console, plan: Plan, instrument: Instrument) -> None:
    """The plan in at most 100 columns; colour only on a terminal."""
    if plan.days:
        unmarked = no_mark_words(plan)
        first = f"{unmarked[:1].upper()}{unmarked[1:]}." if unmarked else ""
        told = " ".join(filter(None, (first_words(plan, practice_tables().figures), first)))
        console.print(words(told, style="bold"))
        console.print()
    _head(console, plan, instrument)
    _no_grips(console, plan)
    if not plan.cells:
        _nothing_hard(console, plan)
    if plan.days:
        _days(console, plan)
    for number, planned in enumerate(plan.cells, start=1):
        _cell(console, plan, number, planned)
    if plan.days:
        _trills(console, plan)
        _instructions(console, plan)
    _balance(console, plan)
    console.print(Text("Cautions", style="bold"))
    print_indented(console, *plan.cautions)


def _head(console: Console, plan: Plan, instrument: Instrument) -> None:
    work, part, bars = heading_of(plan.route.passage)
    goal = "" if is_of_the_file(plan) else goal_of(plan)
    names = " · ".join(filter(None, (work, movement_of(plan.route.passage), part, bars, goal)))
    console.print(words(names, style="bold"))
    cells = (
        f" · {counted(len(plan.cells), 'cell')} (the few notes around a hard change)" if plan.cells else ""
    )
    console.print(f"{full_title(instrument)} · {counted(len(plan.route.notes), 'note')}{cells}", markup=False)
    for told in filter(None, (silent_words(plan.route.passage), beyond_words(plan.route.passage))):
        console.print(words(told))
    for asked in filter(None, (metre_words(plan), grace_words(plan))):
        console.print(words(asked))
    if pace := pace_words(plan.route.passage, [(0, len(plan.route.notes) - 1)]):
        console.print(words(pace))
    if left := left_words(plan):
        console.print(words(left))
    if used := fingering_words(_grips_told(plan)):
        console.print(words(used))
    if lever := lever_words(plan.route.notes, [(0, len(plan.route.notes) - 1)]):
        console.print(words(lever))
    console.print()


def _grips_told(plan: Plan) -> Iterator[str]:
    """The grips that the plan tells of, as they are written in it."""
    for planned in plan.cells:
        yield from (candidate.grip.short for candidate in planned.cell.candidates)
        yield from (grip.short for drill in planned.drills for grip in drill.grips)
    yield from (trill.words for trill in trills_of(plan.route, 0, len(plan.route.notes) - 1))
    if plan.days:
        yield first_words(plan, practice_tables().figures)


def _no_grips(console: Console, plan: Plan) -> None:
    """Which notes have no grip, and why."""
    lost = sum(note.candidate is None for note in plan.route.notes)
    if lost:
        has = "has no grip and is" if lost == 1 else "have no grip and are"
        console.print(words(f"{counted(lost, 'note')} {has} left out: {'; '.join(plan.no_grip)}."))
        console.print()


def _nothing_hard(console: Console, plan: Plan) -> None:
    if plan.hardest is None and plan.no_grip:
        console.print(words("No two neighbouring notes have grips: there is no change to practise."))
    elif plan.hardest is None:
        console.print(words("There is no change of fingers to practise here."))
    else:
        console.print(words(f"Nothing here is hard at this tempo: {easy_words(plan)}"))
    console.print()


def _cell(console: Console, plan: Plan, number: int, planned: PlannedCell) -> None:
    cell, ladder = planned.cell, planned.ladder
    notes = plan.route.passage.notes
    title = f"Cell {number}: {cell.title}   {time_words(cell.load)}, {where_words(cell, notes)}"
    console.print(words(title, style="bold"))
    grips = ", ".join(
        f"{pitch} {candidate.grip.short}"
        for pitch, candidate in zip(cell.pitches, cell.candidates, strict=True)
    )
    figures = practice_tables().figures
    beat = beat_of_cell(cell, figures)
    outlook = outlook_words(outlook_of(plan, number - 1, figures), beat) if plan.days else ""
    played = {item.drill for day in plan.days for item in day.items if item.cell == number - 1}
    told = played or set(range(len(planned.drills)))
    for text in (
        grips,
        planned.why,
        " ".join(
            filter(
                None,
                (
                    planned.worth.advice,
                    to_try_words(planned.worth.to_try),
                    lifted_words(planned.cell),
                    other_grips_words(plan, number - 1, told),
                ),
            )
        ),
        ladder_words(planned),
        outlook,
        known_words(number, planned),
    ):
        if text:
            print_indented(console, text)
    if planned.reached:
        tempos = ", ".join(
            f"{beats_of(entry.quarters, beat)} ({entry.when[:10]})" for entry in planned.reached
        )
        print_indented(console, f"Reached: {tempos}; of {beats_of(ladder.target, beat)}.")
    console.print()
    print_table(console, "", DRILL_COLUMNS, list(drill_rows(number, planned, played)))
    print_indented(console, *mixed_grips(number, planned, played))
    if trill := as_drilled_words(plan, number - 1, plan.days):
        print_indented(console, f"{trill.capitalize()}.")
    if others := _other_grips(planned, played):
        print_indented(console, f"The notes around it: {others}")
        console.print()


def drill_rows(number: int, planned: PlannedCell, played: Collection[int] = ()) -> Iterator[tuple[str, ...]]:
    """A row a drill: number, title, metre, fastest tempo in beats, notes; of drills `played` (from 0)."""
    beat = beat_of_cell(planned.cell, practice_tables().figures)
    for place, drill in _of_days(planned, played):
        head = f"{number}.{place} {drill_title(drill, practice_tables())}"
        fastest = "free" if drill.free else f"{beats_of(drill.fastest, beat)}"
        yield head, "{}/{}".format(*drill.metre), fastest, drill.notation


def _of_days(planned: PlannedCell, played: Collection[int]) -> Iterator[tuple[int, Drill]]:
    """The drills that days play with their numbers (from 1); all where no day plays one."""
    numbered = enumerate(planned.drills, start=1)
    return ((place, drill) for place, drill in numbered if not played or place - 1 in played)


def mixed_grips(number: int, planned: PlannedCell, played: Collection[int] = ()) -> Iterator[str]:
    """Where a pitch first takes more than one grip in a drill: its grips in playing order."""
    met: set[str] = set()
    for place, drill in _of_days(planned, played):
        for name, told in grips_in_turn(drill).items():
            if name not in met:
                met.add(name)
                yield f"In {number}.{place} {name} is first {told}."


def _other_grips(planned: PlannedCell, played: Collection[int]) -> str:
    """Grips of the notes that drills add to the cell, each once."""
    known = {(note.note.pitch.number, c.grip) for note, c in zip(*_both(planned), strict=True)}
    added = {
        f"{note.pitch.name} {grip.short}": None
        for _, drill in _of_days(planned, played)
        for note, grip in zip(drill.passage.notes, drill.grips, strict=True)
        if (note.pitch.number, grip) not in known
    }
    return ", ".join(added)


def _both(planned: PlannedCell) -> tuple[tuple[RouteNote, ...], tuple[Candidate, ...]]:
    return planned.cell.notes, planned.cell.candidates


def ladder_words(planned: PlannedCell) -> str:
    """The tempos of a cell, and how to climb them."""
    figures, ladder = practice_tables().figures, planned.ladder
    beat = beat_of_cell(planned.cell, figures)
    if ladder.done:
        kept = beats_of(ladder.start, beat)
        return f"{tempo_words(beat, ladder.target)} is reached; keep it up from {kept}."
    own = " of its own (sixteenths are the trill at the last)" * planned.cell.has_own_tempo
    return f"Tempos{own}, {tempo_words(beat, *ladder.steps)}."


def ends_words(cells: Iterable[PlannedCell]) -> str:
    """That drills end at tempos of their own; empty where all go up to those of their cells."""
    late = [
        planned
        for planned in cells
        if any(ends_early(planned, place) for place in range(len(planned.drills)))
    ]
    bars = any(drill.kind == IN_THE_PART for planned in late for drill in planned.drills)
    return f"{ENDS}{f' {IN_THE_BAR}' * bars}" if late else ""


def known_words(number: int, planned: PlannedCell) -> str:
    """What to say once a cell with new grips is at its tempo; empty before."""
    if not (planned.ladder.done and planned.worth.learn):
        return ""
    names = ", ".join(f"{each.pitch} {each.candidate.row_grip.short}" for each in planned.worth.alternates)
    return f"Are they in your fingers now ({names})? Then note cell {number} as mastered in your player file."


def _days(console: Console, plan: Plan) -> None:
    most = f"Days, {counted(plan.minutes, 'minute')} each at most"
    order = practice_tables().orders[plan.order]
    console.print(Text(most, style="bold"))
    rest = f"Rest {plan.days[0].rest_s:g} seconds between two things (counted in)."
    climb = climb_words(plan.minutes, practice_tables().figures)
    if long := rest_words(plan, practice_tables().figures):
        rest = f"{rest} {long[0].upper()}{long[1:]}."
    in_turn = f"{order} {rest}" if len(plan.cells) > 1 else rest
    intro = (climb, in_turn, WARM_UP) if plan.cells else (rest, WARM_UP)
    print_indented(console, *intro, *_breaths(plan))
    console.print()
    beat = _one_beat(plan)
    tempo = "file's tempo" if is_of_the_file(plan) else "tempo"
    for day in plan.days:
        rows = list(_day_rows(plan, day, beat))
        print_table(
            console,
            f"Day {day.day}: {day.minutes:g} minute{'s' * (day.minutes != 1)}",
            ("what", "minutes", f"{tempo} ({beat})" if beat else tempo),
            rows,
        )


def _breaths(plan: Plan) -> Iterator[str]:
    """The lines without a rest, where a day has the breaths marked."""
    for study in (study for day in plan.days for study in day.studies if study.way == BREATHS):
        told = at_this_tempo(plan, study, practice_tables().figures)
        yield f"Breaths: {told.about.strip('()')}."


def _day_rows(plan: Plan, day: Day, one_beat: str) -> Iterator[tuple[str, ...]]:
    """A row for all that is done on a day; `one_beat` is that of all tempos, empty where they differ."""
    for place, work in enumerate(day.works):
        row = _work_row(plan, day, work, one_beat)
        above = above_of_day(plan, day, practice_tables().figures) if work is day.passage else ()
        yield _with_above(plan, row, day.passage, above) if above and day.passage else row
        if place in day.long_rests:
            yield "long rest, flute down", f"{day.long_rest:g}", ""


def _work_row(plan: Plan, day: Day, work: Item | Stretch, one_beat: str) -> tuple[str, ...]:
    """The row of one thing that is done on a day."""
    if isinstance(work, Item):
        return _item_row(plan, work, one_beat)
    tempo = stretch_tempo(plan, work, one_beat) or "free"
    settled = settled_words(plan, work)
    if work.way:
        named = replace(work, about="") if work.way == BREATHS else work
        told = study_words(named, plan.titles, practice_tables().ways) + untrilled_words(plan, day, work)
    elif work.around and work.without:
        told = around_words(work, work.around)
        tempo = around_tempos(plan, work, work.without, one_beat)
    else:
        told = passage_words(work).removesuffix(" of its tempo")
    return told, f"{work.minutes:g}", _wrapped(with_settled(tempo, settled))


def _with_above(plan: Plan, row: tuple[str, ...], passage: Stretch, above: Sequence[int]) -> tuple[str, ...]:
    """The row of the passage with tempos above its goal, for whoever likes."""
    what, minutes, tempo = row
    beat = tempos_of_stretch(plan, passage, practice_tables().figures)[0].beat
    more = " ".join(str(beats_of(each, beat)) for each in above)
    return f"{what}, then on if you like", minutes, f"{tempo} ({more})"


def _wrapped(tempos: str) -> str:
    """Tempos in lines, each bar from which another holds in one of its own where one line is too long."""
    return tempos if len(tempos) <= TEMPO_SIGNS else re.sub(r", (?=from |bars? )", ",\n", tempos)


def _item_row(plan: Plan, item: Item, one_beat: str) -> tuple[str, ...]:
    """The row of a drill."""
    planned = plan.cells[item.cell]
    drill = planned.drills[item.drill]
    tempo = "free" if drill.free else _tempos(one_beat, _beat(planned), *item.steps)
    title = f"{item.cell + 1}.{item.drill + 1} {drill_title(drill, practice_tables())}"
    return f"{title} ({planned.cell.title})", f"{item.minutes:g}", tempo


def _tempos(one_beat: str, beat: Fraction, *quarters: float) -> str:
    """Tempos in beats, which are named unless all of the plan are the same (`one_beat`)."""
    told = tempo_words(beat, *quarters)
    return told.partition(" = ")[2] if one_beat else told


def _beat(planned: PlannedCell) -> Fraction:
    return beat_of_cell(planned.cell, practice_tables().figures)


def _one_beat(plan: Plan) -> str:
    """The beat that all tempos of a plan are told in; empty where they differ."""
    cells = {beat_name(_beat(planned)) for planned in plan.cells}
    stretches = [each for day in plan.days for each in (*day.studies, *filter(None, (day.passage,)))]
    figures = practice_tables().figures
    names = cells | {
        beat_name(tempo.beat) for each in stretches for tempo in tempos_of_stretch(plan, each, figures)
    }
    return names.pop() if len(names) == 1 else ""


def _instructions(console: Console, plan: Plan) -> None:
    console.print(Text("How the drills go", style="bold"))
    used = {plan.cells[item.cell].drills[item.drill].kind for day in plan.days for item in day.items}
    for kind in practice_tables().drills.values():
        if kind.id in used:
            print_indented(console, f"{kind.title}: {kind.instruction}")
    known = practice_tables().ways
    studies = [study for day in plan.days for study in day.studies]
    for way in known.values():
        there = [study for study in studies if study.way == way.id]
        if titles := sorted({title_of_way(study, known) for study in there}):
            told = max((how_of(study, plan.route.passage.notes) for study in there), key=len)
            print_indented(console, f"{', '.join(titles)}: {told}")
    drills = [plan.cells[item.cell].drills[item.drill] for day in plan.days for item in day.items]
    if any(day.passage and day.passage.around for day in plan.days):
        print_indented(console, "The passage itself: count through the bars that are left out.")
    if used:
        slurred = SLUR_FIRST * any(map(is_tongued, drills))
        loud = SPARE_LIPS * any(map(is_loud_and_high, drills))
        print_indented(console, *filter(None, (slurred, loud, ends_words(plan.cells), LENGTHS)))
    console.print()


def _trills(console: Console, plan: Plan) -> None:
    """The trills of the passage with both grips and the finger that moves."""
    found = list(trills_of(plan.route, 0, len(plan.route.notes) - 1))
    if not found:
        return
    console.print(Text("Trills", style="bold"))
    print_indented(console, *(each.words for each in found), *filter(None, [trill_start_words(plan)]))
    console.print()


def _balance(console: Console, plan: Plan) -> None:
    if not plan.balance:
        return
    console.print(Text("Balance: where the support changes most", style="bold"))
    for spot in plan.balance[:MOST_SPOTS]:
        line = f"{' to '.join(spot.pitches)}, {cell_places_text(spot.places)}: {spot.watch}."
        print_indented(console, line)
    print_indented(console, MIRROR)
    console.print()
