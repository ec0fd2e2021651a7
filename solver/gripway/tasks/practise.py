"""A practice plan for a passage: the hard cells of its route, their drills and the days to work on them."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gripway.asked.wishes import Wishes
from gripway.candidates.note_columns import pins_by_place
from gripway.catalog.tables.practice_figures import (
    BLOCKED,
    INTERLEAVED,
    MIXED,
    PracticeFigures,
    PracticeTables,
    practice_tables,
)
from gripway.errors import ArgumentError, RequestError, check_whole
from gripway.limits.answer import solve_within
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.practice.cells.cells import Cell, find_cells, quarters_near
from gripway.practice.cells.likelier_trills import likelier_trills
from gripway.practice.cells.of_ornaments import (
    ENDING_NOTES,
    graces_left,
    is_in_ornament,
    is_of_ending,
    is_of_ornament,
    load_to_begin,
    ornament_load,
    plain_changes,
    plain_load,
    without_twins,
)
from gripway.practice.cells.slurred_graces import with_slurred_graces
from gripway.practice.cells.trill_cells import (
    TREMOLO,
    TRILL,
    WIDEST_TRILL,
    is_one_finger_trill,
    trill_cell,
    trill_cells,
)
from gripway.practice.cells.trills_apart import line_of
from gripway.practice.cells.why_hard import why_hard, with_most_fingers
from gripway.practice.cells.worth_learning import TAKE_THESE, CellWorth, trill_worth, worth_of
from gripway.practice.drills.distinct_drills import distinct
from gripway.practice.drills.drill_minutes import tables_of_day
from gripway.practice.drills.drills import NO_GRIPS, Drill, drills_of, grips_taken
from gripway.practice.drills.few_drills import few
from gripway.practice.drills.octave_lower import tables_of_flute
from gripway.practice.drills.tempo_ladder import ladder_of
from gripway.practice.drills.whole_bars import one_ladder_a_bar
from gripway.practice.plan.balance import balance_spots
from gripway.practice.plan.cautions import cautions
from gripway.practice.plan.cell_work import weight_of, work_of
from gripway.practice.plan.day_items import numbered
from gripway.practice.plan.days import (
    DayContext,
    days_of,
    days_of_music,
    minutes_reserved,
)
from gripway.practice.plan.easy_cells import eased, is_least, lightened
from gripway.practice.plan.exposure import SoundLevel, sound_of
from gripway.practice.plan.held_back import HeldBack, hard_bars
from gripway.practice.plan.log_reading import NO_HISTORY, History, notes_of, progress
from gripway.practice.plan.nearly_hard import nearly_hard
from gripway.practice.plan.plan import Plan, PlannedCell, is_familiar_cell, is_one_finger
from gripway.practice.plan.plan_export import plan_data as plan_data
from gripway.practice.plan.plan_export import reached_frame as reached_frame
from gripway.practice.schedule.schedule_rules import frame_of
from gripway.practice.ways.drone import drone_of
from gripway.practice.ways.entrances import LONG_REST_BARS
from gripway.practice.ways.questions import questions_of
from gripway.practice.ways.spots import (
    HardPlace,
    Spot,
    from_their_runs,
    hard_places,
    side_by_side,
    with_the_run,
)
from gripway.practice.ways.whole_passage import fullest_places, minutes_kept, taken_on
from gripway.route.alike_graces import settled_graces
from gripway.route.off_the_lever import settled_b_flats, with_plain_thumb
from gripway.route.result import CONFLICT, Route
from gripway.route.solve import Solver
from gripway.tasks.flute_player import Flute, asked_of, passage_of
from gripway.trills.trill_list import TrillList

if TYPE_CHECKING:
    from gripway.score.reading.score_reading import ScoreReading

MOST_MINUTES, MOST_DAYS, MOST_CELLS = 180, 60, 20
ORDERS = (MIXED, BLOCKED, INTERLEAVED)
ARTICULATIONS = ("written", "other")
"""Of the drills: as in the part, or slurred what is tongued there and tongued what is slurred."""

FIRST_BAR = 1
"""With this bar a part begins, as does what stands before it."""

MUSIC_SPOTS = 3
"""Bars that are looked at more closely where nothing is hard."""


@dataclass(frozen=True, slots=True)
class PracticeTime:
    """The time a player has: minutes a day, days, the order of drills; `cells` None: as many as fit.

    Raises RequestError for a time that makes no plan.

    >>> import gripway
    >>> gripway.PracticeTime(minutes=30, days=3).order
    'mixed'
    """

    minutes: int = 20
    days: int = 5
    order: str = MIXED
    cells: int | None = None

    def __post_init__(self) -> None:
        _check("minutes", self.minutes, MOST_MINUTES, "minutes a day")
        _check("days", self.days, MOST_DAYS, "days")
        if self.cells is not None:
            _check("cells", self.cells, MOST_CELLS, "cells")
        if self.order not in ORDERS:
            raise ArgumentError(
                f"{self.order!r} is no order", place="order", next_step=f"Choose {' or '.join(ORDERS)}"
            )


def _check(argument: str, value: int, most: int, what: str) -> None:
    check_whole(value, argument)
    if not 1 <= value <= most:
        raise ArgumentError(f"{value} {what} make no plan", place=argument, next_step=f"Give 1 to {most}")


def practise(
    passage: "Passage | ScoreReading",
    instrument: Flute,
    wishes: Wishes | None = None,
    time: PracticeTime = PracticeTime(),
    history: History = NO_HISTORY,
    *,
    other: bool = False,
) -> Plan:
    """The practice plan of a passage, going on from what a player's log says.

    With `other` the drills have the other articulation: slurred what the part tongues, and the other way.

    Without a change that is hard at the tempo the plan has no cells: its days are work on the music. Raises
    RequestError for an empty passage and pins that cannot hold. `history` is what the log of an earlier plan
    says. Loads are change times over the times there are.

    >>> import gripway
    >>> gripway.practise(gripway.notes("E6 F#6 G#6 A6 B6", tempo=160), gripway.flute())
    <Plan: 1 cell, 5 days, 20 minutes a day>
    """
    mine, wishes = asked_of(instrument, wishes)
    flute = mine.instrument.id
    tables = tables_of_flute(flute, tables_of_day(time.minutes, practice_tables()))
    working, passage = mine.ready(with_slurred_graces(passage_of(passage)), wishes)
    route = _route(working, passage, wishes)
    line = line_of(route, wishes, working, tables.figures)
    likelier = likelier_trills(route, wishes, working)
    found = _found(line, route, working, tables.figures)
    planned = _planned_cells(found, line, route, wishes, time, working, history, other=other)
    reached = progress([each.cell for each in planned], history)
    planned = [replace(each, reached=entries) for each, entries in zip(planned, reached, strict=True)]
    sound = sound_of(flute, time.minutes, tables)
    begun = _Begun(
        route,
        line,
        tuple(_ranked(found, tables.figures)),
        sound,
        history,
        mine.instrument.sounds_semitones,
        nearly_hard(line, found, time.minutes, tables.figures),
    )
    plan = _planned(begun, planned, time, flute, tables)
    while len(plan.cells) > 1 and _never_begun(plan):
        plan = _planned(begun, planned[: len(plan.cells) - 1], time, flute, tables)
    return replace(plan, likelier_trills=likelier)


def _route(working: Solver, passage: Passage, wishes: Wishes) -> Route:
    """The route of a passage, the thumb on its lever only where a B flat needs it."""
    pinned = pins_by_place(passage.notes, wishes)
    return with_plain_thumb(_settled(working, passage, wishes, pinned), working.book, pinned)


def _settled(working: Solver, passage: Passage, wishes: Wishes, pinned: Collection[int]) -> Route:
    """The route of a passage: the same grace notes with the same grips, no lever before a B natural."""
    route = solve_within(working, passage, wishes)
    span = int(working.tables.figures.b_flat_span_notes)
    wanted = (*settled_graces(route), *settled_b_flats(route, working.book.fingered_b_flat, span))
    settled = tuple(each for each in wanted if each[0] not in pinned)
    if not settled:
        return route
    found = solve_within(working, passage, replace(wishes, settled=(*wishes.settled, *settled)))
    lost = sum(note.candidate is None for note in found.notes)
    kept = lost > sum(note.candidate is None for note in route.notes)
    return route if kept or found.status == CONFLICT else found


def _never_begun(plan: Plan) -> bool:
    """Whether the last cell is on no day and was on none: its bar is then worked on instead."""
    last = plan.cells[-1]
    there = any(item.cell == len(plan.cells) - 1 for day in plan.days for item in day.items)
    return not (there or last.reached or last.met)


@dataclass(frozen=True, slots=True)
class _Begun:
    """What a plan is made of besides its cells: the route, all hard cells, the sound, the log, the flute.

    `line` is the route without the trills that are practised apart.
    """

    route: Route
    line: Route
    found: tuple[Cell, ...]
    sound: tuple[SoundLevel, ...]
    history: History
    sounds_semitones: int
    nearly: tuple[HardPlace, ...]


def _planned(
    begun: _Begun,
    planned: Sequence[PlannedCell],
    time: PracticeTime,
    flute: str,
    tables: PracticeTables,
) -> Plan:
    """The plan with some cells: the other hard ones are worked on in their bars."""
    figures, route, line = tables.figures, begun.route, begun.line
    drilled = [each.cell for each in planned]
    others = without_twins([*drilled, *begun.found], line)[len(drilled) :]
    places = {_place_of(cell) for cell in drilled}
    empty = Plan(
        route=route,
        cells=tuple(planned),
        days=(),
        order=time.order,
        minutes=time.minutes,
        gain=0,
        bound=0,
        balance=balance_spots(route, figures.balance_watch_support),
        sound=begun.sound,
        cautions=tuple(cautions(flute, time.minutes, begun.sound, tables)),
        hardest=max((change.load for change in line.changes if change.movers), default=None),
        line=line,
        days_before=begun.history.sittings,
        left=tuple(cell for cell in others if not (_place_of(cell) in places or is_one_finger_trill(cell))),
    )
    graced = tuple(cell for cell in empty.left if is_in_ornament(cell, line))
    empty = replace(empty, left_ornaments=graced)
    loads = {id(cell): ornament_load(cell, line, figures) for cell in graced}
    ladders = {
        id(cell): ladder_of(
            loads.get(id(cell), load_to_begin(cell, line, figures)),
            cell.quarters,
            figures,
            begun.history.tempos(cell),
        )
        for cell in empty.left
        if not cell.trill
    }
    held = [
        HeldBack(
            ladder_of(plain_load(cell, line, figures), cell.quarters, figures) if cell in graced else ladder,
            hard_bars(cell, line, figures),
        )
        for cell in empty.left
        if (ladder := ladders.get(id(cell))) and not is_of_ornament(cell, line, figures)
    ]
    notes = route.passage.notes
    plain = [cell for cell in empty.left if cell not in graced]
    hard = with_the_run(hard_places(plain, notes, figures), plain, notes, figures)
    hard = side_by_side(hard, [cell.place for cell in drilled])
    run = next((place for place in hard if place.leads), None)
    cells = [eased(each, figures, run=run is not None) for each in planned]
    whole = notes[run.first : run.last + 1] if run else ()
    kept = one_ladder_a_bar([each.drills for each in cells], whole)
    cells = [replace(each, drills=drills) for each, drills in zip(cells, kept, strict=True)]
    empty = replace(empty, run=run, cells=tuple(cells))
    lines = [cell for cell in begun.found if not cell.trill]
    line_loads = {change.to: change.load for change in line.changes}
    in_graces = (
        replace(place, ladder=ladders.get(id(cell)))
        for cell in graced
        for place in hard_places([cell], notes, figures)
    )
    all_places = (*hard, *in_graces, *begun.nearly)
    context = DayContext(
        notes,
        held,
        minutes_kept(time.minutes, figures),
        from_their_runs(all_places, [cell.place for cell in drilled], notes, figures),
        drone_of(notes, figures, begun.sounds_semitones),
        questions_of(notes, figures, bars_before(route.passage)),
        [hard_bars(each.cell, line, figures) for each in planned],
        {notes[to].id: line_loads[to] for cell in lines for to in plain_changes(cell, line, figures)},
    )
    if planned:
        return _with_days(empty, time, flute, tables, context)
    return _with_music(empty, time, flute, tables, context)


def bars_before(passage: Passage) -> int | None:
    """The empty bars before the first note of the bars asked for; a part begins as after a long rest.

    None where an upbeat to them or a note that is held over is before it.
    """
    if passage.upbeat or passage.held_over:
        return None
    first = passage.notes[0].bar if passage.notes else ""
    if not first.isdecimal():
        return 0
    silent = sum(bar.isdecimal() and int(bar) < int(first) for bar in passage.silent_bars)
    return LONG_REST_BARS if int(first) - silent <= FIRST_BAR else silent


def _place_of(cell: Cell) -> tuple[int, int, bool]:
    """Where a cell stands, whatever its grips."""
    return cell.place if cell.trill else cell.first, len(cell.notes), bool(cell.trill)


def chosen_cells(
    found: Sequence[Cell], line: Route, time: PracticeTime, figures: PracticeFigures
) -> tuple[Cell, ...]:
    """The cells there is time for, in the order they are worked on: what counts most comes first.

    What counts is how hard a cell is, and in how many places of the passage it stands; what is hard in
    endings of trills only comes after the others; what has little time, before others that have some. The
    same grace notes make one cell, and a finger that moves alone, in time, none where more is hard.

    Where there is time for two cells, one of them is the hardest trill; trills come last. Where a change is
    hard outside ornaments, no more cells are of ornaments than of such changes, unless the player says how
    many there are.
    """
    count = cells_for(time, figures)
    ranked = _with_endings_late(_ranked(found, figures), line, figures)
    plain, trills = ([cell for cell in ranked if bool(cell.trill) is trill] for trill in (False, True))
    plain = without_twins(plain, line)
    if time.cells is None:
        plain = [cell for cell in plain if not is_one_finger(cell, figures)] or plain
        harder = [cell for cell in plain if not is_least(cell, figures)]
        plain = harder or plain[: 0 if trills else None]
    kept = min(len(plain), max(1, count - 1) if trills else count)
    chosen = (*plain[:kept], *trills[: count - kept])
    return chosen if time.cells is not None else _not_outnumbered(chosen, plain, line, figures)


def _with_endings_late(ranked: Sequence[Cell], line: Route, figures: PracticeFigures) -> list[Cell]:
    """Cells with what is hard in endings only after the others; if tight, before those that have time."""
    others, endings = (
        [cell for cell in ranked if is_of_ending(cell, line, figures) is ending] for ending in (False, True)
    )
    least, tight = (
        [cell for cell in endings if (cell.load >= figures.tight_load) is late] for late in (False, True)
    )
    ahead = max((at for at, cell in enumerate(others, start=1) if cell.load >= figures.tight_load), default=0)
    return [*others[:ahead], *tight, *others[ahead:], *least]


def _not_outnumbered(
    chosen: Sequence[Cell], ranked: Sequence[Cell], line: Route, figures: PracticeFigures
) -> tuple[Cell, ...]:
    """Cells with no more of ornaments than of plain changes, whose next ones take the place of others."""

    def is_plain(cell: Cell) -> bool:
        return not (cell.trill or is_of_ornament(cell, line, figures))

    endings = [cell for cell in chosen if is_of_ending(cell, line, figures)]
    known = {id(cell) for cell in chosen}
    more = (cell for cell in ranked if is_plain(cell) and id(cell) not in known)
    apart = [cell for cell in chosen if not _has_its_ending(cell, endings)]
    joined = {id(cell) for cell in chosen} - {id(cell) for cell in apart}
    cells = list(chosen)
    while (plain := sum(map(is_plain, cells))) and 2 * plain < sum(id(cell) not in joined for cell in cells):
        last = max(place for place, cell in enumerate(cells) if not is_plain(cell) and id(cell) not in joined)
        cells[last : last + 1] = [each for each in [next(more, None)] if each]
    return tuple(cells)


def _found(line: Route, route: Route, working: Solver, figures: PracticeFigures) -> tuple[Cell, ...]:
    """All hard cells, but those that are one finger alone in the ending of a hard trill: that has them."""
    trills = trill_cells(route, working, figures)
    plain = [
        cell
        for cell in find_cells(line, figures)
        if len(cell.change.movers) > 1 or not any(_has_its_ending(trill, [cell]) for trill in trills)
    ]
    return (*plain, *trills)


def _has_its_ending(cell: Cell, endings: Sequence[Cell]) -> bool:
    """Whether a cell is a trill whose ending is another cell: the two are one ornament."""
    ends = range(cell.place + 1, cell.place + 2 + ENDING_NOTES)
    return bool(cell.trill) and any(each.place in ends for each in endings)


def _ranked(found: Sequence[Cell], figures: PracticeFigures) -> list[Cell]:
    """Cells, what counts most first."""
    return sorted(found, key=lambda cell: -weight_of(cell, figures))


def cells_for(time: PracticeTime, figures: PracticeFigures) -> int:
    """How many cells there is time for, when the player does not say it."""
    if time.cells is not None:
        return time.cells
    visits = int(time.minutes * time.days // figures.spot_usual_min)
    return min(figures.most_cells, max(1, visits // figures.visits_usual_days))


def cells_of(passage: Passage, instrument: Flute, wishes: Wishes, time: PracticeTime) -> tuple[Cell, ...]:
    """The cells of a plan in its order: what a tempo reached is noted for."""
    mine, wishes = asked_of(instrument, wishes)
    working, passage = mine.ready(passage, wishes)
    figures = practice_tables().figures
    route = _route(working, passage, wishes)
    line = line_of(route, wishes, working, figures)
    found = _found(line, route, working, figures)
    return tuple(each.cell for each in _planned_cells(found, line, route, wishes, time, working))


def _planned_cells(
    found: Sequence[Cell],
    line: Route,
    route: Route,
    wishes: Wishes,
    time: PracticeTime,
    working: Solver,
    history: History = NO_HISTORY,
    *,
    other: bool = False,
) -> list[PlannedCell]:
    """The chosen cells with all that belongs to them: those that teach a new grip before the others.

    Trills are of the `route` and come last, the others of its `line`; but those that teach a grip come
    second, as they are never what the plan begins with, and else would wait for all others. Where there is
    hardly time in the line itself, grace notes wait. What every pupil has by the second year, and is in time,
    comes last of all: it never leads.
    """
    tables = tables_of_flute(working.knowledge.instrument.id, practice_tables())
    planned: list[PlannedCell] = []
    taken: dict[int, Grip] = {}
    left = graces_left(found, line, tables.figures)
    for cell in chosen_cells(found, line, time, tables.figures):
        of = route if cell.trill else line
        made = planned_cell(cell, of, wishes, working, tables, history, other=other, taken=taken, left=left)
        planned.append(made)
        if not cell.trill:
            taken = {**grips_taken(made.drills, made.cell), **taken}
    planned.sort(key=lambda each: _turn(each, tables.figures))
    new = [each for each in planned[1:] if each.cell.trill and each.learns]
    planned = [*planned[:1], *new, *(each for each in planned[1:] if each not in new)]
    planned.sort(key=lambda each: not each.learns and is_familiar_cell(each.cell, tables.figures))
    drills = [few(own, tables.figures) for own in distinct([each.drills for each in planned])]
    return [replace(each, drills=own) for each, own in zip(planned, drills, strict=True)]


def _turn(planned: PlannedCell, figures: PracticeFigures) -> int:
    """Where a cell comes: those that teach a grip, those with little time in the line, others, trills.

    What has little time and is hard in ornaments only comes before what has some.
    """
    if planned.cell.trill:
        return 4
    if planned.learns:
        return 0
    if planned.cell.load < figures.tight_load:
        return 3
    return 2 if planned.of_ornament else 1


def planned_cell(
    cell: Cell,
    route: Route,
    wishes: Wishes,
    working: Solver,
    tables: PracticeTables,
    history: History = NO_HISTORY,
    *,
    other: bool = False,
    taken: Mapping[int, Grip] = NO_GRIPS,
    soft: bool = False,
    left: Collection[int] = (),
) -> PlannedCell:
    """A cell of a route with why it is hard, its drills, its ladder and whether other grips pay.

    The grace notes that are `left` out at first stand in no drill but those of such a cell.
    Where the advice is to stay with the standard grips, the cell and its drills have those.
    """
    figures = tables.figures
    worth = (
        trill_worth(cell, route, wishes, working)
        if cell.trill
        else worth_of(cell, route, wishes, working, figures)
    )
    trained, notes = (worth.stays.cell, worth.stays.notes) if worth.stays else (cell, route.notes)
    graced = is_in_ornament(cell, route)
    begins = ornament_load(cell, route, figures) if graced else load_to_begin(trained, route, figures)
    plain = plain_load(cell, route, figures) if graced else 0.0
    kept = () if graced or cell.trill else left
    made = drills_of(trained, working, notes, tables, other=other, taken=taken, soft=soft, left=kept)
    return PlannedCell(
        cell=trained,
        why=why_hard(trained if worth.stays else with_most_fingers(cell, route), working, figures),
        drills=tuple(made),
        ladder=ladder_of(
            min(trained.load, figures.trill_start_load) if cell.trill else begins,
            _goal_of(cell, made),
            figures,
            history.tempos(cell),
        ),
        worth=worth,
        met=history.met.get(notes_of(cell), 0),
        missed=notes_of(cell) in history.missed,
        of_ornament=graced,
        plain=ladder_of(plain, cell.quarters, figures) if plain else None,
    )


def _goal_of(cell: Cell, drills: Sequence[Drill]) -> float:
    """The tempo its ladder ends at: that of a trill that goes on no faster than a drill in even notes."""
    even = [drill.fastest for drill in drills if drill.kind == "even" and cell.has_own_tempo]
    return min([cell.goal_quarters, *even])


def trill_practice(found: TrillList, instrument: Flute, player: Player = PLAIN_PLAYER) -> PlannedCell:
    """The drills of a trill or tremolo, with the best pair of a list that hands can go on playing.

    RequestError where no pair can be drilled on this flute.
    """
    (mine, wishes), tables = asked_of(instrument, Wishes(player=player, others=0)), practice_tables()
    working, figures = mine.solver(wishes), tables.figures
    kind = TREMOLO if found.upper.number - found.lower.number > WIDEST_TRILL else TRILL
    for pair in found.pairs:
        sides = (found.lower, pair.lower.grip), (found.upper, pair.upper.grip)
        try:
            cell = None if pair.lacking else trill_cell(sides, kind, None, working, figures)
        except RequestError:  # a pair that only the model knows: its grips are in no table
            continue
        if cell:
            return PlannedCell(
                cell=cell,
                why=why_hard(cell, working, figures),
                drills=tuple(drills_of(cell, working, cell.notes, tables)),
                ladder=ladder_of(cell.load, cell.goal_quarters, figures),
                worth=CellWorth((), cell.load, None, learn=False, advice=TAKE_THESE),
            )
    raise RequestError(
        "no pair of this trill can be drilled on this flute",
        place=f"{found.lower.name} {found.upper.name}",
        next_step=f"See the list: gripway trill {found.lower.name} {found.upper.name}",
    )


def trill_part(planned: PlannedCell) -> bytes:
    """The drills of a trill as a MusicXML part."""
    from gripway.practice.drills.drill_score import drill_score

    return drill_score([planned], planned.cell.title, practice_tables()).data


def _with_days(
    plan: Plan, time: PracticeTime, instrument: str, tables: PracticeTables, context: DayContext
) -> Plan:
    """The plan with the days that are left; once they are over, with one more; sound by the longest day."""
    from gripway.practice.schedule.schedule_solver import schedule

    figures = tables.figures
    left = max(1, time.days - plan.days_before)
    kept = minutes_reserved(plan.cells, context, time.minutes, figures)
    frame = frame_of(time.minutes, left, time.order, figures, kept)
    works = [work_of(planned, frame, time.minutes, tables) for planned in plan.cells]
    found = lightened(schedule(works, frame, figures), plan.cells, figures)
    days = days_of(found, plan.cells, time.minutes, plan.days_before + 1, tables, context)
    cells, days = numbered(plan.cells, days)
    made = replace(plan, cells=cells, days=days, gain=found.gain, bound=found.bound)
    return _heeded(made, instrument, tables)


def _with_music(
    plan: Plan, time: PracticeTime, instrument: str, tables: PracticeTables, context: DayContext
) -> Plan:
    """A plan in which nothing is hard with days of work on the music; none where no finger moves."""
    changes = [change for change in plan.route.changes if change.movers]
    left = max(1, time.days - plan.days_before)
    if not changes:
        return plan
    notes = plan.route.passage.notes
    loads = {change.to: change.load for change in changes}
    spots = [
        Spot(None, place, quarters_near(plan.route.notes, place), (place - 1, place))
        for place in fullest_places(notes, loads, tables.figures)[:MUSIC_SPOTS]
    ]
    days = days_of_music(spots, time.minutes, plan.days_before + 1, left, tables, context)
    return _heeded(replace(plan, days=days), instrument, tables) if any(day.lasting for day in days) else plan


def _heeded(plan: Plan, instrument: str, tables: PracticeTables) -> Plan:
    """The plan with the sound of its longest day, and what is to be heeded; no row cuts its last slur."""
    passage = plan.route.passage
    days = [
        replace(day, studies=tuple(taken_on(study, passage) for study in day.studies)) for day in plan.days
    ]
    playing = max(day.playing for day in plan.days) or plan.minutes
    sound = sound_of(instrument, playing, tables)
    return replace(
        plan, days=tuple(days), sound=sound, cautions=tuple(cautions(instrument, playing, sound, tables))
    )


def met_on_the_first_day(plan: Plan) -> dict[str, int]:
    """Up to which drill a plan has all drills after its first day, by the notes of its cells there."""
    items = plan.days[0].items if plan.days else ()
    met: dict[str, int] = {}
    for number, planned in enumerate(plan.cells):
        order = planned.order or range(len(planned.drills))
        drills = {order[item.drill] for item in items if item.cell == number}
        count = planned.met
        while count in drills:
            count += 1
        if drills:
            met[notes_of(planned.cell)] = count
    return met


def practice_part(plan: Plan) -> bytes:
    """The drills of a plan as a MusicXML part; RequestError where there are none."""
    from gripway.practice.drills.drill_score import practice_score

    return practice_score(plan, practice_tables()).data
