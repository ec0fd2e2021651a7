"""Tuning: what a grip's lean costs where it stands.

What it measures: how far the note would sound from true, after the dynamic, as far as one can know.
Why it matters: what the fingers save the lip must pay, in proportion to how exposed it is.
Unit: effort; a lean of 30 cents on an exposed note costs 0.4, 60 cents 1.3.
Example: a lean of 0 with a range of 20 cents costs 0.07: what is in doubt is a cost, never a bonus.
Source: form and sizes judgement; a player bends 20 to 30 cents (common practice, no source).
"""

from gripway.catalog.tables.effort_figures import Figures

NINETY_PERCENT = 1.645
"""Standard deviations of a normal spread within which 90 % lie."""

NODES = ((-(3.0**0.5), 1.0 / 6.0), (0.0, 2.0 / 3.0), (3.0**0.5, 1.0 / 6.0))
"""Places (standard deviations) and weights of the three-point Gauss-Hermite rule for a normal spread."""


def tuning_effort(lean_cents: float, figures: Figures) -> float:
    """Effort of a lean in cents on a fully exposed note, with `a` the lean over what the lip bends.

    `tuning_bent_effort` times 2a*a/(1+a): all of it where the lip bends as far as it can. The part that
    no lip can bend grows with its square besides.
    """
    size = abs(lean_cents) / figures.lean_bend_cents
    excess = max(0.0, size - 1.0)
    return (
        figures.tuning_bent_effort * 2.0 * size * size / (1.0 + size)
        + figures.tuning_beyond_effort * excess * excess
    )


def expected_tuning_effort(lean_cents: float, spread_cents: float, figures: Figures) -> float:
    """Mean of `tuning_effort` over a normal lean; `spread_cents` is half the range that holds 90 % of it."""
    deviation = spread_cents / NINETY_PERCENT
    if not deviation:
        return tuning_effort(lean_cents, figures)
    return sum(weight * tuning_effort(lean_cents + node * deviation, figures) for node, weight in NODES)
