"""Tuning: what a grip's lean costs where it stands.

What it measures: how far the note would sound from true, after the dynamic.
Why it matters: what the fingers save the lip must pay, in proportion to how exposed it is.
Unit: effort; a lean of 20 cents on an exposed note costs 0.5, 60 cents 2.25.
Example: a grip 15 cents sharp costs nothing at pp, where the flute drifts flat.
Source: form and sizes judgement; a player bends 20 to 30 cents (common practice, no source).
"""

from gripway.catalog.effort_figures import Figures


def tuning_effort(lean_cents: float, exposure: float, figures: Figures) -> float:
    """Effort of an expected lean in cents at an exposure between 0 and about 1.2."""
    size = abs(lean_cents) / figures.tuning_scale
    return exposure * size * size / (1.0 + size)


def beyond_effort(lean_cents: float, exposure: float, figures: Figures) -> float:
    """Effort of the part of a lean that no lip can bend: it grows with its square."""
    excess = max(0.0, abs(lean_cents) - figures.lean_bend) / figures.tuning_scale
    return figures.tuning_beyond * excess * excess * exposure
