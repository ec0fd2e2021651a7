"""What a player's log says of a passage: tempos reached, sittings, and what was asked for last."""

import hashlib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.practice.cells.cells import Cell

PLAN, REACHED, DAY = "plan", "reached", "day"

MOST_QUARTERS, MOST_MET = 1000, 100_000
"""Larger tempos and counts of drills than any log of ours has."""

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True, slots=True)
class Reached:
    """A tempo (quarters a minute) at which a cell was clean, and when (ISO 8601, local time)."""

    cell: str
    notes: str
    quarters: int
    when: str


@dataclass(frozen=True, slots=True)
class History:
    """All tempos reached, in the order they were written down; `asked` is the last request for a plan.

    `passage` is the digest of the passage the log belongs to, empty for a new log.
    `met` has how many drills were on days that are over, by the notes of their cell. A cell is known
    again by its notes, whatever the grips are at another tempo. `odd` has the place of each entry that
    was passed over, as it says what no plan has, and why. `noted` has the dates of the days that are over
    by a line of their own, whatever was done on them. `missed` are the notes of the cells of the last such
    day of which nothing was done.
    """

    reached: tuple[Reached, ...] = ()
    asked: Mapping[str, Any] | None = None
    passage: str = ""
    title: str = ""
    met: Mapping[str, int] = field(default_factory=dict)
    odd: tuple[tuple[int, str], ...] = ()
    noted: frozenset[str] = frozenset()
    missed: frozenset[str] = frozenset()

    def tempos(self, cell: Cell) -> tuple[int, ...]:
        """The tempo a cell was last clean at on each day the log has of it, in order."""
        days = {entry.when[:10]: entry.quarters for entry in self.reached if entry.notes == notes_of(cell)}
        return tuple(days.values())

    @property
    def sittings(self) -> int:
        """On how many days something was reached or done."""
        return len(self.noted | {entry.when[:10] for entry in self.reached})


def notes_of(cell: Cell) -> str:
    """The notes a log knows a cell by."""
    return cell.title


NO_HISTORY = History()


def history_of(
    entries: Iterable[Mapping[str, Any]], fault_of: Callable[[Mapping[str, Any]], str] = lambda _asked: ""
) -> History:
    """The history in the entries of a log; entries of a kind not known are passed over.

    So are entries that say what no plan has: they are the history's `odd`. `fault_of` tells why what was
    asked for cannot be asked for again, empty where it can.
    """
    reached: list[Reached] = []
    asked, passage, title = None, "", ""
    met: dict[str, int] = {}
    noted: set[str] = set()
    missed: frozenset[str] = frozenset()
    odd: list[tuple[int, str]] = []
    for place, entry in enumerate(entries):
        kind = entry.get("kind")
        if kind == PLAN and _is_plan(entry):
            if why := fault_of(entry["asked"]):
                odd.append((place, why))
            else:
                asked, passage, title = entry["asked"], entry.get("passage", ""), entry.get("title", "")
        elif kind == REACHED and _is_reached(entry):
            reached.append(Reached(*(entry[key] for key in ("cell", "notes", "quarters", "when"))))
        elif kind == DAY and _is_day(entry):
            noted.update(_DATE.findall(str(entry.get("when", "")))[:1])
            missed = frozenset(entry.get("missed", ()))
            for notes, count in entry["met"].items():
                met[notes] = max(count, met.get(notes, 0))
        elif kind in (PLAN, REACHED, DAY):
            odd.append((place, f"this is no line of kind {kind}: a value of it is none we write"))
    return History(tuple(reached), asked, passage, title, met, tuple(odd), frozenset(noted), missed)


def _is_plan(entry: Mapping[str, Any]) -> bool:
    texts = (entry.get("passage", ""), entry.get("title", ""))
    return isinstance(entry.get("asked"), dict) and all(isinstance(text, str) for text in texts)


def _is_reached(entry: Mapping[str, Any]) -> bool:
    texts = [entry.get(key) for key in ("cell", "notes", "when")]
    return (
        all(isinstance(text, str) for text in texts)
        and _counts(entry.get("quarters"), MOST_QUARTERS)
        and bool(_DATE.match(entry["when"]))
    )


def _is_day(entry: Mapping[str, Any]) -> bool:
    met, missed = entry.get("met"), entry.get("missed", [])
    told = isinstance(missed, list) and all(isinstance(notes, str) for notes in missed)
    return told and isinstance(met, dict) and all(_counts(count, MOST_MET) for count in met.values())


def _counts(value: object, most: int) -> bool:
    """Whether a value is a whole number from 0 to `most`."""
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= most


def digest_of(passage: Passage) -> str:
    """A short name of a passage by its written pitches and lengths, whatever the tempo.

    >>> len(digest_of(Passage(())))
    16
    """
    notes = (f"{note.pitch.name}:{note.length}:{int(note.grace)}" for note in passage.notes)
    return hashlib.sha256(" ".join(notes).encode()).hexdigest()[:16]


def check_passage(history: History, passage: Passage, place: str) -> None:
    """RequestError when a log belongs to another passage."""
    if history.passage and history.passage != digest_of(passage):
        raise RequestError(
            f"this log belongs to another passage{f' ({history.title})' if history.title else ''}, "
            "or its notes have been changed",
            place=place,
            next_step="Name another log for this one",
        )


def plan_entry(asked: Mapping[str, Any], passage: Passage, when: str) -> dict[str, Any]:
    """The line that says what was asked for."""
    title = " · ".join(part for part in (passage.title, passage.part) if part)
    return {"kind": PLAN, "when": when, "passage": digest_of(passage), "title": title, "asked": dict(asked)}


def reached_entry(cell: Cell, quarters: int, target: int, when: str) -> dict[str, Any]:
    """The line that says at which tempo a cell was clean."""
    return {
        "kind": REACHED,
        "when": when,
        "cell": cell.key,
        "notes": notes_of(cell),
        "quarters": quarters,
        "target": target,
    }


def day_entry(met: Mapping[str, int], when: str) -> dict[str, Any]:
    """The line that says up to which drill a finished day went, by the notes of the cells."""
    return {"kind": DAY, "when": when, "met": dict(met)}


def progress(cells: Sequence[Cell], history: History) -> tuple[tuple[Reached, ...], ...]:
    """What was reached of each cell, in order: the points of its plot."""
    return tuple(tuple(entry for entry in history.reached if entry.notes == notes_of(cell)) for cell in cells)
