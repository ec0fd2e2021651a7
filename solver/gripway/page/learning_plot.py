"""The learning curve as a small drawing: a staircase down, a step for every number of new grips.

The answer is a filled square, the other points are discs; from a point that is not proved a line goes
down to the least that any route with as many grips takes. On the page its points can be chosen.
"""

from collections.abc import Iterator, Sequence

from gripway.effort.ledger import MILLI
from gripway.model.pitch import plain_name
from gripway.page.markup import Markup, join, tag
from gripway.page.report.table import table
from gripway.page.report.tradeoff_plot import scale
from gripway.route.curve import CurveStep

WIDTH, HEIGHT = 520, 280
LEFT, RIGHT, TOP, BOTTOM = 64, 16, 34, 52
RADIUS = 13.0
HEADS = ("Grips to learn", "Effort", "Saves", "Worst load", "Notes", "Grips")
NAME = "Effort left by the number of grips to learn; the figures stand in the table beside it"


class Frame:
    """Where figures stand in the drawing: numbers of grips across, efforts up."""

    def __init__(self, steps: Sequence[CurveStep]) -> None:
        self.ticks = scale([m / MILLI for s in steps for m in (s.effort_milli, s.bound_milli)])
        self.columns = max(len(step.grips) for step in steps) + 1
        self.wide = (WIDTH - LEFT - RIGHT) / self.columns

    def x(self, grips: float) -> float:
        """The middle of a number of grips."""
        return LEFT + (grips + 0.5) * self.wide

    def y(self, effort: float) -> float:
        """The height of an effort."""
        low, high = self.ticks[0], self.ticks[-1]
        return HEIGHT - BOTTOM - (effort - low) / (high - low) * (HEIGHT - TOP - BOTTOM)


def learning_plot(steps: Sequence[CurveStep], chosen: int | None, *, choosable: bool = False) -> Markup:
    """The drawing; `chosen` is the number of new grips of the answer. Needs a point.

    Where points are `choosable`, each is a button with its number of grips as `data-learn`.
    """
    frame = Frame(steps)
    points = (_point(s, frame, chosen=len(s.grips) == chosen, choosable=choosable) for s in steps)
    return tag(
        "svg",
        *_axes(frame),
        tag("path", d=_stairs(steps, frame), class_="stairs"),
        *points,
        viewbox=f"0 0 {WIDTH} {HEIGHT}",
        class_="plot learning",
        role="group" if choosable else "img",
        aria_label=NAME,
    )


def _axes(frame: Frame) -> Iterator[Markup]:
    yield tag("path", d=f"M{LEFT} {TOP - 10}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}", class_="axis")
    for effort in frame.ticks:
        y = frame.y(effort)
        yield tag("path", d=f"M{LEFT} {y:.0f}h-6", class_="axis")
        yield tag("text", f"{effort:g}", x=float(LEFT - 11), y=y + 5, text_anchor="end")
    middle, foot = (LEFT + WIDTH - RIGHT) / 2, float(HEIGHT - BOTTOM)
    for grips in range(frame.columns):
        yield tag("text", str(grips), x=frame.x(grips), y=foot + 20, text_anchor="middle")
    yield tag("text", "grips to learn", x=middle, y=float(HEIGHT - 10), text_anchor="middle")
    yield tag("text", "effort", x=6.0, y=float(TOP - 16))


def _stairs(steps: Sequence[CurveStep], frame: Frame) -> str:
    """Level through every point, down half-way to the next number of grips."""
    first = steps[0]
    path = f"M{frame.x(len(first.grips) - 0.5):.0f} {frame.y(first.effort_milli / MILLI):.0f}"
    for step in steps[1:]:
        path += f"H{frame.x(len(step.grips) - 0.5):.0f}V{frame.y(step.effort_milli / MILLI):.0f}"
    return f"{path}H{frame.x(len(steps[-1].grips) + 0.5):.0f}"


def _point(step: CurveStep, frame: Frame, *, chosen: bool, choosable: bool) -> Markup:
    """A point with its effort, and the line down to its bound."""
    x, y = frame.x(len(step.grips)), frame.y(step.effort_milli / MILLI)
    parts = [_shape(x, y, chosen=chosen)]
    parts.append(tag("text", f"{step.effort_milli / MILLI:.2f}", x=x, y=y - RADIUS - 9, text_anchor="middle"))
    if not step.proved:
        least = frame.y(step.bound_milli / MILLI)
        parts.insert(0, tag("path", d=f"M{x:.0f} {y:.0f}V{least:.0f}m-6 0h12", class_="axis"))
    if not choosable:
        return tag("g", *parts)
    words = f"{grips_words(step)}: effort {step.effort_milli / MILLI:.2f}"
    return tag(
        "g",
        tag("circle", cx=x, cy=y, r="19", class_="reach"),
        *parts,
        data_learn=str(len(step.grips)),
        tabindex="0",
        role="button",
        aria_pressed="true" if chosen else "false",
        aria_label=words,
    )


def _shape(x: float, y: float, *, chosen: bool) -> Markup:
    if chosen:
        side = 2 * RADIUS - 4
        return tag("rect", x=x - side / 2, y=y - side / 2, width=side, height=side, class_="fill")
    return tag("circle", cx=x, cy=y, r="9", class_="point")


def grips_words(step: CurveStep) -> str:
    """`no grip to learn`, `2 grips to learn`."""
    number = len(step.grips)
    return f"{number or 'no'} grip{'s' * (number > 1)} to learn"


def learning_table(steps: Sequence[CurveStep], chosen: int | None) -> Markup:
    """The same figures as a table."""
    rows = (
        _row(before, step, chosen=len(step.grips) == chosen)
        for before, step in zip((None, *steps), steps, strict=False)
    )
    return table("What every number of grips to learn leaves of the effort", HEADS, rows)


def _row(before: CurveStep | None, step: CurveStep, *, chosen: bool) -> Markup:
    effort = f"{step.effort_milli / MILLI:.2f}"
    bound = "" if step.proved else f" (at least {step.bound_milli / MILLI:.2f})"
    saves = "" if before is None else f"{(before.effort_milli - step.effort_milli) / MILLI:.2f}"
    names = [f"{plain_name(pitch)} {grip.short}" for pitch, grip in step.grips]
    grips = join([tag("span", name, class_="whole") for name in names], ", ")
    return tag(
        "tr",
        tag("th", f"{len(step.grips)}{' (the answer)' if chosen else ''}", scope="row"),
        tag("td", effort, bound, class_="number"),
        tag("td", saves, class_="number"),
        tag("td", f"{step.worst_load:.2f}", class_="number"),
        tag("td", str(step.places), class_="number"),
        tag("td", grips),
    )


def curve_words(each_milli: int) -> str:
    """How to read the curve."""
    return (
        "Effort is here without what learning itself charges: that is "
        f"{each_milli / MILLI:.2f} for every grip, so that a grip is taken where it saves more."
    )


def learning_curve_shown(steps: Sequence[CurveStep], chosen: int | None) -> Markup:
    """Drawing and table beside each other."""
    return tag("div", join([learning_plot(steps, chosen), learning_table(steps, chosen)]), class_="beside")
