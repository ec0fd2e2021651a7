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

BEATS = {
    Fraction(1, 2): "eighth",
    Fraction(1): "quarter",
    Fraction(3, 2): "dotted quarter",
    Fraction(2): "half",
}
"""What is counted, by its length in quarters."""

EIGHTH, QUARTER, DOTTED, HALF = BEATS


def written_beat(metre: Metre | None) -> Fraction:
    """The beat that tempo words of a metre mean, in quarters: 3/2 in 6/8, 2 in 2/2, else 1."""
    if metre is None:
        return QUARTER
    beats, kind = metre
    if kind == 8 and beats % 3 == 0 and beats > 3:
        return DOTTED
    return HALF if kind == 2 else QUARTER


def beat_name(beat: Fraction) -> str:
    """What is counted: `dotted quarter` for three eighths."""
    return BEATS[beat]


def beats_of(quarters: float, beat: Fraction) -> int:
    """A tempo in whole beats a minute, as a metronome has it; `quarters_of_beats` is no slower than it.

    >>> beats_of(264, HALF), beats_of(156, DOTTED), beats_of(96, QUARTER), beats_of(36, EIGHTH)
    (132, 104, 96, 72)
    """
    return ceil(Fraction(round(quarters)) / beat - Fraction(1, 3))


def quarters_of_beats(beats: int, beat: Fraction) -> int:
    """So many beats a minute in whole quarters a minute.

    >>> quarters_of_beats(104, DOTTED), quarters_of_beats(55, DOTTED), quarters_of_beats(77, EIGHTH)
    (156, 83, 39)
    """
    return floor(beats * beat + Fraction(1, 2))


def tempo_words(beat: Fraction, *quarters: float) -> str:
    """Tempos in a beat.

    >>> tempo_words(HALF, 106, 112)
    'half = 53 56'
    """
    return f"{beat_name(beat)} = {' '.join(str(beats_of(each, beat)) for each in quarters)}"
