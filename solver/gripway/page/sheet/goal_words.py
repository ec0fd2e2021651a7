"""A goal far from the printed tempo as a player reads it: what to ask, and where to go on above it."""

from dataclasses import replace

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.tempo import QUARTER, beat_name, tempo_words
from gripway.practice.plan.course import BREATHS
from gripway.practice.plan.goal import doubtful_goal, offered_above, own_goal
from gripway.practice.plan.plan import Day, Plan, tempos_of_stretch
from gripway.practice.ways.breathing import breath_words, long_lines
from gripway.practice.ways.whole_passage import Stretch

ASK = "ask your teacher or conductor, as marks may be the edition's alone"


def goal_words(plan: Plan, figures: PracticeFigures) -> str:
    """What to ask of a goal that is far from the printed tempo; empty where none is."""
    doubt = doubtful_goal(plan.route.passage, figures)
    if doubt is None:
        return ""
    goal = tempo_words(QUARTER, doubt.quarters)
    counted = f" ({tempo_words(doubt.beat, doubt.quarters)})" if doubt.beat != QUARTER else ""
    told = f"Your goal of {goal}{counted} is {goal_beside_mark(plan, figures)}"
    if doubt.meant:
        meant = f"{beat_name(doubt.meant)} = {doubt.quarters:.0f}"
        meant += f" ({tempo_words(QUARTER, doubt.quarters * float(doubt.meant))})"
        return f"{told}: did you mean {meant}? Then make the plan anew; if not, {ASK}."
    return f"{told}: if you did not mean that, make the plan anew; if you did, {ASK}."


def above_of_day(plan: Plan, day: Day, figures: PracticeFigures) -> tuple[int, ...]:
    """Tempos (quarters a minute) that a day offers above a goal under the printed one.

    Where it is not far under that only a day with time left.
    """
    if day.passage is None or not _goes_on(plan, day, figures):
        return ()
    turn = sum(_goes_on(plan, each, figures) for each in plan.days if each.day <= day.day)
    hardest = None if plan.cells else plan.hardest
    return offered_above(plan.route.passage, day.passage.quarters, turn, hardest, figures)


def _goes_on(plan: Plan, day: Day, figures: PracticeFigures) -> bool:
    """Whether a day is one to go on above the goal: in the second half, at the goal, in one tempo.

    With cells not the first one at it: they are at their limit there.
    """
    last = plan.days[-1].day
    at_goal = [each.day for each in plan.days if each.passage and each.passage.share >= 1]
    if 2 * day.day <= last or day.day not in at_goal or (plan.cells and day.day == at_goal[0]):
        return False
    if day.passage is None or len(tempos_of_stretch(plan, day.passage, figures)) != 1:
        return False
    free = day.minutes < (1 - figures.free_share) * plan.minutes
    return free or doubtful_goal(plan.route.passage, figures) is not None


def above_words(plan: Plan, figures: PracticeFigures) -> str:
    """On which days tempos above the goal are offered; empty where none are."""
    *most, last = [""] + [str(day.day) for day in plan.days if above_of_day(plan, day, figures)]
    named = " and ".join(filter(None, (", ".join(most[1:]), last)))
    has = f"days {named} have" if most[1:] else f"day {named} has"
    return f"Once it is clean, go on above the goal if you like: {has} the steps." if last else ""


def at_this_tempo(plan: Plan, study: Stretch, figures: PracticeFigures) -> Stretch:
    """Work on breaths, which are only that far apart at a goal far under the mark."""
    doubt = doubtful_goal(plan.route.passage, figures)
    if doubt is None or doubt.share >= 1 or study.way != BREATHS:
        return study
    found = long_lines(plan.route.passage.notes, figures)
    return replace(study, about=f"({breath_words(found, figures.breath_most_lines, ' at this tempo')})")


def goal_beside_mark(plan: Plan, figures: PracticeFigures) -> str:
    """`150% of the file's mark, half = 84`: a goal that is far from it; another is told with the mark.

    Empty where the goal is that of the mark, or near what a word stands for; nor is a mark told that the goal
    goes beyond by more than marks differ (`goal_told_share`): it may be none that one plays by.
    """
    doubt = own_goal(plan.route.passage, figures)
    if doubt is None:
        return ""
    if not doubt.far:
        if doubt.share > figures.goal_told_share:
            return ""
        counted = tempo_words(doubt.beat, doubt.printed)
        other = f" ({counted})" * (counted.partition(" = ")[0] != doubt.mark.partition(" = ")[0])
        return f"the file has {doubt.mark}{other}" * ("=" in doubt.mark)
    if "=" in doubt.mark:
        return f"{_share_words(doubt.share)} the file's mark, {doubt.mark}"
    printed = tempo_words(doubt.beat, doubt.printed)
    return f"{_share_words(doubt.share)} what {doubt.mark} stands for, about {printed}"


def _share_words(share: float) -> str:
    """`half of`, `twice`, else a percentage."""
    near = {0.5: "about half of", 2.0: "about twice"}
    return next((told for value, told in near.items() if abs(share - value) <= value / 10), f"{share:.0%} of")
