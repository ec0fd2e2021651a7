"""A route as a player reads it: the hard changes first, then the grips, then what to watch."""

from collections.abc import Callable

from rich.console import Console
from rich.padding import Padding

from gripway.cli.limit_options import limit_lines
from gripway.cli.route_rows import (
    MOST_NOTES,
    MOST_ROWS,
    REASON,
    Rows,
    change_rows,
    fingers_text,
    group_rows,
    note_rows,
    worth_a_look,
)
from gripway.cli.terminal import print_table, render, words
from gripway.model.instrument import Instrument
from gripway.route.reasons import TERM_WORDS
from gripway.route.request import LEAST_EFFORT
from gripway.route.result import Route
from gripway.route.threshold import quarters_per_minute
from gripway.tasks.routes import Worth
from gripway.tasks.worth_words import CHOSEN, worth_lines

CAUTION = (
    "Stop on pain, numbness or tingling; rest often; protect your hearing; ask your teacher or a clinician."
)
WITHIN_LIMITS = {True: "the least effort within the limits", False: "the least found within the limits"}

LEGEND = """\
fingers: + goes down, - goes up, ~ slides, > goes across
load: the time the fingers need over the time they have; above 1 they come late
lead: the finger to move first, so that the least sounds on the way (model)
"""


def route_text(
    route: Route,
    instrument: Instrument,
    worth: Worth | None,
    *,
    choose: str = LEAST_EFFORT,
    explain: bool = False,
    beside: Callable[[Console], None] | None = None,
) -> str:
    """The route in at most 100 columns; colour only on a terminal. `beside` prints other routes below it."""

    def write(console: Console) -> None:
        print_head(console, route, instrument, CHOSEN[choose])
        _limits(console, route)
        _hard_changes(console, route)
        _grips(console, route, explain=explain)
        if explain:
            _ledger(console, route)
        if beside is not None:
            beside(console)
        if worth is not None:
            _worth(console, route, worth)
        console.print(CAUTION)

    return render(write)


def print_head(console: Console, route: Route, instrument: Instrument, chosen: str) -> None:
    """Names, flute, tempo and effort of a route."""
    passage = route.passage
    names = " · ".join(part for part in (passage.title, passage.part) if part)
    if names:
        console.print(names, style="bold", markup=False)
    missing = sum(note.candidate is None for note in route.notes)
    chosen = WITHIN_LIMITS[route.limits.proved] if route.limits else chosen
    status = f"{_count(missing, 'note')} without a grip" if missing else chosen
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    notes = _count(len(route.notes), "note")
    tempo = f" · quarter = {quarters:.0f}" if (quarters := quarters_per_minute(passage)) else ""
    effort = f"effort {route.effort:.2f} ({status})"
    console.print(f"{instrument.title}{parts} · {notes}{tempo} · {effort}", markup=False)
    console.print()


def _limits(console: Console, route: Route) -> None:
    """What the limits cost and how far each is used."""
    lines = limit_lines(route)
    if lines:
        console.print("Limits", style="bold")
        for line in lines:
            console.print(Padding(words(line), (0, 0, 0, 2)))
        console.print()


def _count(number: int, name: str) -> str:
    return f"{number} {name}{'s' * (number != 1)}"


def _print_rows(console: Console, title: str, table: Rows, *, bars: bool, beneath: str = "") -> None:
    table = table if bars else table.without_bars()
    print_table(console, title, table.columns, table.rows, beneath)


def _has_bars(route: Route) -> bool:
    return any(note.note.bar for note in route.notes)


def _hard_changes(console: Console, route: Route) -> None:
    if route.hardest:
        _print_rows(console, "Hardest changes", change_rows(route), bars=_has_bars(route))
        console.print(LEGEND)


def _grips(console: Console, route: Route, *, explain: bool) -> None:
    bars = _has_bars(route)
    if explain or len(route.notes) <= MOST_NOTES:
        shown = note_rows(route.notes[:MOST_ROWS], explain=explain)
        _print_rows(console, "Grips", shown, bars=bars)
        if len(route.notes) > MOST_ROWS:
            console.print(f"... {len(route.notes) - MOST_ROWS} more: use --bars, or --format csv for all\n")
        return
    notes = worth_a_look(route)
    if not notes:
        console.print("Every note keeps its standard grip.\n")
        return
    title = f"Grips worth a look ({len(notes)} of {len(route.notes)} notes)"
    _print_rows(console, title, group_rows(notes), bars=bars, beneath=REASON)
    console.print("All other notes keep their standard grip. Every note: --bars, --explain, --format csv.\n")


def _ledger(console: Console, route: Route) -> None:
    """Every part of every cost, as it was added up."""
    changes = {change.to: change for change in route.changes}
    rows = []
    for note in route.notes:
        number = str(note.index + 1)
        if change := changes.get(note.index):
            parts = _parts(change.moving.as_efforts())
            rows.append((number, f"change {fingers_text(change)}", f"{change.moving.effort:.3f}", parts))
        hold = f"hold {note.note.pitch.name}"
        rows.append((number, hold, f"{note.holding.effort:.3f}", _parts(note.holding.as_efforts())))
    rows.append(("all", "added up", f"{route.effort:.3f}", ""))
    print_table(console, "Ledger", ("note", "what", "effort", "parts"), rows)


def _parts(efforts: dict[str, float]) -> str:
    return ", ".join(f"{TERM_WORDS.get(name, name)} {size:.3f}" for name, size in efforts.items())


def _worth(console: Console, route: Route, worth: Worth) -> None:
    lines = worth_lines(route, worth)
    if lines:
        console.print("Is it worth leaving the standard grips?", style="bold")
        for line in lines:
            console.print(Padding(words(line), (0, 0, 0, 2)))
        console.print()
