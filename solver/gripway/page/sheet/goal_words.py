"""A goal far from the printed tempo as a player reads it: what to ask, and where to go on above it."""

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.tempo import QUARTER, beat_name, tempo_words
from gripway.practice.plan.goal import doubtful_goal, offered_above
from gripway.practice.plan.plan import Day, Plan

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
    """Tempos (quarters a minute) that a day offers above a goal far under the printed one."""
    work = day.passage
    if work is None or work.share < 1 or not work.quarters:
        return ()
    return offered_above(plan.route.passage, work.quarters, day.day, plan.days[-1].day, figures)


def above_words(plan: Plan, figures: PracticeFigures) -> str:
    """From which day on tempos above the goal are offered; empty where none are."""
    day = next((day.day for day in plan.days if above_of_day(plan, day, figures)), None)
    if day is None:
        return ""
    return (
        f"Once it is clean, go on above it from day {day} on if you like: each of these days has the steps."
    )


def goal_beside_mark(plan: Plan, figures: PracticeFigures) -> str:
    """`150% of the edition's mark, half = 84`: a goal that is far from it; empty where none is."""
    doubt = doubtful_goal(plan.route.passage, figures)
    if doubt is None:
        return ""
    if "=" in doubt.mark:
        return f"{_share_words(doubt.share)} the edition's mark, {doubt.mark}"
    printed = tempo_words(doubt.beat, doubt.printed)
    return f"{_share_words(doubt.share)} what {doubt.mark} stands for, about {printed}"


def _share_words(share: float) -> str:
    """`half of`, `twice`, else a percentage."""
    near = {0.5: "about half of", 2.0: "about twice"}
    return next((told for value, told in near.items() if abs(share - value) <= value / 10), f"{share:.0%} of")
