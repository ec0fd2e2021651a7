"""What the model said, in plain values: kept as JSON, and used by the route without the model or numpy."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from operator import xor
from typing import Any

from gripway.model.grip import Grip

Key = tuple[int, Grip]
"""A note number and a grip."""

HIGHEST_CLAIM = 97
"""C#7: above it the model says nothing."""

SURVEY_VERSION = 3
"""Counted up when the content of a survey changes its meaning."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the model says of a grip.

    `cents` from equal temperament on the nominal tube; `vs_standard` against the standard grip,
    the mean of the ensemble, with `spread_cents` (90 % of the ensemble, and the regulation);
    `gap_cents` down to the next resonance that could sound instead (None: there is none);
    `loss_ratio` the resistance at the resonance over the standard grip's.
    """

    cents: float
    vs_standard: float
    spread_cents: float
    gap_cents: float | None
    loss_ratio: float


@dataclass(frozen=True, slots=True)
class Sounds:
    """Notes each hole pattern can sound, as bits (bit n for note number n).

    `near` has every note with a resonance within the window of limits.csv, so that a resonance
    midway between two notes counts for both; `nearest` has one note for each resonance.
    """

    near: Mapping[int, int]
    nearest: Mapping[int, int]

    def data(self) -> dict[str, list[int]]:
        """The same as JSON can hold it, in columns that pack small.

        `steps` from each pattern to the next; `far` has the bits in which near and nearest differ.
        """
        patterns = list(self.near)
        return {
            "steps": [after - before for before, after in pairwise((0, *patterns))],
            "near": list(self.near.values()),
            "far": [near ^ self.nearest[pattern] for pattern, near in self.near.items()],
        }

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> "Sounds":
        """What `data` gave; ValueError, TypeError or KeyError when it is something else."""
        patterns = list(accumulate(map(int, data["steps"])))
        near = list(map(int, data["near"]))
        nearest = map(xor, near, map(int, data["far"]))
        return cls(dict(zip(patterns, near, strict=True)), dict(zip(patterns, nearest, strict=True)))


@dataclass(frozen=True)
class Survey:
    """The model's word on the grips of one instrument.

    `verdicts` and `free` are by note number and grip; `sounds` has every hole pattern. `free`
    variants are the grips a note may as well be held with; `lineages` gives a short text (`G4 x3,
    vent L1`) and a sentence.
    """

    verdicts: Mapping[Key, Verdict]
    free: Mapping[Key, tuple[Grip, ...]]
    lineages: Mapping[Key, tuple[str, str]] = field(default_factory=dict)
    sounds: Sounds = field(default_factory=lambda: Sounds({}, {}))

    def data(self) -> dict[str, Any]:
        """The same as JSON can hold it."""
        return {
            "version": SURVEY_VERSION,
            "verdicts": [
                [n, g.mask, v.cents, v.vs_standard, v.spread_cents, v.gap_cents, v.loss_ratio]
                for (n, g), v in self.verdicts.items()
            ],
            "free": [[n, g.mask, [free.mask for free in found]] for (n, g), found in self.free.items()],
            "lineages": [[n, g.mask, *texts] for (n, g), texts in self.lineages.items()],
            "sounds": self.sounds.data(),
        }

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> "Survey":
        """What `data` gave; ValueError, TypeError or KeyError when it is something else."""
        if data["version"] != SURVEY_VERSION:
            raise ValueError(f"a survey of another version: {data['version']!r}")
        return cls(
            verdicts={(int(n), Grip(int(mask))): _verdict(*rest) for n, mask, *rest in data["verdicts"]},
            free={(int(n), Grip(int(mask))): tuple(map(Grip, masks)) for n, mask, masks in data["free"]},
            lineages={(int(n), Grip(int(m))): (str(s), str(t)) for n, m, s, t in data["lineages"]},
            sounds=Sounds.of_data(data["sounds"]),
        )


def _verdict(cents: float, vs_standard: float, spread: float, gap: float | None, loss: float) -> Verdict:
    """A verdict from plain numbers; TypeError or ValueError where one is none."""
    return Verdict(
        float(cents), float(vs_standard), float(spread), None if gap is None else float(gap), float(loss)
    )
