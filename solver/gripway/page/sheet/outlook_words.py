"""How far the days of a plan bring a cell, as a player reads it."""

from gripway.practice.plan.outlook import Outlook


def outlook_words(outlook: Outlook) -> str:
    """Why the plan does not get to the tempo of the part, and what to do; empty where it does."""
    if outlook.reaches:
        return ""
    if outlook.plateau:
        return (
            f"The last days brought no notch more: the goal is now {outlook.goal} instead of "
            f"{outlook.target}. Play it as music at that tempo; once it is clean, {outlook.target} is the "
            "goal again."
        )
    more = f"{outlook.more} more day{'s' * (outlook.more != 1)} with it"
    return f"These days get to {outlook.ends} of {outlook.target} if all goes well; {more} would reach it."
