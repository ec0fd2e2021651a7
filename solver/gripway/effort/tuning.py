"""Tuning: what a grip's lean costs where it stands.

What it measures: how far the note would sound from true, after dynamic and doubt.
Why it matters: what the fingers save the lip must pay, in proportion to how exposed it is.
Unit: effort; a lean of 20 cents on an exposed note costs 0.5, 60 cents 2.25.
Example: a grip 15 cents sharp costs nothing at pp, where the flute drifts flat.
Source: form and sizes judgement; a player bends 20 to 30 cents (common practice, no source).
"""

from gripway.catalog.effort_figures import Figures
from gripway.effort.candidate import Tendency


def tuning_effort(lean_cents: float, exposure: float, figures: Figures) -> float:
    """Effort of an expected lean in cents at an exposure between 0 and about 1.2."""
    size = abs(lean_cents) / figures.tuning_scale
    return exposure * size * size / (1.0 + size)


def expected_lean(cents: float, drift_cents: float, doubt_cents: float) -> float:
    """Lean in cents after the dynamic's drift; what is in doubt is taken off its size.

    >>> expected_lean(15.0, -12.0, 0.0)
    3.0
    """
    lean = cents + drift_cents
    if lean >= 0.0:
        return max(0.0, lean - doubt_cents)
    return min(0.0, lean + doubt_cents)


def beyond_effort(lean_cents: float, exposure: float, figures: Figures) -> float:
    """Effort of the part of a lean that no lip can bend: it grows with its square, doubt or no doubt."""
    excess = max(0.0, abs(lean_cents) - figures.lean_bend) / figures.tuning_scale
    return figures.tuning_beyond * excess * excess * exposure


def reckoned_cents(tendency: Tendency) -> float:
    """The lean the search reckons with: midway between teachers and model where they dispute it.

    What is shown stays the teachers' word; raises ValueError where nothing is known.
    """
    if tendency.cents is None:
        raise ValueError("nothing is known of this grip's pitch")
    if tendency.disputed is None or tendency.vs_standard is None:
        return tendency.cents
    return tendency.cents + (tendency.disputed - tendency.vs_standard) / 2.0
