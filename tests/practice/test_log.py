"""What a log means for a passage."""

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import cells_in

from gripway.errors import RequestError
from gripway.practice.plan.log_reading import (
    check_passage,
    day_entry,
    digest_of,
    history_of,
    plan_entry,
    progress,
    reached_entry,
)

PASSAGE = played("F#6 G#6 A6", 120)


def test_the_last_tempo_counts_and_days_are_counted_once() -> None:
    """Three results on two days: two sittings; the cell stands at the last of them."""
    (cell,) = cells_in(PASSAGE)
    days = [("2026-03-01T10:00:00", 70), ("2026-03-01T10:20:00", 76), ("2026-03-03T09:00:00", 72)]
    history = history_of(reached_entry(cell, tempo, 120, when) for when, tempo in days)
    assert history.tempos(cell) == (76, 72)
    assert history.sittings == 2
    assert [entry.quarters for entry in progress([cell], history)[0]] == [70, 76, 72]


def test_a_day_on_which_no_tempo_was_noted_counts() -> None:
    """A line that a day is over makes it one, whatever was done; one without its date does not."""
    days = [
        day_entry({}, "2026-03-01T10:00:00"),
        {"kind": "done", "what": "x", "when": "2026-03-02T10:00:00"},
    ]
    assert history_of(days).sittings == 1
    (cell,) = cells_in(PASSAGE)
    later = [reached_entry(cell, 70, 120, f"2026-03-0{day}T10:00:00") for day in (1, 2)]
    assert history_of([*days, *later, {"kind": "day", "met": {}}]).sittings == 2


def test_a_passage_is_known_again_at_another_tempo_and_no_other_is() -> None:
    """The digest goes by written pitches and lengths."""
    assert digest_of(PASSAGE) == digest_of(played("F#6 G#6 A6", 60))
    assert digest_of(PASSAGE) != digest_of(played("F#6 G#6 A6:1/8", 100))
    history = history_of([plan_entry({"notes": "x"}, PASSAGE, "2026-03-01T10:00:00")])
    check_passage(history, played("F#6 G#6 A6", 60), "--log a")
    with pytest.raises(RequestError, match="another passage"):
        check_passage(history, played("D6 E6"), "--log a")


def test_a_cell_is_known_again_by_its_notes_and_a_day_by_its_drills() -> None:
    """Other grips at another tempo keep the history; the furthest drill counts."""
    (cell,) = cells_in(PASSAGE)
    notes = " ".join(cell.pitches)
    entry = reached_entry(cell, 70, 120, "2026-03-01T10:00:00") | {"cell": "other grips"}
    days = [day_entry({notes: count}, "2026-03-01T10:00:00") for count in (4, 2)]
    history = history_of([entry, *days, {"kind": "day", "met": {notes: "x"}}, {"kind": "day"}])
    assert history.tempos(cell) == (70,)
    assert len(progress([cell], history)[0]) == 1
    assert history.met == {notes: 4}


def test_the_last_day_says_what_was_missed() -> None:
    """Of two days the later one counts; a line whose missed cells are no texts is odd."""
    days = [{"kind": "day", "when": f"2026-03-0{k}T10:00:00", "met": {}} for k in (1, 2)]
    assert history_of([days[0] | {"missed": ["D6 E6"]}, days[1]]).missed == frozenset()
    assert history_of([days[0], days[1] | {"missed": ["D6 E6"]}]).missed == {"D6 E6"}
    assert [place for place, _ in history_of([days[0] | {"missed": [3]}]).odd] == [0]


def test_entries_of_other_kinds_and_spoilt_ones_are_passed_over() -> None:
    """A line edited by hand that lacks its tempo does no harm."""
    history = history_of(
        [{"kind": "note", "text": "tired"}, {"kind": "reached", "cell": "a"}, {"kind": "plan"}]
    )
    assert history.reached == ()
    assert history.asked is None
