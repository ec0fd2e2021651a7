"""Axes of the small drawings: round figures along them, and where a figure stands."""

from collections.abc import Sequence
from dataclasses import dataclass

STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """An axis with its first tick at `start` and its last at `end`, in units of the drawing."""

    ticks: Sequence[float]
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Where a figure stands."""
        return self.start + (value - self.ticks[0]) / (self.ticks[-1] - self.ticks[0]) * (
            self.end - self.start
        )


def round_ticks(values: Sequence[float]) -> list[float]:
    """Round figures from below the least to above the greatest value."""
    low, high = min(values), max(values)
    span = max(high - low, abs(high) * 0.05, 0.1)
    power = 10.0 ** len(str(int(span / 4))) / 10 if span >= 4 else 10.0 ** -len(str(int(4 / span)))
    step = next(power * s for s in STEPS if power * s * 5 >= span)
    first = (low - span * 0.08) // step
    ticks = [first * step]
    while ticks[-1] < high + span * 0.08:
        ticks.append((first + len(ticks)) * step)
    return ticks
