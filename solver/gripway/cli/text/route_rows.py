"""The rows of a route's tables: every note of a short passage, every different grip of a long one."""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.cli.text.terminal import Cell, paint
from gripway.route.result import Route, RouteChange, RouteNote
from gripway.route.words.place_words import change_name, places_text

MOST_ROWS = 400
"""Rows shown at most, and places told in one row."""

MOVES = {"up": "-", "down": "+", "slide": "~", "across": ">"}

REASON = "why, and what to watch"
CHANGE_COLUMNS = ("bar", "note", "change", "fingers", "needs", "has", "load", "lead")
NOTE_COLUMNS = ("bar", "note", "pitch", "grip", "kind", "cents", REASON)
GAP_COLUMNS = ("pitch", "where", REASON)
ORNAMENT_COLUMNS = ("pitch", "grip", "where", REASON)


@dataclass(frozen=True, slots=True)
class Rows:
    """A table: its columns and rows."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def without_bars(self) -> "Rows":
        """The same without the column of bars, for a passage that has none."""
        if "bar" not in self.columns:
            return self
        place = self.columns.index("bar")
        rows = tuple((*row[:place], *row[place + 1 :]) for row in self.rows)
        return Rows((*self.columns[:place], *self.columns[place + 1 :]), rows)


def change_rows(route: Route) -> Rows:
    """The hardest changes, worst first; the same change met again has its places in one row."""
    by_place = {change.to: change for change in route.changes}
    groups: dict[tuple[object, ...], list[RouteChange]] = {}
    for to in route.hardest:
        change = by_place[to]
        key = (change_name(route, change.to), change.movers, round(change.load, 2))
        groups.setdefault(key, []).append(change)
    return Rows(CHANGE_COLUMNS, tuple(_change_row(route, same) for same in groups.values()))


def _change_row(route: Route, same: list[RouteChange]) -> tuple[Cell, ...]:
    change = same[0]
    bars = dict.fromkeys(route.notes[each.to].note.bar for each in same)
    return (
        ", ".join(bars),
        ", ".join(str(each.to + 1) for each in same),
        change_name(route, change.to),
        fingers_text(change),
        f"{change.needed_ms:.0f} ms",
        f"{change.available_ms:.0f} ms",
        paint(f"{change.load:.2f}", "bold red" if change.load > 1 else ""),
        change.advice.lead,
    )


def fingers_text(change: RouteChange) -> str:
    """The movers of a change: `L1- L2+ R4~`."""
    return " ".join(f"{finger}{MOVES[how]}" for finger, how in change.movers) or "none"


def note_rows(notes: Iterable[RouteNote]) -> Rows:
    """One row a note with its reason; a reason told before is told by its note's number."""
    told: dict[tuple[str, str], int] = {}
    return Rows(NOTE_COLUMNS, tuple(_note_row(note, told) for note in notes))


def _note_row(note: RouteNote, told: dict[tuple[str, str], int]) -> tuple[Cell, ...]:
    reason = "; ".join([*([note.why] if note.candidate else []), *note.flags])
    first = told.setdefault((note.note.pitch.name, reason), note.index + 1)
    again = bool(reason) and first != note.index + 1
    place = (note.note.bar, str(note.index + 1))
    return (*place, *_grip_cells(note), f"as note {first}" if again else reason)


def _grip_cells(note: RouteNote) -> tuple[Cell, ...]:
    """Pitch, grip, kind and cents."""
    candidate = note.candidate
    if candidate is None:
        return (note.note.pitch.name, "no grip", "", "")
    plain = candidate.kind == "standard"
    cents = "" if candidate.tendency.cents is None else f"{round(candidate.tendency.cents):+d}"
    grip = paint(candidate.grip.short, "" if plain else "bold")
    return (note.note.pitch.name, grip, "" if plain else candidate.kind, cents)


def gap_rows(route: Route) -> Rows:
    """The notes without a grip, with the reason; the same pitch and reason once."""
    missing = [note for note in route.notes if note.candidate is None]
    return _gathered(GAP_COLUMNS, ((note, "; ".join(note.flags)) for note in missing))


def ornament_rows(route: Route) -> Rows:
    """Trills and ornaments with their grips; the same one once."""
    found = ((note, _ornament(note)) for note in route.notes if note.candidate)
    return _gathered(ORNAMENT_COLUMNS, ((note, words) for note, words in found if words))


def _ornament(note: RouteNote) -> str:
    """What the flags say of a note's ornament."""
    if note.ornament is None:
        return ""
    told = {flag.words for flag in note.told}
    return "; ".join(words for words in note.flags if words not in told)


def _gathered(columns: tuple[str, ...], notes: Iterable[tuple[RouteNote, str]]) -> Rows:
    """A row for every pitch, grip and text, with all its places."""
    groups: dict[tuple[str, str, str], list[RouteNote]] = {}
    for note, words in notes:
        grip = note.candidate.grip.short if note.candidate else ""
        groups.setdefault((note.note.pitch.name, grip, words), []).append(note)
    rows = []
    for (pitch, grip, words), same in groups.items():
        where = places_text([(note.note.bar, note.index) for note in same])
        rows.append((pitch, *([grip] if "grip" in columns else []), where, words))
    return Rows(columns, tuple(rows))
