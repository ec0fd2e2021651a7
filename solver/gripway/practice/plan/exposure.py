"""Sound: how long a day one may play at a level, by Directive 2003/10/EC.

What it measures: the time after which a level adds up to a value over eight hours.
Why it matters: a flute near the ear is loud enough to harm hearing.
Unit: minutes; dB(A) over a day of eight hours. T = 8 h x 2^((value - level) / 3).
Example: 92 dB reach 85 dB(A) over eight hours after 95 minutes, 103 dB after 7.5.
Source: article 3 of the directive; levels from a chart without distances; tables/practice.
"""

from dataclasses import dataclass
from math import log2

from gripway.catalog.tables.practice_figures import ExposureFigures, PracticeTables


@dataclass(frozen=True, slots=True)
class SoundLevel:
    """One level (dB): minutes until the lower and upper action value and the limit are reached.

    `share` is the part of the upper action value's dose that a day of the plan takes, and
    `daily` what the plan alone adds up to over eight hours (dB).
    """

    level: float
    lower: float
    upper: float
    limit: float
    share: float
    daily: float


def minutes_until(level: float, value: float, figures: ExposureFigures) -> float:
    """Minutes at a level (dB) that add up to a value over eight hours.

    >>> from gripway.catalog.tables.practice_figures import practice_tables
    >>> minutes_until(103.0, 85.0, practice_tables().exposure)
    7.5
    """
    return float(figures.day_min * 2.0 ** ((value - level) / figures.exchange_db))


def over_the_day(level: float, minutes: float, figures: ExposureFigures) -> float:
    """The level (dB) over eight hours that so many minutes at a level add up to."""
    return level + figures.exchange_db * log2(minutes / figures.day_min)


def sound_of(instrument: str, minutes: float, tables: PracticeTables) -> tuple[SoundLevel, ...]:
    """Quiet and loud playing on an instrument for so many minutes a day; none where no level is known."""
    figures = tables.exposure
    found = []
    for level in tables.levels.get(instrument, ()):
        upper = minutes_until(level, figures.upper_action_db_a, figures)
        found.append(
            SoundLevel(
                level=level,
                lower=minutes_until(level, figures.lower_action_db_a, figures),
                upper=upper,
                limit=minutes_until(level, figures.limit_db_a, figures),
                share=minutes / upper,
                daily=over_the_day(level, minutes, figures),
            )
        )
    return tuple(found)
