"""--tradeoff and --alternatives of `gripway finger`: several routes of one passage side by side."""

from typing import Any

import click

from gripway.asked.wishes import Wishes
from gripway.cli.options.passage_choice import MARKING_FORMS, refuse
from gripway.cli.options.together import together
from gripway.cli.output import as_json
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.tasks.flute_player import FlutePlayer

MOST_ALTERNATIVES = 20

comparing_options = together(
    click.option(
        "--tradeoff",
        is_flag=True,
        help="Set effort against tuning: the routes no other beats in both, and what changes between them.",
    ),
    click.option(
        "--whole-front",
        is_flag=True,
        help="Every such route, not only the corners; takes longer (--tradeoff).",
    ),
    click.option(
        "--alternatives",
        type=click.IntRange(1, MOST_ALTERNATIVES),
        metavar="K",
        help="Up to K other routes that differ from the best one and from each other.",
    ),
    click.option(
        "--differ",
        type=click.IntRange(min=1),
        metavar="N",
        help="On how many written notes each has another grip  [default: one in ten, 2 to 10].",
    ),
    click.option(
        "--differ-in",
        metavar="BAR",
        help="In which bar they differ: on one note there, or on --differ notes.",
    ),
)
"""The options that ask for several routes."""


def refuse_idle_comparing(context: click.Context, form: str) -> None:
    """RequestError for options that mean nothing together with these, or without them."""
    asked = context.params
    if not asked["tradeoff"]:
        refuse(context, ("whole_front",), "is for --tradeoff")
    if not asked["alternatives"]:
        refuse(context, ("differ", "differ_in"), "is for --alternatives")
    if asked["tradeoff"]:
        refuse(context, ("alternatives",), "is not for --tradeoff, which has its own routes")
        refuse(context, ("explain",), "is not for --tradeoff")
    if not (asked["tradeoff"] or asked["alternatives"]):
        return
    name = "--tradeoff" if asked["tradeoff"] else "--alternatives"
    if asked["choose"] != "effort":
        refuse(context, ("choose",), f"is not for {name}, which goes by effort")
    refuse(context, ("limit_words", "rules_file"), f"is not for {name}, whose routes keep no limits")
    if form in (*MARKING_FORMS, "html", "stand"):
        one = "a score is marked with" if form in MARKING_FORMS else "such a file has"
        raise RequestError(
            f"{one} one route, {name} has several",
            place=f"--format {form}",
            next_step="Pin the grips you choose with --pin, without it",
        )


def comparison(
    form: str, passage: Passage, mine: FlutePlayer, wishes: Wishes, asked: dict[str, Any]
) -> tuple[Route, str]:
    """The normal answer, and the text of all routes in the format asked for."""
    if asked["tradeoff"]:
        return _tradeoff(form, passage, mine, wishes, every_point=asked["whole_front"])
    return _alternatives(form, passage, mine, wishes, asked)


def _tradeoff(
    form: str, passage: Passage, mine: FlutePlayer, wishes: Wishes, *, every_point: bool
) -> tuple[Route, str]:
    from gripway.compare.comparison_data import tradeoff_data, tradeoff_table
    from gripway.tasks.other_routes import tradeoff

    route, found = tradeoff(passage, mine, wishes, every_point=every_point)
    if form == "json":
        return route, as_json(tradeoff_data(route, found))
    if form == "csv":
        return route, tradeoff_table(route, found)
    from gripway.cli.text.tradeoff_text import tradeoff_text

    return route, tradeoff_text(route, mine.instrument, found)


def _alternatives(
    form: str, passage: Passage, mine: FlutePlayer, wishes: Wishes, asked: dict[str, Any]
) -> tuple[Route, str]:
    from gripway.compare.alternatives import Distance
    from gripway.compare.comparison_data import alternatives_data, alternatives_table
    from gripway.tasks.other_routes import alternatives

    distance = Distance(asked["differ"], asked["differ_in"])
    route, found = alternatives(passage, mine, wishes, most=asked["alternatives"], distance=distance)
    if form == "json":
        return route, as_json(alternatives_data(route, found))
    if form == "csv":
        return route, alternatives_table(route, found)
    from gripway.cli.text.alternatives_text import alternatives_rows
    from gripway.cli.text.route_text import route_text
    from gripway.tasks.routes import MOST_SPOTS, worth_it

    def beside(console: Any) -> None:
        alternatives_rows(console, route, found)

    worth = worth_it(route, mine, wishes, MOST_SPOTS if asked["explain"] else 0)
    return route, route_text(route, mine.instrument, worth, explain=asked["explain"], beside=beside)
