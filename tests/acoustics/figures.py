"""The figures the model is held to, as they were found by a first trial of the method, and ours.

The first trial was made on the same measured geometry with code that is not part of this
project; no played pitch stands behind its figures. Its list counts octaves from one sharp of C
to the next C, and has A#6 without Eb and C#7 as L2 L4 | R1 C.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from tests.acoustics.flute import Sound, number, partials, sound, standard_grip

from gripway.model.grip import Grip
from gripway.model.pitch import plain_name

OCTAVES = (("C4", "C5"), ("C#5", "C6"), ("C#6", "C7"))

EXPECTED_CENTS = (
    -6, -9, -12, -5, -4, -1, 0, 3, 3, 0, 6, 9, 11,
    22, 8, -1, -3, -2, -3, 0, 0, -4, -1, -1, -3,
    -6, -7, 7, 4, 4, -2, 1, 9, -7, -15, 1, 21,
    11,
)  # fmt: skip
"""Cents from equal temperament, C4 to C#7."""

OTHER_GRIPS = {"A#6": "T | R1 Kd", "C#7": "L2 L4 | R1 C"}
"""Notes the list has in another form than today's standard grip."""


@dataclass(frozen=True)
class Gap:
    """One expected gap to the next lower resonance, and cents against the standard grip if given."""

    note: str
    grip: str
    gap_cents: float
    vs_standard: float | None = None
    parts: tuple[str, ...] = ()


EXPECTED_GAPS = (
    Gap("E6", "T L1 L2 | R1 R2 Eb", 187),
    Gap("F#6", "T L1 L3 | R3 Eb", 267),
    Gap("G#6", "L2 L3 L4 | Eb", 352),
    Gap("A#6", "T | R1 Kd", 370),
    Gap("E6", "T L1 L2 | R1 R2 Eb", 411, -2, ("split-e",)),
    Gap("F#6", "T L1 L3 | R2 Eb", 707, -7.7),
    Gap("G#6", "L2 L3 L4 | R2 R3 Eb", 754, -7.8),
    Gap("E6", "T L1 L2 | R1 R2", 240, -15),
)

PARTIALS = (
    ("D6", 3, "G4"), ("D#6", 4, "D#4"), ("E6", 4, "E4"), ("E6", 3, "A4"), ("F6", 4, "F4"), ("F6", 3, "A#4"),
    ("F#6", 4, "F#4"), ("F#6", 3, "B4"), ("G6", 4, "G4"), ("G6", 3, "C5"), ("G#6", 4, "G#4"),
    ("G#6", 3, "C#5"), ("A6", 5, "F4"), ("A#6", 4, "A#4"),
)  # fmt: skip
"""Which partial of which low note a high note is (common practice, no source)."""


def notes(lowest: str, highest: str) -> list[str]:
    """Plain names from one pitch to another."""
    return [plain_name(n) for n in range(number(lowest), number(highest) + 1)]


def listed_grip(name: str) -> Grip:
    """The grip the list of cents has for a note."""
    return Grip.parse(OTHER_GRIPS[name]) if name in OTHER_GRIPS else standard_grip(name)


def listed_cents() -> Mapping[str, tuple[float, float]]:
    """For each note of the list what is expected and what the model gives, in cents."""
    names = notes("C4", "C#7")
    return {
        name: (float(expected), sound(listed_grip(name), name).cents)
        for name, expected in zip(names, EXPECTED_CENTS, strict=True)
    }


def rms_cents(lowest: str, highest: str) -> float:
    """Root of the mean square of today's standard grips over a range, in cents."""
    cents = [sound(standard_grip(name), name).cents for name in notes(lowest, highest)]
    return float(np.sqrt(np.mean(np.square(cents))))


def gap_found(gap: Gap) -> tuple[Sound, float]:
    """How the grip sounds on its flute, and its cents against the plain flute's standard grip."""
    found = sound(gap.grip, gap.note, *gap.parts)
    return found, found.cents - sound(standard_grip(gap.note), gap.note).cents


def partial_cents(high: str, partial: int, low: str) -> float:
    """Cents of a partial of a low note's grip from a high note."""
    return 100.0 * (partials(low)[partial - 1] - number(high))


def series_cents(low: str) -> list[float]:
    """How far each partial of a low note's grip lies from the pure multiple of its first, in cents."""
    found = partials(low)
    return [100.0 * (n - found[0]) - 1200.0 * float(np.log2(k)) for k, n in enumerate(found, start=1)]
