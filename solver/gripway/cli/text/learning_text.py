"""What there is to learn in a route, as a player reads it: new grips, and what each number of them buys."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gripway.candidates.cents import cents_words
from gripway.charges.charges_paid import Learnt
from gripway.cli.text.terminal import Cell, paint, print_table, words
from gripway.effort.ledger import MILLI
from gripway.model.pitch import plain_name
from gripway.route.curve import CurveStep, with_charges
from gripway.route.other_grips import OtherGrip, other_grips, pays_in
from gripway.route.result import Route
from gripway.route.words.place_words import places_text

if TYPE_CHECKING:
    from rich.console import Console

MOST_GRIPS = 10
"""Rows of grips to learn that are shown without --explain."""

LEARN_COLUMNS = ("pitch", "grip", "kind", "cents", "where")
PAYS = ("saves", "pays in")
LEFT_OUT_COLUMNS = ("pitch", "grip", "kind", *PAYS)
CURVE_COLUMNS = ("new grips", "effort", "saves", "worst load", "places", "adds")


def grips_to_learn(console: "Console", route: Route, *, explain: bool) -> None:
    """The tables of grips that leave the standard: those to learn, and those the player knows."""
    others = other_grips(route)
    new = [other for other in others if not other.known]
    known = [other for other in others if other.known]
    shown = new if explain else new[:MOST_GRIPS]
    if new:
        told = LEARN_COLUMNS if route.charges is None else (*LEARN_COLUMNS, *PAYS[: 2 if explain else 1])
        print_table(console, "Grips to learn", told, [_row(other)[: len(told)] for other in shown])
    if len(new) > len(shown):
        console.print(f"... {len(new) - len(shown)} more: --explain\n")
    if known:
        rows = [_row(other)[: len(LEARN_COLUMNS)] for other in known]
        print_table(console, "Grips you know, beside the standard ones", LEARN_COLUMNS, rows)
    if explain and route.charges and route.charges.left_out:
        title = "Left out: they pay by the tables as they stand, not when those are shaken"
        print_table(console, title, LEFT_OUT_COLUMNS, [_left_out(grip) for grip in route.charges.left_out])
    if explain and route.charges and (route.charges.learn or route.charges.left_out):
        console.print("pays in: how many of the tables do with their judged figures shaken\n")


def _row(other: OtherGrip) -> tuple[Cell, ...]:
    places = places_text([(note.note.bar, note.index) for note in other.notes])
    saves = "" if other.saves_milli is None else f"{other.saves_milli / MILLI:.2f}"
    grip = paint(other.grip.short, "bold")
    cents = cents_words(other.candidate.tendency)
    return (other.pitch, grip, other.candidate.kind, cents, places, saves, pays_in(other.steady))


def _left_out(grip: Learnt) -> tuple[Cell, ...]:
    saves = "" if grip.saves_milli is None else f"{grip.saves_milli / MILLI:.2f}"
    return (plain_name(grip.pitch), grip.grip.short, grip.kind, saves, pays_in(grip.steady))


def curve_line(route: Route) -> str:
    """The learning curve in one line; empty where there is none."""
    steps = with_charges(route.curve, route.charges)
    if not steps:
        return ""
    told = ", ".join(
        f"{_grips(len(step.grips))} {_effort(step)}{' (this answer)' if _is_answer(step, route) else ''}"
        for step in steps
    )
    if len(steps) == 1 and not steps[0].grips:
        return f"Learning curve: no new grip takes effort away; without any it is {_effort(steps[0])}."
    return f"Learning curve, effort with new grips: {told}."


def _grips(number: int) -> str:
    return f"{number or 'no'} grip{'s' * (number > 1)}"


def curve_table(console: "Console", route: Route) -> None:
    """A row for every number of new grips."""
    steps, rows = with_charges(route.curve, route.charges), []
    if not steps:
        return
    for before, step in zip((None, *steps), steps, strict=False):
        saves = "" if before is None else f"{(before.effort_milli - step.effort_milli) / MILLI:.2f}"
        number = f"{len(step.grips)}{' (this answer)' if _is_answer(step, route) else ''}"
        adds = _adds(before, step)
        rows.append((number, _effort(step), saves, f"{step.worst_load:.2f}", str(step.places), adds))
    print_table(console, "Learning curve", CURVE_COLUMNS, rows)
    each = f"{route.charges.each_milli / MILLI:.2f}" if route.charges else "0"
    console.print(
        words(f"effort: with what learning charges, {each} a grip: it is learnt where it saves more\n")
    )


def _effort(step: CurveStep) -> str:
    """The effort, with its bound where it is not proved the least."""
    bound = "" if step.proved else f" (at least {step.bound_milli / MILLI:.2f})"
    return f"{step.effort_milli / MILLI:.2f}{bound}"


def _is_answer(step: CurveStep, route: Route) -> bool:
    learnt = {(grip.pitch, grip.grip) for grip in route.charges.learn} if route.charges else set()
    return set(step.grips) == learnt


def _adds(before: CurveStep | None, step: CurveStep) -> str:
    old: Sequence[tuple[int, object]] = before.grips if before else ()
    added = [f"{plain_name(pitch)} {grip.short}" for pitch, grip in step.grips if (pitch, grip) not in old]
    gone = [] if before is None else [key for key in before.grips if key not in step.grips]
    without = [f"without {plain_name(pitch)} {grip.short}" for pitch, grip in gone]
    return ", ".join([*added, *without])
