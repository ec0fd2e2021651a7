"""Tempos in quarters a minute, those that can be asked for, and how players name them: by beats."""

from fractions import Fraction
from math import ceil, floor

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


LEAST_PERCENT, MOST_PERCENT = 10.0, 300.0
"""Of the tempos that are written; nobody asks for less or more (judgement)."""


def check_tempo_percent(percent: float) -> None:
    """RequestError for percents of the written tempos that nobody plays at."""
    if not LEAST_PERCENT <= percent <= MOST_PERCENT:
        raise RequestError(
            f"{percent:g} % of the tempo is nothing to play at",
            place="tempo",
            next_step=f"Give {LEAST_PERCENT:g} to {MOST_PERCENT:g} %",
        )


Metre = tuple[int, int]
"""A time signature: how many of which part of a whole note."""

BEATS = {Fraction(1): "quarter", Fraction(3, 2): "dotted quarter", Fraction(2): "half"}
"""What is counted, by its length in quarters."""


def beat_quarters(metre: Metre | None) -> float:
    """Length of a beat in quarters: 1.5 in 6/8, 2 in 2/2, else 1."""
    return float(_beat(metre))


def beat_name(metre: Metre | None) -> str:
    """What is counted in a metre: `dotted quarter` in 6/8, `half` in 2/2, else `quarter`."""
    return BEATS[_beat(metre)]


def beats_of(quarters: float, metre: Metre | None) -> int:
    """A tempo in whole beats a minute, as a metronome has it; `quarters_of_beats` is no slower than it.

    >>> beats_of(264, (2, 2)), beats_of(156, (6, 8)), beats_of(96, None)
    (132, 104, 96)
    """
    beat = _beat(metre)
    return ceil(Fraction(round(quarters)) / beat - Fraction(1, 3))


def quarters_of_beats(beats: int, metre: Metre | None) -> int:
    """So many beats a minute in whole quarters a minute.

    >>> quarters_of_beats(104, (6, 8)), quarters_of_beats(55, (12, 8))
    (156, 83)
    """
    return floor(beats * _beat(metre) + Fraction(1, 2))


def tempo_words(metre: Metre | None, *quarters: float) -> str:
    """Tempos in the beat of their metre.

    >>> tempo_words((2, 2), 106, 112)
    'half = 53 56'
    """
    return f"{beat_name(metre)} = {' '.join(str(beats_of(each, metre)) for each in quarters)}"


def _beat(metre: Metre | None) -> Fraction:
    if metre is None:
        return Fraction(1)
    beats, kind = metre
    if kind == 8 and beats % 3 == 0 and beats > 3:
        return Fraction(3, 2)
    return Fraction(2) if kind == 2 else Fraction(1)
