"""Tempos that can be asked for, in quarter notes a minute."""

from gripway.errors import RequestError

SLOWEST_TEMPO, FASTEST_TEMPO = 5.0, 500.0
"""Nobody plays slower or faster (judgement)."""


def check_tempo(tempo: float | None, place: str = "tempo") -> None:
    """RequestError for quarters a minute that nobody plays at; none asked for is no fault."""
    if tempo is not None and not isinstance(tempo, int | float):
        raise RequestError(
            f"{tempo!r} is not a number of quarters a minute", place=place, next_step="Give for example 96"
        )
    if tempo is not None and not SLOWEST_TEMPO <= tempo <= FASTEST_TEMPO:
        raise RequestError(
            f"{tempo:g} quarters a minute is no tempo to play at",
            place=place,
            next_step=f"Give {SLOWEST_TEMPO:g} to {FASTEST_TEMPO:g}",
        )
