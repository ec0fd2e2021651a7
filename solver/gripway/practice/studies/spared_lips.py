"""Bars that tire the lips where they are played again and again, and can be an octave lower."""

from collections.abc import Sequence

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.long_notes import OCTAVE
from gripway.practice.ways.way_conditions import QUIET, is_slow, is_slurred
from gripway.practice.ways.whole_passage import bar_of


def is_spared(notes: Sequence[Note], first: int, last: int, figures: PracticeFigures) -> bool:
    """Whether some notes are played an octave lower the first times: loud, high, quick, and there are grips.

    Of the loud high notes each bar has to be on the flute an octave lower, too. A slow slurred line is as
    written: its sound is the work.
    """
    within = notes[first : last + 1]
    if is_slow(within, figures) and is_slurred(within, figures):
        return False
    high = _tiring(within, figures)
    bars = (bar_of(notes, place) for place in range(first, last + 1) if notes[place].id in high)
    reach = (range(max(first, begin), min(last, end) + 1) for begin, end in bars)
    least = figures.flute_lowest_note_number + OCTAVE
    return bool(high) and all(notes[at].pitch.number >= least for bar in reach for at in bar)


def _tiring(within: Sequence[Note], figures: PracticeFigures) -> set[str]:
    """The notes (their ids) that tire the lips: the highest where they last, or high ones that fill most."""
    loud = [note for note in within if note.dynamic not in QUIET and not note.grace]
    top = [note for note in loud if note.pitch.number >= figures.study_lower_note_number]
    high = [note for note in loud if note.pitch.number >= figures.loud_most_note_number]
    top_ms, high_ms, all_ms = (sum(note.length_ms for note in each) for each in (top, high, within))
    if top_ms >= figures.study_lower_s * 1000:
        return {note.id for note in top}
    much = high_ms >= max(figures.study_lower_high_s * 1000, figures.study_lower_share * all_ms)
    return {note.id for note in high} if much else set()
