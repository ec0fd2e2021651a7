"""What is known of a grip's pitch, in words and as data."""

from typing import Any

from gripway.display import rounded
from gripway.effort.candidate import Candidate, Tendency

CENTS_KEYS = (
    "cents", "cents_spread", "cents_vs_standard", "cents_vs_standard_spread", "cents_source", "cents_known",
)  # fmt: skip
"""What is told of a grip's pitch."""


def cents_words(tendency: Tendency) -> str:
    """`+15 ±13`; empty where nothing is known."""
    if tendency.cents is None:
        return ""
    spread = "" if tendency.spread_cents is None else f" ±{tendency.spread_cents:.0f}"
    return f"{round(tendency.cents):+d}{spread}"


def cents_data(candidate: Candidate | None) -> dict[str, Any]:
    """What is known of a grip's pitch; null where nothing is."""
    if candidate is None:
        return dict.fromkeys(CENTS_KEYS)
    tendency = candidate.tendency
    known = tendency.cents is not None
    values = (
        rounded(tendency.cents),
        rounded(tendency.spread_cents),
        rounded(tendency.vs_standard),
        rounded(tendency.vs_spread_cents),
        tendency.source if known else None,
        tendency.known if known else None,
    )
    return dict(zip(CENTS_KEYS, values, strict=True))
