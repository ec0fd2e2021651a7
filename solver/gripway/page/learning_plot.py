"""The learning curve as a small drawing: a staircase down, a step for every number of new grips.

The answer is a filled square, the other points are discs; from a point that is not proved a line goes
down to the least that any route with as many grips takes. On the page its points can be chosen.
"""

from collections.abc import Sequence

from markupsafe import Markup

from gripway.effort.ledger import MILLI
from gripway.model.pitch import plain_name
from gripway.page.markup import filled
from gripway.page.scale import Scale, round_ticks
from gripway.route.curve import CurveStep

SIZE = (520, 280)
LEFT, RIGHT, TOP, BOTTOM = 64, 16, 34, 52


def learning_plot(
    steps: Sequence[CurveStep],
    chosen: int | None,
    *,
    size: tuple[int, int] = SIZE,
    choosable: bool = False,
) -> Markup:
    """The drawing, so wide and high; `chosen` is the number of new grips of the answer. Needs a point.

    Where points are `choosable`, each is a button with its number of grips as `data-learn`.
    """
    width, height = size
    ticks = round_ticks([milli / MILLI for step in steps for milli in (step.effort_milli, step.bound_milli)])
    columns = max(len(step.grips) for step in steps) + 1
    return filled(
        "learning_plot.html",
        steps=steps,
        chosen=chosen,
        choosable=choosable,
        x=Scale(range(columns + 1), LEFT, width - RIGHT),
        y=Scale(ticks, height - BOTTOM, TOP),
        width=width,
        height=height,
        MILLI=MILLI,
    )


def learning_table(steps: Sequence[CurveStep], chosen: int | None) -> Markup:
    """The same figures as a table."""
    return filled("learning_table.html", steps=steps, chosen=chosen, plain_name=plain_name, MILLI=MILLI)
