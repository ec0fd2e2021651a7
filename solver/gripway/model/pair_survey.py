"""Pairs of grips for trills that only the model knows, in plain values: kept as JSON between runs."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gripway.model.grip import Grip
from gripway.model.survey import Key, Verdict

PAIR_SURVEY_VERSION = 2
"""Counted up when the content of a pair survey changes its meaning."""

DIGITS = 6
"""Digits after the point that figures are kept to."""

GripPair = tuple[Grip, Grip]
"""The grip of the lower note and that of the upper one."""


@dataclass(frozen=True)
class PairSurvey:
    """The model's pairs by (lower, upper) note numbers, best first, and its word on their new grips.

    `verdicts` have only grips that stand in no table for their note.
    """

    pairs: Mapping[tuple[int, int], tuple[GripPair, ...]]
    verdicts: Mapping[Key, Verdict]

    def data(self) -> dict[str, Any]:
        """The same as JSON can hold it."""
        return {
            "version": PAIR_SURVEY_VERSION,
            "pairs": [
                [*pitches, [[lower.mask, upper.mask] for lower, upper in pairs]]
                for pitches, pairs in self.pairs.items()
            ],
            "verdicts": [
                [
                    n,
                    g.mask,
                    *map(_figure, (v.cents, v.vs_standard, v.spread_cents, v.gap_cents, v.loss_ratio)),
                ]
                for (n, g), v in self.verdicts.items()
            ],
        }

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> "PairSurvey":
        """What `data` gave; ValueError, TypeError or KeyError when it is something else."""
        if data["version"] != PAIR_SURVEY_VERSION:
            raise ValueError(f"a pair survey of another version: {data['version']!r}")
        return cls(
            {(int(low), int(high)): tuple(map(_pair, pairs)) for low, high, pairs in data["pairs"]},
            {(int(n), Grip(int(mask))): Verdict(*figures) for n, mask, *figures in data["verdicts"]},
        )


def _figure(value: float | None) -> float | None:
    """A figure of a verdict to as many digits as are the same on every processor."""
    return None if value is None else round(value, DIGITS)


def _pair(masks: tuple[int, int]) -> GripPair:
    lower, upper = masks
    return Grip(int(lower)), Grip(int(upper))
