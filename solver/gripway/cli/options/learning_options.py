"""How much a player will learn: --learn and --curve."""

from dataclasses import replace
from typing import Any

import click

from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.cli.options.passage_choice import refuse
from gripway.cli.options.together import together

LONGEST_FOR_LINE = 400
"""Notes up to which the text has the learning curve without being asked."""

learning_options = together(
    click.option(
        "--learn",
        type=click.IntRange(min=0),
        metavar="N",
        help="At most N grips to learn; without it those that pay.",
    ),
    click.option("--curve", is_flag=True, help="What each number of grips to learn takes and saves (text)."),
)
"""--learn and --curve."""


def refuse_idle_learning(context: click.Context, form: str) -> None:
    """RequestError for options that would change nothing beside the others."""
    asked = context.params
    if asked["tradeoff"] or asked["alternatives"]:
        name = "--tradeoff" if asked["tradeoff"] else "--alternatives"
        refuse(context, ("learn", "curve"), f"is not for {name}, which compares other routes")
    if form != "text":
        refuse(context, ("curve",), "is for text; json and html have the learning curve anyway")
    if asked["choose"] != LEAST_EFFORT:
        refuse(context, ("curve",), "is for the route of least effort")
    if asked["limit_words"] or asked["rules_file"]:
        refuse(context, ("curve",), "is not worked out within limits")


def with_curve(wishes: Wishes, notes: int, form: str, asked: dict[str, Any]) -> Wishes:
    """The wishes with the learning curve where the answer shows it."""
    if form == "text":
        shown = asked["curve"] or asked["explain"] or notes <= LONGEST_FOR_LINE
    else:
        shown = form in ("json", "html")
    return replace(wishes, curve=bool(shown))
