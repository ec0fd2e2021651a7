"""The rows of a route's tables: every note of a short passage, every different grip of a long one."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gripway.cli.terminal import Cell, paint
from gripway.route.place_words import places_text
from gripway.route.reasons import held_words
from gripway.route.result import Route, RouteChange, RouteNote

MOST_NOTES = 64
"""Up to this many notes every note has a row; of longer passages every pitch and grip worth a look."""

MOST_ROWS = 400
"""Rows shown at most, and places told in one row."""

MOVES = {"up": "-", "down": "+", "slide": "~", "across": ">"}

REASON = "why, and what to watch"
CHANGE_COLUMNS = ("bar", "note", "change", "fingers", "needs", "has", "load", "lead")
NOTE_COLUMNS = ("bar", "note", "pitch", "grip", "kind", "cents", REASON)
GROUP_COLUMNS = ("pitch", "grip", "kind", "cents", "where", REASON)


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
        key = (_change_name(route, change), change.movers, round(change.load, 2))
        groups.setdefault(key, []).append(change)
    return Rows(CHANGE_COLUMNS, tuple(_change_row(route, same) for same in groups.values()))


def _change_row(route: Route, same: list[RouteChange]) -> tuple[Cell, ...]:
    change = same[0]
    bars = dict.fromkeys(route.notes[each.to].note.bar for each in same)
    return (
        ", ".join(bars),
        ", ".join(str(each.to + 1) for each in same),
        _change_name(route, change),
        fingers_text(change),
        f"{change.change_ms:.0f} ms",
        f"{change.available_ms:.0f} ms",
        paint(f"{change.load:.2f}", "bold red" if change.load > 1 else ""),
        change.advice.lead,
    )


def _change_name(route: Route, change: RouteChange) -> str:
    before, after = route.notes[change.to - 1].note, route.notes[change.to].note
    return f"{before.pitch.name} to {after.pitch.name}"


def fingers_text(change: RouteChange) -> str:
    """The movers of a change: `L1- L2+ R4~`."""
    return " ".join(f"{finger}{MOVES[how]}" for finger, how in change.movers) or "none"


def note_rows(notes: Iterable[RouteNote], *, explain: bool) -> Rows:
    """One row a note; a reason told before is told by its note's number."""
    told: dict[tuple[str, str], int] = {}
    return Rows(NOTE_COLUMNS, tuple(_note_row(note, told, explain=explain) for note in notes))


def _note_row(note: RouteNote, told: dict[tuple[str, str], int], *, explain: bool) -> tuple[Cell, ...]:
    reason = _reason(note, explain=explain)
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


def _reason(note: RouteNote, *, explain: bool) -> str:
    candidate = note.candidate
    if candidate is None:
        return "; ".join(note.flags)
    if explain or candidate.kind != "standard":
        return "; ".join([note.why, *note.flags])
    return "; ".join([*filter(None, [held_words(candidate).strip()]), *note.flags])


def worth_a_look(route: Route) -> list[RouteNote]:
    """The notes that leave the standard grip, have none, or need help with their pitch."""
    return [note for note in route.notes if not _is_standard(note) or _needs_help(note)]


def _is_standard(note: RouteNote) -> bool:
    return note.candidate is not None and note.candidate.kind == "standard"


def _needs_help(note: RouteNote) -> bool:
    return any("needs help" in flag for flag in note.flags)


def group_rows(notes: Sequence[RouteNote]) -> Rows:
    """One row for every pitch and grip, with all its bars and the reason at the first of them."""
    groups: dict[tuple[str, str, bool], list[RouteNote]] = {}
    for note in notes:
        grip = note.candidate.grip.text if note.candidate else note.flags[0]
        groups.setdefault((note.note.pitch.name, grip, _needs_help(note)), []).append(note)
    return Rows(GROUP_COLUMNS, tuple(_group_row(same) for same in groups.values()))


def _group_row(same: list[RouteNote]) -> tuple[Cell, ...]:
    first = same[0]
    at_first = f"{_place_name(first)}: " if len(same) > 1 and first.candidate else ""
    return (*_grip_cells(first), _places(same), at_first + _reason(first, explain=False))


def _place_name(note: RouteNote) -> str:
    return f"bar {note.note.bar}" if note.note.bar else f"note {note.index + 1}"


def _places(notes: list[RouteNote]) -> str:
    return places_text([(note.note.bar, note.index) for note in notes])
