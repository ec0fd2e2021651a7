"""A pair of grips for a trill or tremolo between two pitches, and what it comes to."""

from dataclasses import dataclass

from gripway.catalog.flute.trills import TrillRow
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.display import brief
from gripway.effort.candidate import Candidate
from gripway.effort.change_time import Change

PRINTED, KNOWN, FOUND = "printed", "known", "found"
"""Kinds of pair: printed as a trill; two known grips that nobody printed as one; with a found grip."""

WIDEST = 12
"""Semitones of the widest tremolo."""

INTERVALS = (
    "unison", "half tone", "whole tone", "minor third", "major third", "fourth", "tritone", "fifth",
    "minor sixth", "major sixth", "minor seventh", "major seventh", "octave",
)  # fmt: skip
"""Names of the intervals by semitones."""

Parts = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Pair:
    """One way to trill: a grip for each note, in hand positions between which the fingers alternate.

    `change` is the finger work from the lower to the upper grip, `unsafe` the share of grips on
    the way that sound neither note, `strays` what they may sound. `row` is the printed row (None
    for the other kinds), `twin` that of a printed pair which this one repeats: the same holes, or
    the same grips with a finger held more. `lacking` are parts this flute has not. `parts` are the
    points that the place in the list is made of; fewer are better. `idle` is true when one of the
    grips sounds both notes by itself, so that the lip trills and not the finger. `usable` is true
    when the printed row, its own or its twin's, is one to trill by (see `is_usable` in ranking.py).
    """

    lower: Candidate
    upper: Candidate
    change: Change
    kind: str
    row: TrillRow | None = None
    twin: TrillRow | None = None
    lacking: tuple[str, ...] = ()
    unsafe: float = 0.0
    idle: bool = False
    usable: bool = False
    strays: tuple[str, ...] = ()
    parts: Parts = ()

    @property
    def said(self) -> TrillRow | None:
        """The printed row whose remark, flags and confidence hold for this pair: its own or its twin's."""
        return self.row or self.twin

    @property
    def remark(self) -> str:
        """What is printed on the pair; of a twin's remark it says so, since its fingers can be others."""
        if self.row is not None or self.twin is None:
            return self.row.remark if self.row is not None else ""
        return f"as the printed pair: {self.twin.remark}" if self.twin.remark else ""

    @property
    def movers(self) -> tuple[str, ...]:
        """The moving fingers, left hand first."""
        return tuple(finger for finger, _ in self.change.movers)

    @property
    def points(self) -> float:
        """Sum of the parts."""
        return round(sum(size for _, size in self.parts), 6)

    @property
    def notes_per_s(self) -> float:
        """Notes a second at the limit of an alternation."""
        return 1000.0 / self.change.alternating_ms

    @property
    def width_error_cents(self) -> float | None:
        """By how much the interval comes out too wide (plus) or too narrow; None where cents are unknown."""
        lower, upper = self.lower.tendency.cents, self.upper.tendency.cents
        return None if lower is None or upper is None else upper - lower

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources: of the printed pair, else of its two grips."""
        if self.row is not None:
            return self.row.sources
        return tuple(dict.fromkeys((*self.lower.sources, *self.upper.sources)))

    @property
    def requires(self) -> tuple[str, ...]:
        """Parts the pair needs."""
        own = self.row.needs if self.row is not None else frozenset()
        return tuple(sorted(own | set(self.lower.requires) | set(self.upper.requires)))

    def __repr__(self) -> str:
        return brief(self, self.lower.grip.short, self.upper.grip.short, self.kind)


def interval_text(pair: Pair) -> str:
    """`whole tone 20 cents wide`: what the interval comes out at; its name alone where cents are unknown.

    The width is reckoned from the notes' cents, against equal temperament.
    """
    wide = pair.upper.pitch - pair.lower.pitch
    name = INTERVALS[wide] if wide < len(INTERVALS) else f"{wide} semitones"
    error = pair.width_error_cents
    if error is None:
        return name
    if abs(error) < pair_figures().in_tune_cents:
        return f"{name} in tune"
    return f"{name} {abs(error):.0f} cents {'wide' if error > 0 else 'narrow'}"
