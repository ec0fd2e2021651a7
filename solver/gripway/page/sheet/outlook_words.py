"""What to do, and how far the days of a plan bring a cell, as a player reads it."""

from collections.abc import Collection, Sequence
from fractions import Fraction
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures, practice_tables
from gripway.model.passage import PLAYBACK, Note
from gripway.model.tempo import QUARTER, beats_of
from gripway.page.sheet.goal_words import above_words, goal_words
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.change_bars import bars_text
from gripway.practice.cells.of_ornaments import grace_figure, graces_around
from gripway.practice.cells.trill_cells import is_wide
from gripway.practice.drills.drill_minutes import clean_times_of
from gripway.practice.drills.drills import LEARN, Drill
from gripway.practice.plan.course import NO_BARS, PLACE, RHYTHM
from gripway.practice.plan.outlook import Outlook, days_of_ornaments
from gripway.practice.plan.plan import Day, Plan, PlannedCell
from gripway.practice.ways.drone import LOUD
from gripway.practice.ways.spots import HardPlace
from gripway.practice.ways.uneven import has_fives
from gripway.practice.ways.whole_passage import Stretch, bars_of, goes_on, instruction_of, rest_after
from gripway.route.result import RouteNote
from gripway.route.words.place_words import places_in_words, places_text
from gripway.route.words.trill_words import grips_words

MOST_PLACES = 2

WARM_UP = "Warm up first, from low notes to high ones; that is not counted here."
WARM_UP_SHORT = "warm up first"

SLUR_FIRST = (
    "What is printed without slurs: slurred first, then as printed; the tongue hides what fingers do."
)

FIVES = "Fives: five even syllables to one beat, the first on it, and the next note on the next beat."

SPARE_LIPS = "Loud high notes mf, as loud as printed only the last time at each tempo: spare lips and ears."


SLURRED, EACH_TEMPO, AS_PRINTED = (
    "First slurred,",
    "At each tempo",
    " the last time at each tempo as printed;",
)
"""How a hard bar is begun: what is slurred already is played slowly instead, and always as printed."""


def how_of(study: Stretch, notes: Sequence[Note]) -> str:
    """What to do in work on the passage; a hard bar that is slurred already is not slurred first."""
    tables = practice_tables()
    told = instruction_of(study, tables.ways)
    if study.way == RHYTHM and has_fives(notes[study.first : study.last + 1]):
        return f"{told} {FIVES}"
    within = notes[study.first + 1 : study.last + 1]
    slurred = sum(note.slurred or note.grace for note in within)
    if study.way != PLACE or slurred <= tables.figures.study_slurred_share * len(within):
        return told
    return told.replace(SLURRED, EACH_TEMPO, 1).replace(AS_PRINTED, "", 1)


def is_tongued(drill: Drill) -> bool:
    """Whether a drill tongues a note that follows another without a rest."""
    return any(
        not after.slurred and not after.grace and before.onset + before.length == after.onset
        for before, after in pairwise(drill.passage.notes)
    )


def is_loud_and_high(drill: Drill) -> bool:
    """Whether a drill has notes that are loud in its bar, and so high that this tires again and again."""
    edge = practice_tables().figures.loud_most_note_number
    notes = drill.passage.notes
    return not drill.free and any(each.pitch.number >= edge and each.dynamic in LOUD for each in notes)


def is_of_the_file(plan: Plan) -> bool:
    """Whether the tempo is only that at which the file plays, and no number is printed."""
    return plan.route.passage.tempo_from[0] == PLAYBACK


def rest_words(plan: Plan, figures: PracticeFigures) -> str:
    """How rests of the part are counted; empty where it has no long ones."""
    notes = plan.route.passage.notes
    long = figures.rest_most_s * 1000
    if not any(goes_on(notes, at, at + 1) and rest_after(notes, at) > long for at in range(len(notes) - 1)):
        return ""
    return f"longer rests in the part: cut to {figures.rest_most_s:g} seconds"


def its_tempo(plan: Plan) -> str:
    """What the tempo of the passage is called."""
    return "the file's tempo" if is_of_the_file(plan) else "its tempo"


def first_words(plan: Plan, figures: PracticeFigures) -> str:
    """What to do, in one sentence; and that time is free where there is enough for a day."""
    days = f"{len(plan.days)} day{'s' * (len(plan.days) != 1)}"
    minutes = f"{plan.minutes} minute{'s' * (plan.minutes != 1)} a day"
    ends = ", and end every day with the passage itself" * all(day.passage for day in plan.days)
    parts = (
        ornament_words(plan),
        passage_words_at_end(plan),
        at_tempo_words(plan),
        free_words(plan, figures),
        above_words(plan, figures),
    )
    after = " ".join(part for part in parts if part)
    asked = goal_words(plan, figures)
    doubt = f"{asked} " * bool(asked)
    if not plan.cells:
        first = (
            f"For {days}, {minutes}: nothing here is hard for the fingers, so work on "
            f"{music_words(plan.days)}{ends}."
        )
        return f"{doubt}{first} {after}".rstrip()
    new = [each for each in plan.cells if each.learns and not each.cell.trill]
    old = [each for each in plan.cells if each not in new]
    grips = list(dict.fromkeys(text for each in new for text in _grips(each)))
    *most, final = [_named(each, plan.route.passage.notes) for each in (*new, *old)]
    names = f"{', '.join(most)} and {final}" if most else final
    begin = f"learn {' and '.join(grips)} first, then work" if grips else "work"
    if plan.run:
        begin = f"{begin} most"
        names = f"{_run_words(plan.run, plan.route.passage.notes)}, and on {names}"
    first = f"For {days}, {minutes}: {begin} on {names}{ends}."
    return f"{doubt}{first} {after}".rstrip()


AIMS = {
    "rhythm": ("uneven", "upbeats", "ties"),
    "tonguing": ("tongued", "repeated", "staccato"),
    "dynamics": ("contrasts", "swells", "accents"),
}
"""What work on the music is for besides sound and line, by what its ways seek."""


def music_words(days: Sequence[Day]) -> str:
    """`rhythm, tonguing, sound and line`: what some days without drills are for."""
    ways = practice_tables().ways
    sought = {ways[study.way].seeks for day in days for study in day.studies if study.way in ways}
    named = [aim for aim, kinds in AIMS.items() if sought & {*kinds}]
    return f"{', '.join((*named, 'sound'))} and line"


def _run_words(run: HardPlace, notes: Sequence[Note]) -> str:
    """`the run in bars 273-274`: where most hard changes stand side by side."""
    bars = bars_of(notes, run.first, run.last)
    named = f" in bar{'s' * (len(bars) > 1)} {'-'.join(dict.fromkeys((bars[0], bars[-1])))}"
    return f"the run of hard changes{named * bool(bars[0])}"


def passage_words_at_end(plan: Plan) -> str:
    """How near to its tempo the passage gets; empty where it gets there."""
    last = plan.days[-1].passage
    if last is None or last.share >= 1:
        return ""
    share = f"{last.share:.0%} of {its_tempo(plan)}"
    if last.around:
        nearly = f"{last.around.share:.0%} of {its_tempo(plan)} without {last.around.told}"
        share = f"{nearly} and whole at {last.share:.0%}"
    return f"On the last day the passage is at {share}, if all goes well; go on from there."


def ornament_words(plan: Plan) -> str:
    """How grace notes and trills are played that alone are hard; empty where there are none."""
    return " ".join(filter(None, (_grace_words(plan), trill_words(plan))))


def trill_words(plan: Plan, *, first: bool = True) -> str:
    """How trills are played at first; empty where there are none.

    Those that are wider than any are asked about on the `first` day.
    """
    asked = wide_words(plan) if first else ""
    return " ".join(filter(None, (_trills_left(plan), asked)))


def wide_trills(plan: Plan) -> tuple[RouteNote, ...]:
    """The notes with a trill wider than a whole tone, each written one once."""
    wide = (note for note in plan.route.notes if note.ornament and is_wide(note.ornament))
    return tuple({note.note.id: note for note in wide}.values())


def wide_words(plan: Plan) -> str:
    """Trills wider than a whole tone, which are rarely meant; empty where there are none."""
    wide = wide_trills(plan)
    if not wide:
        return ""
    where = places_in_words([(note.note.bar, note.index) for note in wide])
    many = len(wide) > 1
    return (
        f"As the score has it, the trill{'s' * many} {where} {'are' if many else 'is'} wider than a whole "
        f"tone: check the sign{'s' * many} in your part before you practise.{_likelier_words(plan)}"
    )


def _likelier_words(plan: Plan) -> str:
    """What trills that are wider than any are likelier to be, with the grips; empty without such."""
    told = []
    for note in plan.likelier_trills:
        if note.ornament:
            names = " to ".join(each.pitch.name for each in note.ornament.notes[:2])
            told.append(f"{names} in bar {note.note.bar}, as the key has it, is {grips_words(note.ornament)}")
    return f" {'; '.join(told)}." if told else ""


def _trills_left(plan: Plan) -> str:
    """That trills with grips of their own are left out at first; empty where there are none."""
    apart = plan.trills_apart
    if not apart:
        return ""
    many = len(apart) > 1
    where = places_in_words([(note.note.bar, note.index) for note in apart])
    trills = f"trill{'s' * many}"
    plain = ", ".join(dict.fromkeys(note.note.pitch.name for note in apart))
    return (
        f"Play the passage without the {trills} {where} (plain {plain}) until the run is clean; after the "
        f"warm-up touch the {trills} alone, slowly, for a minute every day; then put both together."
    )


BACK = "the first time two tempos slower"
"""How the passage is begun on the day on which ornaments come back."""


def _grace_words(plan: Plan) -> str:
    """From which day on hard grace notes and endings of trills are played; empty where there are none."""
    found = days_of_ornaments(plan, practice_tables().figures)
    first = plan.days[0].day if plan.days else 0
    parts = []
    for day in sorted({day for day in found.values() if day and day > first}):
        named = _ornaments_named(plan, [to for to, then in found.items() if then == day], "hard ")
        parts.append(f"Play the passage without the {named} at first, with them from day {day} on, {BACK}.")
    if never := [to for to, then in found.items() if then is None]:
        named = _ornaments_named(plan, never, "hard ")
        parts.append(f"Play the passage without the {named} until their drills are at its tempo.")
    return " ".join(parts)


def grace_words_of_day(plan: Plan, day: Day) -> str:
    """Whether hard grace notes and endings of trills are played on a day, and that they are from it on."""
    found = days_of_ornaments(plan, practice_tables().figures)
    out = [to for to, then in found.items() if then is None or then > day.day]
    new = [to for to, then in found.items() if then == day.day and day is not plan.days[0]]
    kept = " and ".join(["drills"] * bool(day.items) + ["hard bars"] * _has_hard_bar(day, out))
    left = f"Leave the {_ornaments_named(plan, out)} out today{_also_in_rows(day, out)}"
    parts = (
        f"{left}{f', except in the {kept}' * bool(kept)}." if out else "",
        f"From today the passage with the {_ornaments_named(plan, new)}, {_back(day)}." if new else "",
    )
    return " ".join(filter(None, parts))


def _back(day: Day) -> str:
    """How the passage is begun on the day: where hard bars are left out once, that time is no slower one."""
    around = day.passage.around if day.passage else None
    return f"but not yet where it goes without {around.told}" if around else BACK


def _also_in_rows(day: Day, places: Sequence[int]) -> str:
    """That some notes are left out of rows, too; empty where no row that is played prints them."""
    rows = (study for study in day.studies if study.way not in (PLACE, *NO_BARS))
    printed = any(study.first <= at <= study.last for study in rows for at in places)
    return ", also where a row prints them" * printed


def _has_hard_bar(day: Day, places: Sequence[int]) -> bool:
    """Whether a hard bar of a day has one of some notes."""
    hard = (study for study in day.studies if study.way == PLACE)
    return any(study.first <= at <= study.last for study in hard for at in places)


def _ornaments_named(plan: Plan, places: Sequence[int], hard: str = "") -> str:
    """`3 hard grace notes before B5 in bar 70`: the ornaments in which changes to these notes stand.

    `grace notes in bars 70-72` where they are not alike.
    """
    notes = plan.route.passage.notes
    figures = {grace_figure(notes, to) for to in places}
    if len(figures) == 1 and (own := graces_around(notes, min(places))):
        many, to = len(own), notes[own.stop].pitch.name
        where = places_in_words([(notes[at - 1].bar, at - 1) for at in sorted(places)])
        return f"{f'{many} ' * (many > 1)}{hard}grace note{'s' * (many > 1)} before {to} {where}"
    graces = [any(notes[at].grace for at in (to - 1, to)) for to in places]
    kinds = " and ".join(["grace notes"] * any(graces) + ["endings of trills"] * (not all(graces)))
    return f"{hard}{kinds} {places_in_words([(notes[to - 1].bar, to - 1) for to in sorted(places)])}"


def day_at_tempo(plan: Plan) -> int | None:
    """The first day on which the passage is at its tempo; None where that is the last one or none."""
    early = (day.day for day in plan.days[:-1] if plan.cells and day.passage and day.passage.share >= 1)
    return next(early, None)


def at_tempo_words(plan: Plan) -> str:
    """What to do with the days on which the passage is at its tempo already; empty where there are none.

    A tempo of the file alone is nobody's goal.
    """
    day = day_at_tempo(plan)
    if day is None or is_of_the_file(plan):
        return ""
    slower = any(
        planned.cell.trill and _drilled_to(plan, number) < planned.ladder.goal
        for number, planned in enumerate(plan.cells)
    )
    trills = ", its trills slower" * slower
    found = days_of_ornaments(plan, practice_tables().figures)
    never = [to for to, then in found.items() if then is None]
    left = f", without the {_ornaments_named(plan, never)}" * bool(never)
    if day == plan.days[0].day:
        return (
            f"These few changes are all that is hard: play the passage at its tempo from the first day on"
            f"{trills}{left}, as in the concert, and slower where it is not clean yet."
        )
    return (
        f"If all goes well the passage is at its tempo from day {day} on{trills}{left}: then play it as in "
        "the concert, and give what time is left to tone and line."
    )


def _drilled_to(plan: Plan, cell: int) -> int:
    """Up to which tempo the days drill a cell."""
    return max((item.end for day in plan.days for item in day.items if item.cell == cell), default=0)


EARLY = (
    "Is the passage clean at {tempo} before the last day? Then leave the drills: play it once a day as in "
    "the concert, and give the time to tone and line."
)
"""What to do where the goal is reached sooner than planned."""

NEAR_SHARE = 0.8
"""Share of its tempo from which the passage may be at it sooner than planned."""


def early_words(plan: Plan, day: Day) -> str:
    """What to do before the last day once the passage is at its tempo; empty where that is far off."""
    if day_at_tempo(plan) == day.day:
        return at_tempo_words(plan)
    near = day.passage and NEAR_SHARE <= day.passage.share < 1
    return EARLY.format(tempo=its_tempo(plan)) if plan.cells and near and day is not plan.days[-1] else ""


def excerpt_words(runs: Sequence[tuple[str, str]]) -> str:
    """Which bars stand on the page, where they are not all that is played: first and last of each run."""
    named = [first if first == last else f"{first}-{last}" for first, last in runs]
    many = len(named) > 1 or runs[0][0] != runs[0][1]
    return f"Bar{'s' * many} {_in_a_row(named)}; the rest is in your part."


def climb_words(minutes: float, figures: PracticeFigures) -> str:
    """How the tempos of a drill are climbed on days of so many minutes."""
    times = clean_times_of(minutes, figures)
    return (
        f"At each tempo: {times} clean times in a row, then relax, then one tempo on; not clean, stay. "
        f"No more than {figures.sitting_notches} tempos up in one day; begin the next day "
        f"{figures.back_notches} tempos lower."
    )


LIFTED = (
    "{names} is here without the little finger: lower, where it is held or loud; with it is as right, if you "
    "play it so."
)


def lifted_words(cell: Cell) -> str:
    """That a standard grip of a cell has no little finger, where the usual one has; empty elsewhere.

    Such grips are standard for held notes only; the usual one is so for every use.
    """
    names = _lifted(cell)
    return LIFTED.format(names=names) if names else ""


def lifted_briefly(cell: Cell) -> str:
    """The same for the heading of a cell: `E6, held, without Eb; with it as right`."""
    names = _lifted(cell)
    return f"{names}, held, without Eb; with it as right" if names else ""


def _lifted(cell: Cell) -> str:
    """The notes of a cell whose standard grip lifts the little finger."""
    lifted = [
        name
        for name, each in zip(cell.pitches, cell.candidates, strict=True)
        if each.kind == "standard" and each.uses == HELD_ONLY and not each.grip.has("Eb")
    ]
    return " and ".join(dict.fromkeys(lifted))


HELD_ONLY = frozenset({"sustained"})


def other_grips_words(plan: Plan, number: int, played: Collection[int]) -> str:
    """`But in 1.6 F#6 is T 1 3 | 2 Eb, not its standard grip.`: grips that are not those of the cell.

    `number` is that of the cell (from 0), `played` are those of its drills that are told of.
    """
    planned = plan.cells[number]
    told = (*planned.cell.candidates, *(each.candidate for each in planned.worth.alternates))
    unusual = plan.unusual_grips - {(each.pitch, each.grip.short) for each in told}
    found: dict[str, list[str]] = {}
    for place in sorted(played):
        drill = planned.drills[place]
        for note, grip in zip(drill.passage.notes, drill.grips, strict=True):
            if (note.pitch.number, grip.short) in unusual:
                label = f"{number + 1}.{place + 1}"
                there = found.setdefault(f"{note.pitch.name} is {grip.short}", [])
                if label not in there:
                    there.append(label)
    drills = [f"in {_in_a_row(labels)} {grip}, not its standard grip" for grip, labels in found.items()]
    return f"But {'; '.join(drills)}." if drills else ""


def _in_a_row(labels: Sequence[str]) -> str:
    """`1.4, 1.6 and 1.7`."""
    *most, last = labels
    return f"{', '.join(most)} and {last}" if most else last


def left_words(plan: Plan) -> str:
    """What is hard and has no drills: when it is worked on in its bar, and what is left for later."""
    there = [cell for cell in plan.left if cell not in plan.untouched]
    parts = []
    notes = plan.route.passage.notes
    if there:
        parts.append(
            f"{_count_of(len(there))} practised in the bar, without drills: {_listed(there, notes)}."
        )
    if names := named_left(plan):
        parts.append(f"Left for later, as there is no time for it: {names}.")
    return " ".join(parts)


def named_left(plan: Plan) -> str:
    """The hard changes that no day works on by themselves, with their bars; empty where there is none."""
    return "" if plan.days_before else _listed(plan.untouched, plan.route.passage.notes)


def _count_of(number: int) -> str:
    return "1 more hard change is" if number == 1 else f"{number} more hard changes are"


def _listed(cells: Sequence[Cell], notes: Sequence[Note]) -> str:
    """`D6 E6 (bar 263), Bb5 C6 (bars 265-266)`: each where it is hardest, as it is spelt there."""

    def where(cell: Cell) -> str:
        there = range(cell.first, cell.first + len(cell.notes))
        if cell.trill or not all(notes[at].bar for at in there):
            return bars_text(cell, notes, 1)
        return places_text([(notes[at].bar, at) for at in there])

    return ", ".join(f"{cell.title} ({where(cell)})" for cell in cells)


def free_words(plan: Plan, figures: PracticeFigures) -> str:
    """`On days 2 and 3 ...`: how long the work of days that are not full takes."""
    free = [day for day in plan.days if is_free(plan, day, figures)]
    if not free:
        return ""
    numbers = "every day" if len(free) == len(plan.days) else _days(free)
    low, high = (f"{value:g}" for value in (min(d.minutes for d in free), max(d.minutes for d in free)))
    lasts = low if low == high else f"{low} to {high}"
    told = f"The work {numbers} takes {lasts} minutes"
    if not climbs_on_free_days(plan, figures):
        return f"{told}; that is enough, the rest is free."
    return f"{told}; with time and strength left, play again what is not clean yet."


def climbs_on_free_days(plan: Plan, figures: PracticeFigures) -> bool:
    """Whether a day that leaves time has the passage below its tempo: time left is for what is hard then."""
    return any(day.passage and day.passage.share < 1 for day in plan.days if is_free(plan, day, figures))


def is_free(plan: Plan, day: Day, figures: PracticeFigures) -> bool:
    """Whether a day leaves so much of its time that the plan must say it; never where work is left."""
    return not named_left(plan) and day.minutes < (1 - figures.free_share) * plan.minutes


def _days(days: list[Day]) -> str:
    *most, last = [str(day.day) for day in days]
    return f"of days {', '.join(most)} and {last}" if most else f"of day {last}"


def _named(planned: PlannedCell, notes: Sequence[Note]) -> str:
    return _with_places(planned.cell, notes, MOST_PLACES)


def _with_places(cell: Cell, notes: Sequence[Note], most: int) -> str:
    """`D6 E6 (bars 12, 14)`: the notes, and so many of the places."""
    return f"{cell.title} ({bars_text(cell, notes, most)})"


def _grips(planned: PlannedCell) -> list[str]:
    """The grips a cell teaches, with their notes."""
    made = [drill for drill in planned.drills if drill.kind == LEARN]
    return [
        f"{drill.passage.notes[0].pitch.name} {drill.grips[0].short}{_for_trills(planned, drill)}"
        for drill in made
    ]


def _for_trills(planned: PlannedCell, drill: Drill) -> str:
    """` (for the trill in bar 48)`: what the grip a drill teaches is for, where it is only for trills."""
    number = drill.passage.notes[0].pitch.number
    for each in planned.worth.alternates:
        if each.trills and (each.candidate.pitch, each.candidate.grip) == (number, drill.grips[0]):
            where = places_in_words([(note.note.bar, note.index) for note in each.trills])
            return f" (for the trill{'s' * (len(each.trills) > 1)} {where})"
    return ""


def outlook_words(outlook: Outlook, beat: Fraction = QUARTER) -> str:
    """Why the plan does not get to the tempo of the part, and what to do; empty where it does.

    Tempos are told in that beat.
    """
    if outlook.reaches:
        return ""
    ends, goal, target = (beats_of(each, beat) for each in (outlook.ends, outlook.goal, outlook.target))
    if outlook.plateau:
        return (
            f"The last days brought no tempo more: the goal is now {goal} instead of "
            f"{target}. Play it as music at that tempo; once it is clean, {target} is the "
            "goal again."
        )
    more = f"it takes {outlook.more} more day{'s' * (outlook.more != 1)} at least"
    return f"These days get to {ends} of {target} if all goes well; {more}."
