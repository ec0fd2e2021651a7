"""How hard a change is to a player: its load against what is asked of pupils where it stands."""

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.candidate import Candidate
from gripway.route.result import RouteChange

STANDARD = "standard"


def hardness(change: RouteChange, before: Candidate, after: Candidate, figures: PracticeFigures) -> float:
    """How hard a change is: 1 where it begins to be worth practising.

    That is its load over `hard_load`, or over `early_load` for what every pupil has by the second year: a
    change between standard grips within the first octave (`early_lowest_note_number` to below
    `early_break_note_number`) or from there to `early_highest_note_number` (`is_early`).
    """
    early = is_early(before, after, figures)
    return change.load / (figures.early_load if early else figures.hard_load)


def is_new(candidate: Candidate) -> bool:
    """Whether a grip is neither a standard one nor known to the player."""
    return not candidate.usual and candidate.case != STANDARD


def is_familiar(change: RouteChange, before: Candidate, after: Candidate, figures: PracticeFigures) -> bool:
    """Whether every pupil has a change by the second year, and it is in time."""
    return is_early(before, after, figures) and change.load <= figures.familiar_load


def is_early(before: Candidate, after: Candidate, figures: PracticeFigures) -> bool:
    """Whether every pupil has a change by the second year: standard grips inside one of two octaves.

    Above C#6 no more than `early_most_fingers` move.
    """
    octaves = {_early_octave(candidate, figures) for candidate in (before, after)}
    high = max(before.pitch, after.pitch) >= figures.early_third_note_number
    moved = len({*before.grip.touches} ^ {*after.grip.touches})
    return len(octaves) == 1 and None not in octaves and not (high and moved > figures.early_most_fingers)


def _early_octave(candidate: Candidate, figures: PracticeFigures) -> int | None:
    """The first or second octave of the flute, for a standard grip there; None for anything else."""
    if (
        candidate.case != STANDARD
        or not figures.early_lowest_note_number <= candidate.pitch <= figures.early_highest_note_number
    ):
        return None
    return 1 if candidate.pitch < figures.early_break_note_number else 2


def hard_words(figures: PracticeFigures) -> str:
    """From which load on a change is worth practising, in words."""
    return f"{figures.hard_load:g} or more ({figures.early_load:g} inside the first or the second octave)"
