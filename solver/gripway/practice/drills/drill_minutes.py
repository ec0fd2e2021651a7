"""How long a drill takes: at which tempos of a sitting it is played, and with how many tries."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from gripway.catalog.tables.practice_figures import PracticeFigures, PracticeTables
from gripway.practice.drills.drills import IN_THE_PART, LONE_NOTES, Drill
from gripway.practice.drills.tempo_ladder import Ladder


def item_steps(
    drill: Drill, ladder: Ladder, climb: tuple[int, int], most: float, day: float, tables: PracticeTables
) -> tuple[int, ...]:
    """The tempos a drill is played at that climbs from one tempo to another.

    As many as its kind asks for, from the first one on and no more than `stride_notches` apart, as far as the
    drill goes: more in proportion on a day of over `tempos_day_min` minutes, fewer where it would take over
    `most` minutes. One tempo alone is no work: below the end of the climb, or of the drill, there are
    `below_tempos` more.
    """
    figures = tables.figures
    climbed = [step for step in ladder.steps if climb[0] <= step <= min(climb[1], drill.fastest)]
    steps, ends = climbed, len(climbed) <= figures.below_tempos
    if ends:
        known = [step for step in ladder.steps if step <= min(climb[1], drill.fastest)]
        below = range(figures.below_tempos + 1 - max(1, len(known)), 0, -1)
        lowest = known[0] if known else drill.fastest
        slower = [round(lowest * (1 + figures.notch_share) ** -down) for down in below]
        steps = [*slower, *(known or [lowest])][-figures.below_tempos - 1 :]
    count = min(tempos_of(drill, day, tables), len(steps))
    stride = figures.stride_notches
    chosen = [
        tuple(steps[-fewer:]) if ends else spread(steps[: (fewer - 1) * stride + 1], fewer)
        for fewer in range(count, 0, -1)
    ]
    fitting = (each for each in chosen if minutes_of(drill, ladder, each, figures) <= most)
    return next(fitting, chosen[-1])


def tempos_of(drill: Drill, minutes: float, tables: PracticeTables) -> int:
    """At how many tempos a drill is played on such a day: few if it is high, of two notes or mostly held."""
    figures = tables.figures
    count = round(tables.drills[drill.kind].tempos * longer(minutes, figures))
    if drill.of_two:
        count = min(count, figures.two_note_tempos)
    return min(count, figures.high_tempos) if drill.high or _is_held(drill) else count


def _is_held(drill: Drill) -> bool:
    """Whether one note before the last is longer than all others, but in the part: no matter of tempos."""
    lengths = [note.length for note in drill.passage.notes]
    return drill.kind != IN_THE_PART and len(lengths) > LONE_NOTES and 2 * max(lengths[:-1]) > sum(lengths)


def clean_times_of(minutes: float, figures: PracticeFigures) -> int:
    """How often in a row a drill is to be clean on a day of so many minutes."""
    return figures.clean_times + int(minutes // figures.clean_more_min)


def tables_of_day(minutes: float, tables: PracticeTables) -> PracticeTables:
    """The tables for days of so many minutes."""
    times = clean_times_of(minutes, tables.figures)
    return replace(tables, figures=replace(tables.figures, clean_times=times))


def longer(minutes: float, figures: PracticeFigures) -> float:
    """How many times as often things are played on a day of so many minutes: 1 up to `tempos_day_min`."""
    return max(1.0, minutes / figures.tempos_day_min)


def up_to_fastest(steps: Sequence[int], drill: Drill) -> list[int]:
    """Those of the steps that a drill may be played at; its fastest tempo where it may at none."""
    return [step for step in steps if step <= drill.fastest] or [drill.fastest]


def longest_item(minutes: float, figures: PracticeFigures) -> float:
    """Minutes a drill may take on a day of so many."""
    return max(figures.item_least_min, min(figures.item_most_min, minutes * figures.item_share))


def spread(steps: Sequence[int], count: int) -> tuple[int, ...]:
    """So many of the steps, the first and the last among them; one alone is the first."""
    if count == 1:
        return (steps[0],)
    return tuple(steps[round(place * (len(steps) - 1) / (count - 1))] for place in range(count))


def minutes_of(drill: Drill, ladder: Ladder, steps: Sequence[int], figures: PracticeFigures) -> float:
    """Minutes a drill takes at these tempos, each with so many clean repeats in a row, in half minutes.

    Every try takes the drill and a breath; tries that fail are counted in (`tries_of`).
    """
    lasts = float(drill.lasts) * 4 * 60
    seconds = sum(tries_of(step, ladder, figures) * (lasts / step + figures.breath_s) for step in steps)
    return max(figures.item_least_min, in_half_minutes(seconds))


def in_half_minutes(seconds: float) -> float:
    """The minutes that so many seconds begin, in half minutes."""
    return ceil(round(seconds, 6) / 30) / 2


def tries_of(step: int, ladder: Ladder, figures: PracticeFigures) -> float:
    """How many tries it takes on average to play `clean_times` in a row cleanly at a tempo.

    Of the tries `errors_slow_share` fail at the foot of the ladder, `errors_goal_share` at the tempo of the
    part.
    """
    climbed = (step - ladder.foot) / max(1, ladder.target - ladder.foot)
    fails = figures.errors_slow_share + (figures.errors_goal_share - figures.errors_slow_share) * min(
        1.0, max(0.0, climbed)
    )
    return tries_in_a_row(figures.clean_times, fails)


def tries_in_a_row(repeats: int, fails: float) -> float:
    """How many tries it takes on average to play something cleanly so often in a row.

    With a share p that is clean, r in a row take (1 - p^r) / ((1 - p) p^r) tries (Feller, An Introduction to
    Probability Theory I, XIII.7).

    >>> tries_in_a_row(1, 0.5)
    2.0
    """
    row = (1 - fails) ** repeats
    return (1 - row) / (fails * row)
