"""Marks that no dials can explain together: one figure in the same surroundings, two grips."""

from collections.abc import Iterable
from dataclasses import dataclass

from gripway.model.figures import Figure, figures
from gripway.taste.mark import ChosenGrip, MarkedPart, Place


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A mark, and an earlier one of the same figure with another grip."""

    here: Place
    before: Place


def contradictions(parts: Iterable[MarkedPart], tempo_step: float) -> tuple[Contradiction, ...]:
    """Every mark whose figure was marked otherwise before, with the first that differs, in order."""
    found: list[Contradiction] = []
    first: dict[tuple[str, Figure], list[tuple[MarkedPart, ChosenGrip]]] = {}
    for part in parts:
        about = figures(part.passage.notes, tempo_step)
        for mark in part.marks:
            same = first.setdefault((part.knowledge.instrument.id, about[mark.index]), [])
            other = next((each for each in same if each[1].rows.isdisjoint(mark.rows)), None)
            if other is not None:
                found.append(Contradiction(Place.of(part, mark), Place.of(*other)))
            same.append((part, mark))
    return tuple(found)
