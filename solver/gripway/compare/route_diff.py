"""What differs between two routes of a passage: by pitch and grip, with the notes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gripway.effort.candidate import Candidate
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.route.joined import grip_name


@dataclass(frozen=True, slots=True)
class GripDifference:
    """One pitch that has `grip` in place of `instead_of`, on the notes of these indices."""

    pitch: str
    grip: Grip
    instead_of: Grip
    notes: tuple[int, ...]


def differences(
    passage: Passage, places: Sequence[int], before: Sequence[Candidate], after: Sequence[Candidate]
) -> tuple[GripDifference, ...]:
    """From one route to another: every pitch and grip that differs, most notes first.

    `places` are the indices of the notes the candidates belong to. The grips are those of the
    tables: a finger that may stay where it is makes no difference.
    """
    found: dict[tuple[str, Grip, Grip], list[int]] = {}
    for place, old, new in zip(places, before, after, strict=True):
        if grip_name(old) != grip_name(new):
            key = (passage.notes[place].pitch.name, new.row_grip, old.row_grip)
            found.setdefault(key, []).append(place)
    ranked = sorted(found.items(), key=lambda item: (-len(item[1]), item[1]))
    return tuple(GripDifference(*key, tuple(notes)) for key, notes in ranked)


def difference_data(passage: Passage, difference: GripDifference) -> dict[str, Any]:
    """One difference as the JSON shows it."""
    bars = dict.fromkeys(passage.notes[place].bar for place in difference.notes)
    return {
        "pitch": difference.pitch,
        "grip": difference.grip.text,
        "instead_of": difference.instead_of.text,
        "notes": list(difference.notes),
        "bars": [bar for bar in bars if bar],
    }
