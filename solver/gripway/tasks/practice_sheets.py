"""A practice plan and the worst cells of patterns as sheets to print: their words, and the page's values."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby, pairwise
from textwrap import shorten

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.display import HtmlText
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.passage import Passage
from gripway.model.tempo import QUARTER, beat_name, beats_of, tempo_words
from gripway.page.sheet.day_hints import hints_of_day, pace_words_of_day, tick_words, told_of_day
from gripway.page.sheet.fit_choice import PAPER_ROOM_MM
from gripway.page.sheet.goal_words import above_of_day, at_this_tempo
from gripway.page.sheet.heading_words import (
    asked_words,
    beyond_words,
    easy_words,
    fingering_words,
    goal_of,
    heading_of,
    movement_of,
)
from gripway.page.sheet.outlook_words import (
    WARM_UP_SHORT,
    climbs_on_free_days,
    how_of,
    is_free,
    its_tempo,
    lifted_briefly,
    music_words,
    other_grips_words,
    outlook_words,
    rest_words,
)
from gripway.page.sheet.pace_words import around_tempos, settled_words, stretch_tempo, with_settled
from gripway.page.sheet.practice_fit import HARDEST_RANK, PART_RANK
from gripway.page.sheet.practice_sheet import practice_sheet
from gripway.page.sheet.printed_bars import bars_to_print, is_whole, printed_ranges
from gripway.page.sheet.sheet_model import (
    Block,
    Hands,
    SheetCell,
    SheetDrill,
    SheetPage,
    SheetPause,
    SheetTrill,
    TempoPoint,
)
from gripway.page.sheet.trill_words import (
    FROM_ABOVE,
    TrillTold,
    as_drilled_words,
    trills_of,
    untrilled,
    untrilled_words,
)
from gripway.practice.cells.change_bars import drilled_words, where_words
from gripway.practice.cells.counted_beat import beat_of_cell
from gripway.practice.cells.grip_to_try import to_try_briefly
from gripway.practice.cells.pattern_cells import PatternChange
from gripway.practice.cells.pattern_export import places_words
from gripway.practice.drills.drill_layings import grid_of
from gripway.practice.drills.drill_minutes import clean_times_of, spread, up_to_fastest
from gripway.practice.drills.drill_ranges import windows
from gripway.practice.drills.drill_score import drill_title, grips_in_turn, printed_grips
from gripway.practice.drills.drills import IN_THE_PART, LEARN, Drill
from gripway.practice.drills.octave_lower import PICCOLO
from gripway.practice.plan.cautions import caution_for_paper
from gripway.practice.plan.cell_work import TO_AND_FRO
from gripway.practice.plan.course import LONG, NO_BARS, OPENING, PLACE
from gripway.practice.plan.outlook import outlook_of
from gripway.practice.plan.plan import Day, Item, Plan, PlannedCell, tempos_of_stretch
from gripway.practice.ways.whole_passage import (
    Stretch,
    around_words,
    passage_how,
    passage_words,
    study_words,
)
from gripway.route.words.place_words import part_beside
from gripway.tasks.flute_player import Flute, FlutePlayer
from gripway.tasks.pattern_cell_lists import MOST_PATTERNS, HardPatterns, left_over, title_of

TOLD = (
    *("stop", "hold", "pair", "after", "before", "even", "rhythm", "evened", "groups"),
    *("figure", "led", "around", "measured", "entry", "ending", "overlap", "added", "octave", "learn"),
)
"""Kinds of drills in the order in which a full page tells them in words: the plainest first."""

FACTS_SIGNS = 78
"""Signs that stand in one line under the heading; the name of a movement is cut to that."""

LEAST_SIGNS = 12
"""A name of fewer says nothing."""

MOST_TRILLS = 6
"""Trills told under one line of a day; more of them under the next line that has them."""

MOST_HIGH_NOTES = 3
"""High notes of a hard bar whose grips are told."""

OF_TWO_NOTES = (*TO_AND_FRO, "pair")
"""Drills that go to and fro between two notes."""

VALUES = {
    Fraction(1, 4): "quarters",
    Fraction(1, 6): "triplet quarters",
    Fraction(3, 16): "dotted eighths",
    Fraction(1, 8): "eighths",
    Fraction(1, 12): "triplets",
    Fraction(1, 16): "sixteenths",
    Fraction(1, 24): "sixteenths in threes",
    Fraction(1, 32): "thirty-seconds",
}
"""Note values by name."""

LEAST_BARS, LEAST_OF_PASSAGE = 4, 8
"""Fewer bars of a longer piece of work, and of the passage, are not worth printing."""

MOST_NAMES = 5
"""Notes named of a drill."""

HIGHER, FOR_THE_FLUTE = "sounds an octave higher", "finger drills on the concert flute"
ON_PICCOLO = "tone and attacks on the piccolo, earplugs in"
"""What a player of the piccolo reads first."""

COUNT_THROUGH = "count through what is left out"
"""How the passage is played without its hardest bars."""

MOST_HANDS = 3
"""Grips drawn of a cell: as many as stand beside its drills."""


def plan_sheet(plan: Plan, instrument: Flute, paper: str = "") -> HtmlText:
    """The plan as an HTML document, one printed page a day; without cells a page that says so.

    `instrument` is the flute the plan is for, `paper` what it is printed on, `a4` or `letter`; laid out for
    both where none is given. A notebook shows the document in a frame.

    >>> import gripway
    >>> plan = gripway.practise(gripway.notes("E6 F#6 G#6 A6", tempo=160), gripway.flute())
    >>> gripway.plan_sheet(plan, gripway.flute())[:15]
    '<!DOCTYPE html>'
    """
    if paper and paper not in PAPER_ROOM_MM:
        raise RequestError(f"there is no paper {paper!r}", next_step=f"One of {', '.join(PAPER_ROOM_MM)}.")
    instrument = instrument.instrument if isinstance(instrument, FlutePlayer) else instrument
    passage = plan.route.passage
    work, part, bars = heading_of(passage)
    movement = movement_of(passage)
    title = ", ".join(filter(None, (work or movement or part or "Practice", bars)))
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    pages = [day_page(plan, day) for day in plan.days] or [_easy_page(plan)]
    named = part_beside(part, instrument.title) if work else ""
    players = " · ".join(filter(None, (named, instrument.title + parts)))
    room = FACTS_SIGNS - len(players)
    short = shorten(movement, room, placeholder=" ...") if room >= LEAST_SIGNS else ""
    facts = " · ".join(filter(None, (short * bool(work), players)))
    return HtmlText(practice_sheet(title, facts, pages, instrument, paper))


def _easy_page(plan: Plan) -> SheetPage:
    """Where nothing is hard."""
    lost = f"Without a grip: {'; '.join(plan.no_grip)}. " if plan.no_grip else ""
    words = lost + (
        "There is no change of fingers to practise here."
        if plan.hardest is None
        else f"Every change has time to spare: {easy_words(plan)} Play it as music."
    )
    goal = goal_of(plan, on_paper=True)
    asked = asked_words(plan, first=True)
    title = "nothing is hard at this tempo"
    return SheetPage(title, goal, (SheetPause(words),), cautions=plan.cautions, asked=asked)


def day_page(plan: Plan, day: Day) -> SheetPage:
    """A day of a plan as a page."""
    figures = practice_tables().figures
    last = plan.days[-1].day
    climbs = climbs_on_free_days(plan, figures)
    left = "with time left, again what is not clean yet" if climbs else "the rest is free"
    free = f" of {plan.minutes}: {left}" * is_free(plan, day, figures)
    warm = "" if day.opening else WARM_UP_SHORT
    counted = rest_words(plan, figures) if day is plan.days[0] else ""
    page = SheetPage(
        title=f"day {day.day} of {last}",
        facts=f"{day.minutes:g} minute{'s' * (day.minutes != 1)}{free}"
        f"{_parted(goal_of(plan, on_paper=True))}{_parted(counted)}{_parted(warm)}{_ears(plan, day)}",
        blocks=tuple(_ranked(plan, day, [*_blocks(plan, day)])),
        hints=tuple(hints_of_day(plan, day, clean_times_of(plan.minutes, figures))),
        cautions=(caution_for_paper(),),
        asked=" ".join(
            filter(None, (asked_words(plan, first=day is plan.days[0]), pace_words_of_day(plan, day)))
        ),
        told=tuple(told_of_day(plan, day, clean_times_of(plan.minutes, figures))),
    )
    return replace(page, key=fingering_words(page.texts))


def _parted(words: str) -> str:
    """What is told after something else; empty where there is nothing to tell."""
    return f" · {words}" if words else ""


def _ears(plan: Plan, day: Day) -> str:
    """What a player of the piccolo reads first; which drills are for another flute where there are some."""
    told = (HIGHER, FOR_THE_FLUTE * bool(day.items), ON_PICCOLO)
    return _parted("; ".join(filter(None, told))) * (plan.route.instrument == PICCOLO)


def _blocks(plan: Plan, day: Day) -> Iterator[Block]:
    """Long notes, each cell with its drills, other work, the passage; long rests where they come."""
    if not plan.cells:
        yield SheetPause(f"Nothing here is hard for the fingers: these minutes are for {music_words([day])}.")
    told: set[str] = set()
    seen: set[tuple[int, int, str]] = set()
    printed = printed_ranges(plan, day)
    learnt = [_known_hands(_drill_of(plan, item)) for item in day.items]
    trills = _trills_by_work(plan, day)
    begins = day is plan.days[0]
    rests = {place for place in day.long_rests if not _goes_in_turn(day) or place not in _drilling(day)[:-1]}
    for place, work in enumerate(day.works):
        if isinstance(work, Item):
            yield from _drills(plan, day, work, seen)
        else:
            line = _study(plan, day, work, told) if work.way else _passage(plan, day, work)
            least = LEAST_BARS if work.way else LEAST_OF_PASSAGE
            music = tuple(bars_to_print(plan, printed[place], least)) if place in printed else ()
            drawn = tuple(
                SheetTrill(each.words, () if each.hands in learnt else each.hands)
                for each in trills.get(place, ())
            )
            if begins and any(each.begins_below for each in trills.get(place, ())):
                drawn, begins = (*drawn, SheetTrill(FROM_ABOVE, (), of_all=True)), False
            if work.way in LONG or (work.way == PLACE and not _is_drilled(plan, day, work)):
                drawn = (*drawn, *_high_notes(plan, work))
            whole = is_whole(plan, work, music)
            line = replace(line, music=music, number=place, whole=whole, trills=drawn)
            if work.way not in OPENING:
                line = replace(line, notes=_ids(plan, work))
            yield replace(line, is_hard=work.way == PLACE)
        if place in rests:
            yield SheetPause(f"Long rest: {_long_rest(day)}, flute down, shoulders and hands loose.")


def _is_drilled(plan: Plan, day: Day, work: Stretch) -> bool:
    """Whether a cell with drills on this day stands in a piece of work."""
    return any(work.first <= plan.cells[item.cell].cell.place <= work.last for item in day.items)


def _high_notes(plan: Plan, work: Stretch) -> Iterator[SheetTrill]:
    """The grips of the high notes of some work (of long notes those it names): few pupils know all.

    Long notes are played one by one: each has the plain thumb there, and no finger held from before.
    """
    least = practice_tables().figures.told_high_note_number
    names = work.about.strip("()").partition(";")[0].partition(",")[0]
    named = names.split() if work.way in LONG else ()
    notes = [
        (each.note.pitch, each.candidate)
        for each in plan.route.notes[work.first : work.last + 1]
        if each.candidate and each.note.pitch.number >= least
    ]
    high = {pitch.number: (pitch.name, grips) for pitch, grips in notes if not named or pitch.name in named}
    for _, (name, candidate) in sorted(high.items(), reverse=True)[:MOST_HIGH_NOTES]:
        grip = candidate.row_grip if named else candidate.grip
        yield SheetTrill(f"{name}: {grip.short}.", [(name, grip)])


def _ids(plan: Plan, work: Stretch) -> frozenset[str]:
    """The written notes of a piece of work."""
    return frozenset(note.id for note in plan.route.passage.notes[work.first : work.last + 1])


def _trills_by_work(plan: Plan, day: Day) -> dict[int, list[TrillTold]]:
    """By the place of a piece of work: trills of its bars that are not told above; those of the cells first.

    Those of the whole passage are told on its first day only.
    """
    lines = [(place, work) for place, work in enumerate(day.works) if not isinstance(work, Item)]
    own = sorted(lines, key=lambda line: (line[1].last - line[1].first, line[0]))
    met: set[str] = set()
    found: dict[int, list[TrillTold]] = {}
    for place, work in own:
        if work.way in NO_BARS or (not work.way and day is not plan.days[0]):
            continue
        out = met | {note.note.id for note in untrilled(plan, day, work)}
        told = [each for each in trills_of(plan.route, work.first, work.last) if not out & {*each.ids}]
        found[place] = told[:MOST_TRILLS]
        met |= {name for each in found[place] for name in each.ids}
    return found


def _drilling(day: Day) -> Sequence[int]:
    """The places of the drills among all that is done on a day."""
    return range(len(day.opening), len(day.opening) + len(day.items))


def _goes_in_turn(day: Day) -> bool:
    """Whether a cell of a day comes again after another one."""
    cells = [item.cell for item in day.items]
    return len(set(cells)) < 1 + sum(one != other for one, other in pairwise(cells))


def _drills(plan: Plan, day: Day, item: Item, seen: set[tuple[int, int, str]]) -> Iterator[Block]:
    """A drill, its cell before its first one; where cells come in turn all drills of the day with the first.

    Each stands below its own cell then, and a line says in which order they are played.
    """
    if not _goes_in_turn(day):
        if item == next(each for each in day.items if each.cell == item.cell):
            yield _cell(plan, item.cell, day)
        yield _drill(plan, day, item, seen)
    elif item == day.items[0]:
        yield SheetPause(f"Play the drills in turn, cell after cell: {', '.join(_order(day))}.")
        for cell in dict.fromkeys(each.cell for each in day.items):
            yield _cell(plan, cell, day)
            yield from (_drill(plan, day, each, seen) for each in day.items if each.cell == cell)


def _order(day: Day) -> Iterator[str]:
    """The drills of a day as they are played, with the long rests between them."""
    for place, item in zip(_drilling(day), day.items, strict=True):
        yield f"{item.cell + 1}.{item.drill + 1}"
        if place in day.long_rests and place in _drilling(day)[:-1]:
            yield f"a long rest of {_long_rest(day)}"


def _passage(plan: Plan, day: Day, stretch: Stretch) -> SheetPause:
    """The passage itself, with its bars where there is room."""
    how = passage_how(day.day, plan.days[-1].day, stretch.times + (stretch.around is not None))
    beyond = beyond_words(plan.route.passage) if not stretch.first else ""
    what = passage_words(stretch, its_tempo(plan))
    words = f"{what} ({_with_time(plan, stretch)})"
    if stretch.around and stretch.without:
        fast, whole = (stretch_tempo(plan, each) for each in (stretch.without, stretch))
        several = around_tempos(plan, stretch, stretch.without) * (", " in fast)
        told = around_words(stretch, stretch.around, *(() if several else (fast, whole)))
        minutes, settled = clock(stretch.minutes), settled_words(plan, stretch)
        more = "; ".join(filter(None, (several, minutes, settled, COUNT_THROUGH)))
        words = f"{told} ({more})"
    above = above_of_day(plan, day, practice_tables().figures)
    beat = tempos_of_stretch(plan, stretch, practice_tables().figures)[0].beat if above else QUARTER
    more = f"Clean? Then, if you like, on to {tempo_words(beat, *above)}." * bool(above)
    return SheetPause(
        " ".join(filter(None, (f"{words}: {how}.", more, beyond))),
        to_tick=True,
        is_passage=True,
        elsewhere="Play it from your part." * bool(stretch.bars[0]),
    )


def _long_rest(day: Day) -> str:
    return f"{day.long_rest:g} minute{'s' * (day.long_rest != 1)}"


def _with_time(plan: Plan, stretch: Stretch) -> str:
    """`half = 62 · 2′30″`."""
    told = with_settled(stretch_tempo(plan, stretch), settled_words(plan, stretch))
    return " · ".join(filter(None, (told, clock(stretch.minutes))))


def _study(plan: Plan, day: Day, study: Stretch, told: set[str]) -> SheetPause:
    """Other work on the passage; what to do in it where the way is new, and not `told` yet."""
    ways = practice_tables().ways
    before = (other for each in plan.days if each.day < day.day for other in each.studies)
    notes = plan.route.passage.notes
    had = {*told, *(how_of(other, notes) for other in before)}
    wanted = how_of(study, notes)
    how = "" if any(each.startswith(wanted) for each in had) else wanted
    told.add(wanted)
    named = at_this_tempo(plan, study, practice_tables().figures)
    left = untrilled_words(plan, day, study)
    words = f"{study_words(named, plan.titles, ways)}{left} ({_with_time(plan, study)})."
    return SheetPause(words, to_tick=True, how=how)


def _ranked(plan: Plan, day: Day, blocks: Sequence[Block]) -> Iterator[Block]:
    """The blocks, each drill with the place in which it loses its music: those of earlier days first.

    What is new and stands in the part loses it only with the last. The drill of each cell that says most of
    it is the last to go, that of the hardest cell the very last.
    """

    def plain(place: int) -> tuple[bool, int, int]:
        item = day.items[place]
        kind = plan.cells[item.cell].drills[item.drill].kind
        return _first_day(plan, item) == day.day, TOLD.index(kind), -place

    kept: dict[int, int] = {}
    for place in sorted(range(len(day.items)), key=plain):
        kept[day.items[place].cell] = place

    def order(place: int) -> tuple[bool, tuple[bool, int, int]]:
        return place in kept.values(), plain(place)

    labels = [f"{item.cell + 1}.{item.drill + 1}" for item in day.items]
    items = dict(zip(labels, day.items, strict=True))
    hardest = max(
        kept, key=lambda cell: plan.cells[cell].cell.hardness(practice_tables().figures), default=-1
    )
    always = labels[kept[hardest]] if kept else ""
    ranks = {labels[place]: rank for rank, place in enumerate(sorted(range(len(labels)), key=order))}
    for block in blocks:
        if not isinstance(block, SheetDrill):
            yield block
        elif block.words and _first_day(plan, items[block.label]) == day.day:
            yield replace(block, rank=PART_RANK + ranks[block.label])
        elif block.label == always:
            yield replace(block, rank=HARDEST_RANK)
        else:
            yield replace(block, rank=ranks[block.label])


def _cell(plan: Plan, number: int, day: Day) -> SheetCell:
    planned = plan.cells[number]
    cell = planned.cell
    beat = beat_of_cell(cell, practice_tables().figures)
    first = next(each for each in plan.days if any(item.cell == number for item in each.items))
    grips = "; ".join(f"{p} {c.grip.short}" for p, c in zip(cell.pitches, cell.candidates, strict=True))
    ahead = outlook_of(plan, number, practice_tables().figures)
    outlook = outlook_words(ahead, beat)
    where = _facts(plan, number, day, first is day)
    if ahead.plateau:  # a nearer goal is never dropped from a full page
        where, outlook = f"{where} · {outlook}".removeprefix(" · "), ""
    other = other_grips_words(plan, number, {item.drill for item in day.items if item.cell == number})
    advised = planned.worth.advice if planned.worth.alternates or other else ""
    told = " ".join(filter(None, (advised, other)))
    advice = tuple(filter(None, (outlook, told))) if first is day else (other,) if other else ()
    return SheetCell(
        number=number + 1,
        notes=cell.title,
        facts=where,
        grips=grips,
        lines=(planned.why, *advice) if first is day else advice,
        points=tuple(
            TempoPoint(entry.when[:10], beats_of(entry.quarters, beat)) for entry in planned.reached
        ),
        target=beats_of(planned.ladder.target, beat),
        beat=beat_name(beat),
        own_tempos=cell.has_own_tempo,
        to_fill=True,
        hands=hands_of_cell(planned),
        known=first is not day,
    )


def _facts(plan: Plan, number: int, day: Day, first: bool) -> str:
    """Where a cell stands and what a full page keeps: of which bar its drills are, its speed, a grip."""
    planned = plan.cells[number]
    cell = planned.cell
    today = [planned.drills[item.drill] for item in day.items if item.cell == number]
    target = beats_of(planned.ladder.target, beat_of_cell(cell, practice_tables().figures))
    told = (
        where_words(cell, plan.route.passage.notes, mark=" · "),
        drilled_words(cell, today, plan.route.passage.notes),
        as_drilled_words(plan, number, [day]),
        f"its speed: sixteenths at {target}" * cell.has_own_tempo,
        to_try_briefly(planned.worth.to_try, again=not first),
        lifted_briefly(cell),
    )
    return " · ".join(filter(None, told))


def hands_of_cell(planned: PlannedCell) -> Hands:
    """The grips of a cell in its order, each once; of a longer one those of its worst change."""
    cell = planned.cell
    named = list(dict.fromkeys(zip(cell.pitches, (each.grip for each in cell.candidates), strict=True)))
    if len(named) > MOST_HANDS:
        return list(zip(cell.pitches, (c.grip for c in cell.candidates), strict=True))[cell.worst - 1 :][:2]
    return named


def _drill(plan: Plan, day: Day, item: Item, seen: set[tuple[int, int, str]]) -> SheetDrill:
    """A drill; an unusual grip no cell of the day has is drawn and told where it is first on the page."""
    planned = plan.cells[item.cell]
    drill = planned.drills[item.drill]
    drawn = sheet_drill(planned, item.cell + 1, item.drill, clock(item.minutes), item.steps)
    cells = {each.cell for each in day.items}
    there = {(number, grip.short) for cell in cells for number, grip in _sounds(plan.cells[cell])}
    keys = {
        place: (item.cell, drill.passage.notes[place].pitch.number, drill.grips[place].short)
        for place in printed_grips(drill)
    }
    unusual = plan.unusual_grips - there
    shown = {place: key for place, key in keys.items() if key[1:] in unusual and key not in seen}
    seen.update(shown.values())
    told = "; ".join(
        f"{drill.passage.notes[place].pitch.name} {drill.grips[place].short}, not the standard grip"
        for place in shown
    )
    facts = " · ".join(filter(None, (drawn.facts, told)))
    drawn = replace(drawn, shown=tuple(shown), facts=facts, hands=_known_hands(drill))
    first = _first_day(plan, item)
    known = day.day != first  # what is new is printed, unless it stands in the part and a page is full
    shorter = _brief(plan, planned, drill, drawn)
    told = _in_words(drill)
    in_part = drill.kind == IN_THE_PART and not planned.cell.trill and planned.cell.notes[0].note.bar
    words = f"play it from your part: {told}" if in_part else f"as on day {first}: {told}" * known
    return replace(drawn, words=words, brief=replace(shorter, words=words) if shorter else None)


def _brief(plan: Plan, planned: PlannedCell, drill: Drill, drawn: SheetDrill) -> SheetDrill | None:
    """The longest group of a drill in the part alone, at its place in the bar; None without others."""
    if drill.kind != IN_THE_PART or planned.cell.trill:
        return None
    notes = plan.route.notes
    groups = windows(notes, planned.cell, grid_of(notes, planned.cell), practice_tables().figures)
    first, last = groups[-1] if groups else (0, 0)
    own = drill.passage.notes[-(last - first + 1) :]
    if not groups or len(own) == len(drill.passage.notes):
        return None
    bar = Fraction(*drill.metre)
    begins = own[0].onset // bar * bar
    group = tuple(replace(note, onset=note.onset - begins) for note in own)
    before = len(drill.passage.notes) - len(own)
    shown = tuple(place - before for place in drawn.shown if place >= before)
    return replace(drawn, passage=Passage(group), grips=drill.grips[-len(own) :], shown=shown)


def _in_words(drill: Drill) -> str:
    """A drill that is printed on another day: its first notes; of one to and fro its two notes and values."""
    if drill.kind not in OF_TWO_NOTES:
        return _names(drill.passage)
    one, other = _pitches(drill.passage)[:2]
    runs = groupby(note.length for note in drill.passage.notes[:-1])
    values = ", ".join(dict.fromkeys(VALUES[length] for length, _ in runs if length in VALUES))
    return f"{one} and {other} to and fro{f', {values}' * bool(values)}"


def _drill_of(plan: Plan, item: Item) -> Drill:
    return plan.cells[item.cell].drills[item.drill]


def _known_hands(drill: Drill) -> Hands:
    """The standard grip that a new one is heard against in the drill that teaches it; else none."""
    notes, grips = drill.passage.notes, drill.grips
    if drill.kind != LEARN or notes[1].pitch != notes[0].pitch:
        return []
    return [(f"{notes[1].pitch.name} standard", grips[1])]


def _pitches(passage: Passage) -> list[str]:
    """The names of the notes of a drill."""
    return [note.pitch.name for note in passage.notes]


def _sounds(planned: PlannedCell) -> Iterator[tuple[int, Grip]]:
    """The grips that are drawn for a cell, with their pitches."""
    drawn = [grip for _, grip in hands_of_cell(planned)]
    pairs = zip(planned.cell.notes, planned.cell.candidates, strict=True)
    return ((note.note.pitch.number, each.grip) for note, each in pairs if each.grip in drawn)


def _first_day(plan: Plan, item: Item) -> int:
    """The first day that has this drill."""
    return next(d.day for d in plan.days for i in d.items if (i.cell, i.drill) == (item.cell, item.drill))


def _names(passage: Passage) -> str:
    """The first notes of a drill."""
    names = _pitches(passage)
    return " ".join(names[:MOST_NAMES]) + (" ..." if len(names) > MOST_NAMES else "")


def sheet_drill(
    planned: PlannedCell, number: int, place: int, facts: str = "", steps: Sequence[int] = ()
) -> SheetDrill:
    """A drill of a cell (both counted: the cell from 1, the drill from 0) as it stands on a sheet."""
    drill = planned.drills[place]
    played = () if drill.free or not steps else up_to_fastest(steps, drill)
    free = "free, no click" * drill.free
    beat = beat_of_cell(planned.cell, practice_tables().figures)
    return SheetDrill(
        label=f"{number}.{place + 1}",
        title=drill_title(drill, practice_tables()),
        passage=drill.passage,
        grips=drill.grips,
        metre=drill.metre,
        shown=(),
        facts=" · ".join(part for part in (facts, free, _in_turn(drill)) if part),
        steps=tuple(beats_of(step, beat) for step in played),
    )


def _in_turn(drill: Drill) -> str:
    """Which grips a pitch has one after another, where it has two; those to learn are drawn instead."""
    if drill.kind == LEARN:
        return ""
    return "; ".join(f"{name} first {grips}" for name, grips in grips_in_turn(drill).items())


def clock(minutes: float) -> str:
    """Minutes as musicians write them.

    >>> clock(2.5), clock(3)
    ('2′30″', '3′')
    """
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole}′{f'{seconds}″' if seconds else ''}"


def trill_sheet(planned: PlannedCell, instrument: Instrument) -> str:
    """The drills of one trill as an HTML document of one page."""
    tables, cell, ladder = practice_tables(), planned.cell, planned.ladder
    minutes = tables.figures.spot_usual_min
    grips = "; ".join(f"{p} {c.grip.short}" for p, c in zip(cell.pitches, cell.candidates, strict=True))
    steps = spread(ladder.steps, min(len(ladder.steps), tables.figures.sitting_notches + 1))
    drawn = [sheet_drill(planned, 1, place, steps=steps) for place in range(len(planned.drills))]
    kinds = [tables.drills[kind] for kind in dict.fromkeys(drill.kind for drill in planned.drills)]
    told = tuple((kind.title, kind.instruction) for kind in kinds)
    head = SheetCell(1, cell.title, "", grips, (planned.why,), target=ladder.target, to_fill=True)
    head = replace(head, hands=hands_of_cell(planned))
    page = SheetPage(
        title=f"{minutes:g} minutes a day",
        facts=f"sixteenths at quarter = {ladder.target} are the {cell.title.split()[-1]}",
        blocks=(head, *drawn),
        hints=(tick_words(tables.figures.clean_times),),
        told=told,
        cautions=(caution_for_paper(),),
    )
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    return practice_sheet("Practice", instrument.title + parts, [page], instrument)


def technique_sheet(found: HardPatterns, most: int) -> str:
    """The worst cells of patterns as an HTML document, with a heat map and the `most` worst changes."""
    from gripway.page.sheet.technique_sheet import TechniqueSheet
    from gripway.page.sheet.technique_sheet import technique_sheet as drawn_sheet

    names = {pitch: found.spelt(pitch) for pitch in found.matrix.pitches}
    sheet = TechniqueSheet(
        title=title_of(found),
        pitches=tuple(names.values()),
        loads={
            (names[each.before.pitch], names[each.after.pitch]): each.change.load
            for each in found.matrix.changes
        },
        rows=tuple(_change_row(each) for each in found.changes[:most]),
        cells=tuple(_technique_blocks(found)),
        remark=left_over(found),
        cautions=found.cautions,
    )
    return drawn_sheet(sheet, found.instrument)


def _change_row(each: PatternChange) -> tuple[str, ...]:
    change, notes = each.change, each.at.route.notes
    before, after = notes[change.to - 1], notes[change.to]
    grips = " to ".join(note.candidate.grip.short for note in (before, after) if note.candidate)
    return (
        f"{before.note.pitch.name} to {after.note.pitch.name}",
        f"{change.load:.2f}",
        f"{change.needed_ms:.0f} ms",
        ", ".join(f"{finger} {way}" for finger, way in change.movers),
        grips,
        places_words(each.places, MOST_PATTERNS),
    )


def _technique_blocks(found: HardPatterns) -> Iterator[Block]:
    for number, (cell, planned) in enumerate(zip(found.cells, found.worked, strict=True), start=1):
        pairs = zip(planned.cell.pitches, planned.cell.candidates, strict=True)
        grips = "; ".join(f"{pitch} {candidate.grip.short}" for pitch, candidate in pairs)
        yield SheetCell(
            number=number,
            notes=" ".join(planned.cell.pitches),
            facts=f"load {planned.cell.load:.2f}",
            grips=grips,
            lines=(f"In {places_words(cell.places, MOST_PATTERNS)}.", planned.why, planned.worth.advice),
            steps=planned.ladder.steps,
            target=planned.ladder.target,
            to_fill=True,
            hands=hands_of_cell(planned),
        )
        yield from (sheet_drill(planned, number, place) for place in range(len(planned.drills)))
