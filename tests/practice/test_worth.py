"""Whether the other grips are worth learning."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.oracles.passages import played
from tests.oracles.practice import FIGURES, find_cells, routed

from gripway.asked.wishes import STANDARD_ONLY, Pin, Wishes
from gripway.model.grip import Grip
from gripway.model.player import PLAIN_PLAYER
from gripway.model.tempo import QUARTER
from gripway.practice.cells.worth_learning import (
    Alternate,
    CellWorth,
    _often,
    _tempo_words,
    _trill_advice,
    comes_late,
    worth_of,
)
from gripway.route.tempo.tempo_threshold import Threshold
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.practise import PracticeTime, practise
from gripway.tasks.routes import finger
from gripway.tasks.scores import read

DATA = Path(__file__).parents[1] / "data"
LATE_B = "A6 B6 A6"


def worth(text: str, tempo: float, wishes: Wishes | None = None) -> CellWorth:
    """The worth of the first cell of a line."""
    wishes = wishes or Wishes()
    solver, route = routed(played(text, tempo), wishes)
    return worth_of(find_cells(route, FIGURES)[0], route, wishes, solver, FIGURES)


def test_alternates_are_worth_learning_where_the_standard_grips_come_late() -> None:
    """At 180 the standard grips of A6 B6 load it above 1 and more than the others."""
    found = worth(LATE_B, 180)
    assert found.learn
    assert found.standard_load is not None
    assert found.standard_load > 1
    assert found.advice.startswith("Learn ")
    assert all(0 < alternate.taken <= alternate.notes for alternate in found.alternates)


def test_the_standard_load_is_that_of_the_standard_route() -> None:
    """Counted again by asking the search for standard grips only."""
    _, standard = routed(played(LATE_B, 180), Wishes(choose=STANDARD_ONLY))
    cell = find_cells(routed(played(LATE_B, 180))[1], FIGURES)[0]
    inside = [
        change.load
        for change in standard.changes
        if change.to in range(cell.first + 1, cell.first + len(cell.notes))
    ]
    assert worth(LATE_B, 180).standard_load == pytest.approx(max(inside))


def test_standard_grips_are_practised_as_they_are() -> None:
    """A cell of standard grips has nothing to learn."""
    found = worth("F4 D#4 C#4", 100)
    assert (found.learn, found.alternates) == (False, ())
    assert found.advice == "These notes have their standard grips: stay with them."


def test_pins_outside_the_cell_do_no_harm() -> None:
    """The part around the cell is asked without pins by number, which would mean other notes there."""
    text = " ".join(["A5:1/4"] * 8) + f" {LATE_B}"
    assert worth(text, 180, Wishes(pins=(Pin(0, Grip.parse("T L1 L2 | Eb")),))).alternates


def test_where_the_advice_is_to_stay_the_drills_have_the_standard_grips() -> None:
    """Words, cell and drills agree: no alternate is trained that the advice says not to take."""
    stayed = 0
    for tempo in (112, 120):
        plan = practise(played("(C6 D6 Eb6 D6 C6 D6 Eb6 D6)", tempo), flute())
        for planned in plan.cells:
            if planned.worth.advice.startswith("Stay with the standard grips"):
                stayed += 1
                assert {candidate.case for candidate in planned.cell.candidates} == {"standard"}
                known = {c.pitch: c.grip for c in planned.cell.candidates}
                for drill in planned.drills:
                    for place in drill.changes:
                        pitch = drill.passage.notes[place].pitch.number
                        assert drill.grips[place] == known[pitch]
    assert stayed


def test_a_pinned_alternate_stays_in_the_drills_and_the_words_say_so() -> None:
    """A pin is the player's own choice: the drills keep it and no advice to leave it is given."""
    for tempo in (112, 120):
        passage = played("(D6 E6 F#6 E6 D6 E6 F#6 G6 F#6 E6)", tempo)
        pins = (Pin(2, Grip.parse("T L1 L3 | R2 Eb")),)
        for planned in practise(passage, flute(), Wishes(pins=pins)).cells:
            if 2 in range(planned.cell.first, planned.cell.first + len(planned.cell.notes)):
                assert not planned.worth.advice.startswith("Stay with")


def test_standard_grips_come_late_above_both_edges_only() -> None:
    """Above the late load and above the others' by the share: at either edge, or one alone, not."""
    late, less = FIGURES.pays_load, FIGURES.pays_less_load
    assert comes_late(None, 9.0, FIGURES)
    assert not comes_late(late, 0.0, FIGURES)
    assert comes_late(late + 0.001, 0.0, FIGURES)
    assert not comes_late(late + 1, late + 1 - less / 2, FIGURES)
    assert not comes_late(late - 0.1, late - 0.1 - 2 * less, FIGURES)
    assert comes_late(late + 1, late + 1 - 2 * less, FIGURES)


def test_a_grip_that_saves_the_part_its_charge_is_learnt_and_one_that_does_not_is_left() -> None:
    """The same cell, once and thirty times: what the route says it saves decides, against the full charge."""
    line = "(C6 D6 Eb6 D6 C6 D6 Eb6 D6)"
    once, often = (worth(" ".join([line] * times), 120) for times in (1, 30))
    assert 0 < once.saves < once.costs == often.costs < often.saves
    assert (once.learn, often.learn) == (False, True)
    assert often.standard_load is not None
    assert often.standard_load < FIGURES.pays_load
    assert "Over the whole part that is worth the learning." in often.advice
    assert "worth the learning" not in once.advice
    assert once.stays is not None
    assert often.stays is None


def test_a_grip_in_the_fingers_is_kept_and_not_learnt() -> None:
    """The player knows the alternate: nothing to learn, no charge, and the drills keep it."""
    known = frozenset((a.candidate.pitch, a.candidate.grip) for a in worth(LATE_B, 180).alternates)
    mine = FlutePlayer(flute(), replace(PLAIN_PLAYER, known=known))
    (planned, *_) = practise(played(LATE_B, 180), mine).cells
    assert planned.worth.advice.startswith("You know these grips")
    assert (planned.worth.learn, planned.worth.costs, planned.worth.stays) == (False, 0.0, None)
    assert planned.drills[0].kind != "learn"


def test_what_is_to_be_learnt_at_the_goal_has_no_other_verdict_beside_it() -> None:
    """Where standard grips do as well below a tempo above the goal, that is not told beside the advice."""
    found = Threshold(160.0, 170.0, slowest=40.0, fastest=200.0, saved=1.0, saves=True)
    assert _tempo_words(found, QUARTER, 140.0, learn=True) == ""
    assert _tempo_words(found, QUARTER, 180.0, learn=True).startswith("Below quarter = 160")
    assert _tempo_words(found, QUARTER, 140.0, learn=False).startswith("Below quarter = 160")


def test_a_grip_for_a_trill_alone_is_told_as_that_with_both_grips_and_the_finger() -> None:
    """F6 with the D-sharp trill key for the trill with G6: which, where, what moves; no percentage."""
    passage = read(DATA / "boulanger_matin_flute.musicxml").passage
    route = finger(passage, flute(), Wishes(others=0))
    trilled = next(note for note in route.notes if note.note.ornament and note.candidate)
    assert trilled.candidate is not None
    assert trilled.ornament is not None
    alternate = Alternate(trilled.note.pitch.name, trilled.candidate, 1, 1, (trilled,), 3)
    told = _trill_advice(alternate)
    assert told.startswith(f"For the trill in bar {trilled.note.bar} learn {trilled.note.pitch.name} ")
    assert told.count(" | ") == 2
    assert "trills." in told
    assert "With the standard grips 3 fingers would have to move together." in told
    assert "%" not in told
    assert "standard" not in _trill_advice(replace(alternate, standard_fingers=1))


def test_one_note_is_not_every_note() -> None:
    """Of a pitch that is played once the advice says so."""
    cell = practise(played("E6 F#6 G#6 A6", 160), flute(), time=PracticeTime(cells=1)).cells[0].cell
    (candidate, *_) = cell.candidates
    assert _often(Alternate("F6", candidate, 1, 1)) == "for the one F6 here"
    assert _often(Alternate("F6", candidate, 2, 2)) == "on every F6 here"
