"""What is known of a grip's pitch, as data."""

from typing import Any

from gripway.effort.candidate import Candidate

CENTS_KEYS = (
    "cents", "cents_spread", "cents_vs_standard", "cents_vs_standard_spread", "cents_source", "cents_known",
)  # fmt: skip
"""What is told of a grip's pitch."""


def cents_data(candidate: Candidate | None) -> dict[str, Any]:
    """What is known of a grip's pitch; null where nothing is."""
    if candidate is None:
        return dict.fromkeys(CENTS_KEYS)
    tendency = candidate.tendency
    known = tendency.cents is not None
    values = (
        rounded_cents(tendency.cents),
        rounded_cents(tendency.spread_cents),
        rounded_cents(tendency.vs_standard),
        rounded_cents(tendency.vs_spread_cents),
        tendency.source if known else None,
        tendency.known if known else None,
    )
    return dict(zip(CENTS_KEYS, values, strict=True))


def rounded_cents(value: float | None) -> float | None:
    """Cents to a tenth, as data has them; None stays None."""
    return None if value is None else round(value, 1)
