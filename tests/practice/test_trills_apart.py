"""A trill with a grip of its own is no reason to play a run slowly: run, trill, then both."""

from pathlib import Path

import pytest
from tests.oracles.practice import FIGURES

from gripway.page.sheet.outlook_words import first_words, left_words
from gripway.practice.plan.plan import Plan
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.scores import notes, read

DATA = Path(__file__).parents[1] / "data"


@pytest.fixture(scope="module")
def matin() -> Plan:
    """A run of five sixteenths in a beat up to G6, into a trill on F6; another trill in bar 44."""
    passage = read(DATA / "boulanger_matin_flute.musicxml", bars="1-60", tempo=126).passage
    return practise(passage, flute(), time=PracticeTime(30, 5))


def test_the_run_to_a_trill_is_drilled_with_standard_grips_and_without_it(matin: Plan) -> None:
    """The route keeps the trill's grip for F6; no drill but those of the trill has it."""
    (trilled,) = matin.trills_apart
    assert trilled.note.bar == "48"
    assert trilled.candidate is not None
    special = trilled.candidate.grip
    assert special.short == "T 1 3 | 1 Kds Eb"
    for planned in matin.cells:
        with_it = {special} & {grip for drill in planned.drills for grip in drill.grips}
        assert bool(with_it) is bool(planned.cell.trill)
    for found in matin.left:
        assert found.trill or special not in {candidate.grip for candidate in found.candidates}


def test_all_other_notes_keep_the_grips_of_the_route(matin: Plan) -> None:
    """Only the note of the trill, and at most those beside it, have others in the line."""
    pairs = zip(matin.route.notes, matin.line.notes, strict=True)
    changed = [note.index for note, plain in pairs if note.candidate != plain.candidate]
    (trilled,) = matin.trills_apart
    assert trilled.index in changed
    assert {*changed} <= {trilled.index - 1, trilled.index, trilled.index + 1}


def test_a_trill_neither_leads_the_plan_nor_holds_it_back(matin: Plan) -> None:
    """The plan begins with a run; the trill has a cell, is told of, and the passage goes beyond its tempo."""
    assert not matin.cells[0].cell.trill
    (trill,) = [planned for planned in matin.cells if planned.cell.trill]
    assert [drill.kind for drill in trill.drills] == ["learn", "measured", "even", "entry"]
    told = first_words(matin, FIGURES)
    assert "learn F6" not in told
    assert "without the trill in bar 48 (plain F6)" in told
    last = matin.days[-1].passage
    assert last is not None
    assert last.share > 0.63  # what the same plan came to when the trill's grip ruled the run


def test_a_trill_of_one_finger_is_not_among_what_is_left(matin: Plan) -> None:
    """D#6 to E6 in bar 44, the right ring finger alone: its bar is played, not drilled."""
    assert "trill" not in left_words(matin)


def test_a_passage_without_such_a_trill_is_its_own_line() -> None:
    """Nothing is left out, and nothing is told."""
    plan = practise(notes("E6 F#6 G#6 A6", tempo=160), flute())
    assert plan.line is plan.route
    assert plan.trills_apart == ()
