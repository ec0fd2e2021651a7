"""What a player's log says of a passage: tempos reached, sittings, and what was asked for last."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.practice.cells import Cell

PLAN, REACHED, DAY = "plan", "reached", "day"


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
    again by its notes, whatever the grips are at another tempo.
    """

    reached: tuple[Reached, ...] = ()
    asked: Mapping[str, Any] | None = None
    passage: str = ""
    title: str = ""
    met: Mapping[str, int] = field(default_factory=dict)

    def tempo(self, cell: Cell) -> int | None:
        """The tempo a cell was last clean at; None where the log has none."""
        found = [entry.quarters for entry in self.reached if entry.notes == notes_of(cell)]
        return found[-1] if found else None

    @property
    def sittings(self) -> int:
        """On how many days something was reached."""
        return len({entry.when[:10] for entry in self.reached})


def notes_of(cell: Cell) -> str:
    """The notes a log knows a cell by."""
    return " ".join(cell.pitches)


NO_HISTORY = History()


def history_of(entries: Iterable[Mapping[str, Any]]) -> History:
    """The history in the entries of a log; entries of a kind not known are passed over."""
    reached: list[Reached] = []
    asked, passage, title = None, "", ""
    met: dict[str, int] = {}
    for entry in entries:
        if entry.get("kind") == PLAN and isinstance(entry.get("asked"), dict):
            asked, title = entry["asked"], str(entry.get("title", ""))
            passage = str(entry.get("passage", ""))
        elif entry.get("kind") == REACHED:
            try:
                reached.append(
                    Reached(
                        str(entry["cell"]), str(entry["notes"]), int(entry["quarters"]), str(entry["when"])
                    )
                )
            except (KeyError, TypeError, ValueError):
                continue
        elif entry.get("kind") == DAY and isinstance(entry.get("met"), dict):
            for notes, count in entry["met"].items():
                if isinstance(count, int):
                    met[notes] = max(count, met.get(notes, 0))
    return History(tuple(reached), asked, passage, title, met)


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
            next_step="Name another --log for this one",
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
