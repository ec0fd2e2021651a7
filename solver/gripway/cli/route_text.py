"""A route as a player reads it: the hard changes first, then the grips, then what to watch."""

from collections.abc import Iterable

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from gripway.cli.terminal import paint, plain_table, render
from gripway.model.instrument import Instrument
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.route.threshold import Threshold
from gripway.tasks import Worth

MOST_ROWS = 400
MOST_NOTES = 64
"""Up to this many notes every note is listed; of longer passages only those worth a look."""

CAUTION = (
    "Stop on pain, numbness or tingling; rest often; protect your hearing; ask your teacher or a clinician."
)
MOVES = {"up": "-", "down": "+", "slide": "~", "across": ">"}


def route_text(route: Route, instrument: Instrument, worth: Worth, *, explain: bool = False) -> str:
    """The route in at most 100 columns; colour only on a terminal."""

    def write(console: Console) -> None:
        _head(console, route, instrument)
        _hard_changes(console, route)
        _grips(console, route, explain=explain)
        if explain:
            _ledger(console, route)
        _worth(console, route, worth)
        console.print(CAUTION)

    return render(write)


def _head(console: Console, route: Route, instrument: Instrument) -> None:
    passage = route.passage
    names = " · ".join(part for part in (passage.title, passage.part) if part)
    if names:
        console.print(names, style="bold", markup=False)
    missing = sum(note.candidate is None for note in route.notes)
    status = f"{missing} notes without a grip" if missing else "the least effort there is"
    notes = f"{len(route.notes)} note{'s' * (len(route.notes) != 1)}"
    parts = f" with {', '.join(instrument.parts)}" if instrument.parts else ""
    console.print(
        f"{instrument.title}{parts} · {notes} · effort {route.effort:.2f} ({status})",
        markup=False,
    )


def _hard_changes(console: Console, route: Route) -> None:
    by_place = {change.to: change for change in route.changes}
    hard = [by_place[to] for to in route.hardest]
    if not hard:
        return
    table = plain_table("Hardest changes", ("bar", "note", "from to", "fingers", "needs", "has", "load"))
    for change in hard:
        before, after = route.notes[change.to - 1], route.notes[change.to]
        table.add_row(
            after.note.bar or "-",
            str(change.to + 1),
            f"{before.note.pitch.name} {after.note.pitch.name}",
            fingers_text(change),
            f"{change.change_ms:.0f} ms",
            f"{change.available_ms:.0f} ms",
            paint(f"{change.load:.2f}", "bold red" if change.load > 1 else ""),
        )
    console.print(table)
    console.print(
        "fingers: + goes down, - goes up, ~ slides, > goes across; load above 1 is too slow to be in time\n"
    )


def fingers_text(change: RouteChange) -> str:
    """The movers of a change: `L1- L2+ R4~`."""
    return " ".join(f"{finger}{MOVES[how]}" for finger, how in change.movers) or "none"


def _grips(console: Console, route: Route, *, explain: bool) -> None:
    shown = (
        list(_worth_showing(route)) if len(route.notes) > MOST_NOTES and not explain else list(route.notes)
    )
    title = (
        "Grips"
        if len(shown) == len(route.notes)
        else f"Grips worth a look ({len(shown)} of {len(route.notes)})"
    )
    if not shown:
        console.print("Every note keeps its standard grip.\n")
        return
    table = plain_table(title, ("bar", "note", "pitch", "grip", "kind", "cents", "why, and what to watch"))
    told: dict[tuple[str, str], int] = {}
    for note in shown[:MOST_ROWS]:
        table.add_row(*_grip_row(note, told, explain=explain))
    console.print(table)
    if len(shown) > MOST_ROWS:
        console.print(f"... {len(shown) - MOST_ROWS} more: use --bars, or --format csv for all")


def _worth_showing(route: Route) -> Iterable[RouteNote]:
    """Notes that leave the standard grip, have none, or carry a flag; the same case once a bar."""
    seen: set[tuple[str, str, str]] = set()
    for note in route.notes:
        grip = note.candidate.grip.text if note.candidate else ""
        key = (note.note.bar, note.note.pitch.name, grip)
        plain = note.candidate is not None and note.candidate.kind == "standard"
        if (not plain or "needs help" in " ".join(note.flags)) and key not in seen:
            seen.add(key)
            yield note


def _grip_row(note: RouteNote, told: dict[tuple[str, str], int], *, explain: bool) -> tuple[str | Text, ...]:
    """A row of the table; a reason told before is told by its note's number."""
    candidate = note.candidate
    head = (note.note.bar or "-", str(note.index + 1), note.note.pitch.name)
    if candidate is None:
        return (*head, "no grip", "", "", "; ".join(note.flags))
    plain = candidate.kind == "standard"
    words = "; ".join([*([] if plain and not explain else [note.why]), *note.flags])
    first = told.setdefault((note.note.pitch.name, words), note.index + 1)
    cents = "" if candidate.tendency.cents is None else f"{candidate.tendency.cents:+.0f}"
    return (
        *head,
        paint(candidate.grip.short, "" if plain else "bold"),
        "" if plain else candidate.kind,
        cents,
        words if first == note.index + 1 or not words else f"as note {first}",
    )


def _ledger(console: Console, route: Route) -> None:
    """Every part of every cost, as it was added up."""
    table = plain_table("Ledger (effort)", ("note", "what", "effort", "parts"))
    changes = {change.to: change for change in route.changes}
    for note in route.notes:
        if change := changes.get(note.index):
            parts = ", ".join(f"{name} {size:g}" for name, size in change.moving.as_efforts().items())
            what = f"change {fingers_text(change)}"
            table.add_row(str(note.index + 1), what, f"{change.moving.effort:.3f}", parts)
        parts = ", ".join(f"{name} {size:g}" for name, size in note.holding.as_efforts().items())
        table.add_row(
            str(note.index + 1), f"hold {note.note.pitch.name}", f"{note.holding.effort:.3f}", parts
        )
    console.print(table)


def _worth(console: Console, route: Route, worth: Worth) -> None:
    lines = []
    passage = "" if worth.passage is None else threshold_text(worth.passage)
    if passage:
        lines.append(f"The passage: {passage}.")
    for spot in worth.spots:
        before, after = route.notes[spot.to - 1].note, route.notes[spot.to].note
        bar = f"bar {after.bar}, " if after.bar else ""
        words = threshold_text(spot.threshold)
        if words != passage:
            lines.append(f"Around {bar}{before.pitch.name} {after.pitch.name}: {words}.")
    if lines:
        console.print("Is it worth leaving the standard grips?", style="bold")
        for line in lines:
            console.print(Padding(Text(line), (0, 0, 0, 2)))
        console.print()


def threshold_text(found: Threshold) -> str:
    """A threshold in words."""
    if found.standard_quarters is not None:
        if found.slow_quarters is None:
            return f"stay with the standard grips, up to quarter = {found.fastest:.0f} at least"
        return f"below quarter = {found.standard_quarters:.0f} stay with the standard grips"
    grips = ", ".join(found.slow_grips[:4]) + (", ..." if len(found.slow_grips) > 4 else "")
    yes = f"yes, even when slow, for tuning and response: {grips}"
    if found.slow_quarters is None:
        return f"{yes}; speed calls for nothing more"
    return f"{yes}; for the fingers' sake only from quarter = {found.slow_quarters:.0f}"
