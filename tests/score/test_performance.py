"""Grace notes have no length in the bar and take their time from what is before them."""

import pytest
from tests.score.small_scores import bar, grace, note, read, score, tempo

from gripway.score.reading.performance import GRACE_MS


def times(content: str) -> list[tuple[float, float]]:
    """Onset and length in ms of the notes of one bar at quarter = 60."""
    return [(n.onset_ms, n.length_ms) for n in read(score(bar(tempo(60) + content))).passage.notes]


def test_grace_notes_have_no_length_in_the_bar() -> None:
    """A grace note stands at the onset of its note with length 0 and some milliseconds."""
    first, ornament, main = read(score(bar(note("C5") + grace("D5") + note("E5")))).passage.notes
    assert (ornament.grace, ornament.length, ornament.onset) == (True, 0, main.onset)
    assert first.onset_ms < ornament.onset_ms < main.onset_ms


def test_a_grace_note_comes_before_the_beat() -> None:
    """At a slow tempo it lasts 80 ms, and the note before is that much shorter."""
    assert times(note("C5") + grace("D5") + note("E5")) == [
        (0, 1000 - GRACE_MS),
        (1000 - GRACE_MS, GRACE_MS),
        (1000, 1000),
    ]


def test_grace_notes_share_at_most_half_of_the_note_before() -> None:
    """Two grace notes after a 16th at quarter = 60 (250 ms) get a quarter of it each."""
    result = times(note("C5", 1) + grace("D5") + grace("E5") + note("F5"))
    assert result == [(0, 125), (125, 62.5), (187.5, 62.5), (250, 1000)]


def test_grace_notes_after_a_rest_use_the_rest() -> None:
    """The sounding note before the rest keeps its length."""
    assert times(note("C5") + note("r") + grace("D5") + note("E5"))[:2] == [
        (0, 1000),
        (2000 - GRACE_MS, GRACE_MS),
    ]


def test_grace_notes_at_the_very_start_are_on_the_beat() -> None:
    """With nothing before, they take their time from the note they lead to."""
    assert times(grace("D5") + note("E5")) == [(0, GRACE_MS), (GRACE_MS, 1000 - GRACE_MS)]


def test_a_grace_note_at_the_end_of_a_bar_leads_into_the_next() -> None:
    """The last of a trill's ending stands at the onset of the next bar's note."""
    notes = read(score(bar(note("C5") + grace("B4")), bar(note("C5"), "2"))).passage.notes
    assert notes[1].onset == notes[2].onset


@pytest.mark.parametrize("quarters", [40, 96, 240])
def test_time_never_runs_backwards(quarters: int) -> None:
    """Onsets rise and no note is shorter than nothing, at any tempo."""
    content = tempo(quarters) + grace("C5") + grace("D5") + note("E5", 1) + grace("F5") + note("G5", 1)
    notes = read(score(bar(content))).passage.notes
    onsets = [n.onset_ms for n in notes]
    assert onsets == sorted(onsets)
    assert all(n.length_ms > 0 for n in notes)
