"""One grip a figure: even, near to the least effort, and honest about what it could not do."""

import random
from dataclasses import replace
from pathlib import Path

import pytest
from tests.oracles.flutes import solver_of
from tests.oracles.limited_flow import costs_of, flow_model

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.edition.even_out import Even, even_route
from gripway.model.figures import figures, first_times, no_place_for_trills
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.tasks.editions import figure_bounds
from gripway.tasks.flute_player import FlutePlayer
from gripway.tasks.flutes import flute
from gripway.tasks.scores import notes, read

SCHUBERT = Path(__file__).parents[1] / "data" / "schubert_d485_flute.musicxml"
CELL = "E6 F#6 G#6 A6 G#6 F#6 E6:1/4"
LEAPS = "A5 F#6 A5 F#6 A5:1/4"
"""Quick leaps, for which F#6 is overblown from B (THIRD) where nobody says otherwise."""

OTHER, THIRD = Grip.parse("T L1 L3 | R2 Eb"), Grip.parse("T L1 | Eb")
"""Two grips of F#6 besides the standard one (common practice, no source)."""


def even(passage: Passage, wishes: Wishes = Wishes(), **more: object) -> Even:  # noqa: B008 - frozen
    """The passage with one grip a figure."""
    return even_route(FlutePlayer(flute()).solver(wishes), passage, wishes, figure_bounds(), **more)  # type: ignore[arg-type]


def grips_by_figure(answer: Even) -> dict[object, set[Grip]]:
    """The grips of the tables that each figure comes with."""
    played = answer.route.passage.notes
    about = figures(played, figure_bounds().tempo_step)
    found: dict[object, set[Grip]] = {}
    for place in first_times(played):
        candidate = answer.route.notes[place].candidate
        if candidate:
            found.setdefault(about[place], set()).add(candidate.row_grip)
    return found


@pytest.mark.whole
def test_a_real_part_comes_out_even() -> None:
    """No figure has two grips, at hardly more effort, and nothing is left without a grip."""
    answer = even(read(SCHUBERT).passage)
    assert {len(grips) for grips in grips_by_figure(answer).values()} == {1}
    assert answer.uneven == ()
    assert answer.free.effort <= answer.route.effort <= 1.05 * answer.free.effort


def test_a_pin_draws_the_figure_after_it() -> None:
    """The same cell elsewhere takes the pinned grip; the change is told, with its reason."""
    passage = notes(f"{LEAPS} r {LEAPS}", tempo=150)
    places = [k for k, note in enumerate(passage.notes) if note.pitch.name == "F#6"]
    answer = even(passage, Wishes(pins=(Pin(places[0], OTHER),)))
    twin = places[2]
    assert answer.route.notes[twin].candidate.row_grip == OTHER  # type: ignore[union-attr]
    assert answer.free.notes[twin].candidate.row_grip == THIRD  # type: ignore[union-attr]
    assert twin in answer.changed
    assert answer.route.notes[twin].why.startswith("one grip for this figure")
    nearest = answer.route.notes[twin].others[0]
    assert nearest.candidate.row_grip == answer.free.notes[twin].candidate.row_grip  # type: ignore[union-attr]
    assert nearest.effort_more <= 0.0


def test_two_pins_leave_a_figure_uneven() -> None:
    """What the user asked for is kept, and said."""
    passage = notes(f"{CELL} r {CELL}", tempo=160)
    first, _, third, _ = [k for k, note in enumerate(passage.notes) if note.pitch.name == "F#6"]
    answer = even(passage, Wishes(pins=(Pin(first, OTHER), Pin(third, THIRD))))
    kept = [answer.route.notes[place].candidate.row_grip for place in (first, third)]  # type: ignore[union-attr]
    assert kept == [OTHER, THIRD]
    assert answer.uneven == (first,)


def test_another_part_can_say_the_grip_beforehand() -> None:
    """A figure known from a part edited before keeps its grip."""
    passage = notes(LEAPS, tempo=150)
    about = figures(passage.notes, figure_bounds().tempo_step)
    assert even(passage).grips[about[1]] == THIRD
    answer = even(passage, known={about[1]: OTHER})
    assert answer.route.notes[1].candidate.row_grip == OTHER  # type: ignore[union-attr]
    assert answer.grips[about[1]] == OTHER


@pytest.mark.parametrize("line", ["G6:1/16 F#6 G6 F#6 G6 F#6 G6:1", "D6 C6 D6 C6 D6 C6 D6:1/1"])
def test_no_trill_grip_is_left_on_a_long_note(line: str) -> None:
    """Grips for trills are for motion (common practice, no source)."""
    answer = even(notes(line, tempo=200))
    long = answer.route.notes[-1]
    assert no_place_for_trills(long.note, figure_bounds().sustained_ms)
    assert long.candidate is not None
    assert long.candidate.kind != "trill"


def test_a_note_at_the_edge_of_the_bars_knows_its_neighbours() -> None:
    """With the whole part at hand the first note of an excerpt is no figure of its own."""
    whole = notes(f"{CELL} {CELL}", tempo=160)
    some = replace(whole, notes=whole.notes[7:])
    answer = even(some, whole=whole.notes)
    assert set(answer.grips) == set(figures(whole.notes, figure_bounds().tempo_step)[7:])


def lines() -> list[str]:
    """High notes in any order, so many of each that figures come again in other surroundings."""
    source = random.Random(7)
    names = ("E6", "F6", "F#6", "G6", "G#6", "A6", "B6")
    return [" ".join(source.choices(names[start : start + 4], k=40)) for start in (0, 1, 2, 3)]


@pytest.mark.whole
def test_no_even_route_takes_less() -> None:
    """An independent flow model with one grip of the tables a figure finds no lower effort.

    Grips that do not stay worth it under shaken tables are left out of both.
    """
    dearer = 0
    for line in lines():
        passage = notes(line, tempo=160)
        answer = even(passage)
        costs = costs_of(passage, solver_of(), answer.free.charges.left_out)
        value, _, status = flow_model(passage, costs, Limits(same_figure=True)).solve()
        assert status == "OPTIMAL"
        assert answer.route.effort_milli == value
        dearer += answer.free.effort_milli < value
    assert dearer
