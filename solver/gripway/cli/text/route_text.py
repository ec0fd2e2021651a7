"""A route as a player reads it: what to do, what to learn, the hard changes, the grips in order."""

from collections.abc import Callable

from rich.console import Console

from gripway.asked.wishes import LEAST_EFFORT
from gripway.catalog.flute.instruments import full_title
from gripway.cli.text.grips_in_order import MOST_NOTES, grip_lines
from gripway.cli.text.learning_text import curve_line, curve_table, grips_to_learn
from gripway.cli.text.own.own_time_words import own_time_words, own_times_lines
from gripway.cli.text.route_rows import (
    MOST_ROWS,
    Rows,
    change_rows,
    fingers_text,
    gap_rows,
    note_rows,
    ornament_rows,
)
from gripway.cli.text.terminal import print_indented, print_table, rendered, words
from gripway.display import counted
from gripway.limits.wording import limit_lines
from gripway.model.instrument import Instrument
from gripway.route.result import Route
from gripway.route.tempo.tempo_threshold import Worth
from gripway.route.tempo.worth_words import chosen_words, worth_line, worth_lines
from gripway.route.words.place_words import tempo_fact
from gripway.route.words.reasons import TERM_WORDS
from gripway.route.words.sentence import CAUTION, sentence

LEGEND = """\
fingers: + down, - up, ~ slides, > across; load: time needed over time there is (above 1: late)
lead: the finger to move first, so that the least sounds on the way (model)
"""
NEXT = "Ask next: --explain (reasons, cents), --tempo Q (another tempo)"
NEXT_LEARN = ", --learn N (so many new grips)"


@rendered
def route_text(
    console: Console,
    route: Route,
    instrument: Instrument,
    worth: Worth | None,
    *,
    choose: str = LEAST_EFFORT,
    learn: int | None = None,
    explain: bool = False,
    curve: bool = False,
    beside: Callable[[Console], None] | None = None,
) -> None:
    """The route in at most 100 columns; colour only on a terminal. `beside` prints other routes below it."""
    console.print(words(sentence(route), "bold"))
    console.print()
    print_head(console, route, instrument, chosen_words(route, choose, learn))
    _limits(console, route)
    grips_to_learn(console, route, explain=explain)
    _rows(console, "No grip", gap_rows(route), route)
    _rows(console, "Trills and ornaments", ornament_rows(route), route)
    _hard_changes(console, route)
    _grips(console, route, explain=explain)
    if explain:
        _own_times(console, route)
        _ledger(console, route)
    if beside is not None:
        beside(console)
    if explain or curve:
        curve_table(console, route)
    if explain and worth is not None:
        _worth(console, route, worth)
    _close(console, route, worth, explain=explain)


def print_head(console: Console, route: Route, instrument: Instrument, chosen: str) -> None:
    """Names, flute, tempo and effort of a route."""
    passage = route.passage
    names = " · ".join(part for part in (passage.title, passage.part) if part)
    if names:
        console.print(names, style="bold", markup=False)
    missing = sum(note.candidate is None for note in route.notes)
    status = f"{counted(missing, 'note')} without a grip" if missing else chosen
    notes = counted(len(route.notes), "note")
    tempo = f" · {fact}" if (fact := tempo_fact(passage)) else ""
    effort = f"effort {route.effort:.2f} ({status})"
    console.print(f"{full_title(instrument)} · {notes}{tempo} · {effort}", markup=False)
    console.print()


def _limits(console: Console, route: Route) -> None:
    """What the limits cost and how far each is used."""
    lines = limit_lines(route)
    if lines:
        console.print("Limits", style="bold")
        print_indented(console, *lines)
        console.print()


def _rows(console: Console, title: str, table: Rows, route: Route) -> None:
    """A table that has any rows, without bars for a passage that has none."""
    if table.rows:
        table = table if any(note.note.bar for note in route.notes) else table.without_bars()
        print_table(console, title, table.columns, table.rows)


def _hard_changes(console: Console, route: Route) -> None:
    if route.hardest:
        _rows(console, "Hardest changes", change_rows(route), route)
        console.print(LEGEND)


def _grips(console: Console, route: Route, *, explain: bool) -> None:
    """The grips in order: with their reasons where these are asked for, of a short passage without."""
    if explain:
        _rows(console, "Grips", note_rows(route.notes[:MOST_ROWS]), route)
        if len(route.notes) > MOST_ROWS:
            console.print(f"... {len(route.notes) - MOST_ROWS} more: use --bars, or --format csv for all\n")
    elif len(route.notes) <= MOST_NOTES:
        console.print("Grips in order (* not the standard one)", style="bold")
        for line in grip_lines(route, console.width):
            console.print(line, no_wrap=True, overflow="crop")
        console.print()


def _own_times(console: Console, route: Route) -> None:
    """Whose finger times the changes are reckoned with, where they are the player's own."""
    for line in own_times_lines(route):
        console.print(words(line))
    if route.own_times:
        console.print()


def _ledger(console: Console, route: Route) -> None:
    """Every part of every cost, as it was added up."""
    changes = {change.to: change for change in route.changes}
    rows = []
    for note in route.notes:
        number = str(note.index + 1)
        if change := changes.get(note.index):
            parts = _parts(change.moving.as_efforts())
            parts = "; ".join(filter(None, (parts, own_time_words(route, change))))
            rows.append((number, f"change {fingers_text(change)}", f"{change.moving.effort:.3f}", parts))
        hold = f"hold {note.note.pitch.name}"
        rows.append((number, hold, f"{note.holding.effort:.3f}", _parts(note.holding.as_efforts())))
    rows += [("all", what, f"{milli / 1000:.3f}", "") for what, milli in _charges(route) if milli]
    rows.append(("all", "added up", f"{route.effort:.3f}", ""))
    print_table(console, "Ledger", ("note", "what", "effort", "parts"), rows)


def _charges(route: Route) -> list[tuple[str, int]]:
    """What the whole route pays besides, in thousandths."""
    if route.charges is None:
        return []
    learn, changed = len(route.charges.learn), len(route.charges.changed)
    return [
        (f"learn {counted(learn, 'grip')}", route.charges.learning_milli),
        (f"change the grip of a pitch {changed}x", route.charges.changing_milli),
    ]


def _parts(efforts: dict[str, float]) -> str:
    return ", ".join(f"{TERM_WORDS.get(name, name)} {size:.3f}" for name, size in efforts.items())


def _worth(console: Console, route: Route, worth: Worth) -> None:
    lines = worth_lines(route, worth)
    if lines:
        console.print("Is it worth leaving the standard grips?", style="bold")
        print_indented(console, *lines)
        console.print()


def _close(console: Console, route: Route, worth: Worth | None, *, explain: bool) -> None:
    """In a line each: other tempos, the learning curve, what to ask next, the caution."""
    if worth is not None and not explain and (line := worth_line(route, worth)):
        console.print(words(line))
    if line := curve_line(route):
        console.print(words(line))
    if not explain:
        console.print(words(f"{NEXT}{NEXT_LEARN if route.charges else ''}."))
    console.print()
    console.print(CAUTION)
