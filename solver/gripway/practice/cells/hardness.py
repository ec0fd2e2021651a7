"""How hard a change is to a player: its load against what is asked of pupils where it stands."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.effort.candidate import Candidate
from gripway.model.passage import rest_between
from gripway.route.result import RouteChange, RouteNote

STANDARD = "standard"


def hardness(
    change: RouteChange, before: Candidate, after: Candidate, figures: PracticeFigures, *, alone: bool = False
) -> float:
    """How hard a change is: its load over that from which it is worth practising (`hard_from`)."""
    return change.load / hard_from(change, before, after, figures, alone=alone)


def hard_from(
    change: RouteChange, before: Candidate, after: Candidate, figures: PracticeFigures, *, alone: bool = False
) -> float:
    """From which load on a change is worth practising.

    That is `hard_load`; `early_load` between standard grips where few fingers move, none of a hand against
    another (`is_easy`), or every pupil has the change (`is_early`); `one_way_share` times `hard_load` where
    all fingers go one way below the third octave. `alone_share` times as much where the change stands
    `alone` (`is_alone`).
    """
    known = not (is_new(before) or is_new(after))
    low = known and max(before.pitch, after.pitch) < figures.early_third_note_number
    one_way = len({how for _, how in change.movers}) == 1
    share = figures.alone_share if known and alone else 1.0
    if is_early(before, after, figures) or is_easy(change, before, after, figures):
        return share * figures.early_load
    return share * figures.hard_load * (figures.one_way_share if low and one_way else 1.0)


def is_easy(change: RouteChange, before: Candidate, after: Candidate, figures: PracticeFigures) -> bool:
    """Whether few fingers move between standard grips, those of each hand one way, and no note is high."""
    ways = {(finger[0], how) for finger, how in change.movers}
    against = len(ways) > len({hand for hand, _ in ways})
    high = max(before.pitch, after.pitch) > figures.easy_highest_note_number
    return (
        not (is_new(before) or is_new(after) or against or high)
        and len(change.movers) <= figures.easy_fingers
    )


def is_alone(notes: Sequence[RouteNote], to: int, figures: PracticeFigures) -> bool:
    """Whether the hands wait before the change to a note and after it: `alone_times` its time or more.

    That is before they come to the note it begins at, and before they leave the note it leads to; repeated
    notes are one. Where the passage begins or ends nobody knows. From the third octave on only what is
    tongued between rests.
    """
    high = max(note.note.pitch.number for note in notes[to - 1 : to + 1]) >= figures.early_third_note_number
    if high and not _is_parted(notes, to):
        return False
    here = notes[to].note.onset_ms - notes[to - 1].note.onset_ms
    before, after = _first_alike(notes, _first_alike(notes, to - 1) - 1), _next_other(notes, to)
    gaps = (
        notes[to - 1].note.onset_ms - notes[before].note.onset_ms if before >= 0 else None,
        notes[after].note.onset_ms - notes[to].note.onset_ms if after < len(notes) else None,
    )
    return all(gap is not None and gap >= figures.alone_times * here for gap in gaps)


def _is_parted(notes: Sequence[RouteNote], to: int) -> bool:
    """Whether the change to a note is tongued, with a rest before it and one after it."""
    if not 1 < to < len(notes) - 1 or notes[to].note.slurred:
        return False
    sides = ((notes[at].note, notes[at + 1].note) for at in (to - 2, to))
    return all(rest_between(note, after) > 0 for note, after in sides)


def _first_alike(notes: Sequence[RouteNote], at: int) -> int:
    """The first of the repeated notes that a note is one of."""
    while at > 0 and notes[at - 1].note.pitch.number == notes[at].note.pitch.number:
        at -= 1
    return at


def _next_other(notes: Sequence[RouteNote], at: int) -> int:
    """The next note of another pitch, the end where there is none."""
    pitch = notes[at].note.pitch.number
    later = range(at + 1, len(notes))
    return next((each for each in later if notes[each].note.pitch.number != pitch), len(notes))


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
    """The first or second octave of the flute, for a grip every player has; None for anything else."""
    if (
        is_new(candidate)
        or not figures.early_lowest_note_number <= candidate.pitch <= figures.early_highest_note_number
    ):
        return None
    return 1 if candidate.pitch < figures.early_break_note_number else 2


def hard_words(figures: PracticeFigures) -> str:
    """From which load on a change is worth practising, in words."""
    return f"{figures.hard_load:g} or more ({figures.early_load:g} inside the first or the second octave)"
