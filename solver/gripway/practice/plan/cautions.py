"""Cautions that belong to every plan: pain, rest, hearing; teachers and clinicians first."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.practice.drills.octave_lower import PICCOLO
from gripway.practice.plan.exposure import SoundLevel

PICCOLO_TUNING = (
    "Piccolo: it sounds an octave higher than written, and a tuner shows it so. Tune in long notes when you "
    "warm up."
)


def cautions(
    instrument: str, minutes: float, sound: Sequence[SoundLevel], tables: PracticeTables
) -> list[str]:
    """What a player should heed, in sentences."""
    hurt, pain = (tables.health[name] for name in ("discomfort_percent", "pain_percent"))
    figures = tables.figures
    return [
        "Stop on pain, numbness or tingling and see a clinician. Of flutists asked in 2014, "
        f"{hurt:g} % were in discomfort at the time and {pain:g} % had had pain "
        "that distracted them while performing.",
        f"Rest {figures.rest_s:g} seconds between drills, flute down, shoulders and hands loose; "
        f"{figures.long_rest_min} minutes after {figures.long_rest_every_min}. "
        "Stop when it gets worse instead of better.",
        *_hearing(instrument, minutes, sound, tables),
        "gripway gives no medical advice. Where it differs from your teacher, your clinician or local rules, "
        "follow them.",
    ]


def caution_for_paper() -> str:
    """The cautions in two lines of a sheet."""
    return (
        "Stop on pain, numbness or tingling and see a clinician; rest with the flute down. Drill no louder "
        "than printed, or silently: full sound for long can harm hearing; heed local advice on it. No "
        "medical advice: your teacher and clinician come first."
    )


def _hearing(
    instrument: str, minutes: float, sound: Sequence[SoundLevel], tables: PracticeTables
) -> list[str]:
    exposure = tables.exposure
    value = f"{exposure.upper_action_db_a:g} dB(A) over eight hours (Directive 2003/10/EC, article 3)"
    if not sound:
        return [
            f"Hearing: no level is known for this flute; the upper action value is {value}. Have it measured."
        ]
    quiet, loud = sound[0], sound[-1]
    longest = f"{minutes:g} minute{'s' * (minutes != 1)}"
    lines = [
        f"Hearing: a day's {value} is used up by {_minutes(quiet.upper)} of soft playing "
        f"({quiet.level:g} dB), by {_minutes(loud.upper)} of the loudest ({loud.level:g} dB); the longest "
        f"day here has {longest} of playing. Drill no louder than printed, keep the "
        "full sound for the passage, and finger silently where you can; local advice on hearing comes first."
    ]
    if instrument == PICCOLO:
        lines.append(
            f"{PICCOLO_TUNING} Its top is loud and next to the ear: high notes an octave lower first, then "
            "short; the fingers on the flute or silently. Wear ear protection as your local rules and those "
            "who know your hearing advise."
        )
    return lines


def _minutes(minutes: float) -> str:
    return f"{minutes:.0f} minutes" if minutes >= 10 else f"{minutes:.1f} minutes"
