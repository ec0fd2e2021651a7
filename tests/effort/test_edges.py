"""Edges of the thresholds of effort: at the figure and just beside it, with figures read from the tables."""

from dataclasses import replace
from typing import Any

import pytest
from tests.oracles.flutes import FIGURES, TABLES, candidate, solver_of
from tests.oracles.passages import played

from gripway.catalog.flute.grips import Lean
from gripway.effort.costs import EffortModel, Step
from gripway.effort.familiarity import unfamiliarity
from gripway.effort.hand_support import looseness_effort, sudden_balance, suddenness
from gripway.effort.lean_effort import tuning_effort
from gripway.effort.load import load_effort
from gripway.effort.setting import Link, Setting, is_leap, length_uses, links, settings
from gripway.effort.tendency import _on_two_sides
from gripway.errors import PlayerFileError
from gripway.model.passage import Passage
from gripway.model.player import Player
from gripway.model.survey import HIGHEST_CLAIM

JUST = 0.01
"""Milliseconds or cents beside an edge."""

MODEL = solver_of().model


def lasting(text: str, place: int, length_ms: float) -> Setting:
    """The setting of a note that lasts so many milliseconds."""
    passage = played(text)
    notes = list(passage.notes)
    notes[place] = replace(notes[place], length_ms=length_ms)
    return about(replace(passage, notes=tuple(notes)))[place]


def about(passage: Passage) -> tuple[Setting, ...]:
    """The setting of every note."""
    return settings(passage.notes, links(passage.notes, FIGURES), TABLES)


@pytest.mark.parametrize(
    ("use", "edge_ms", "at"),
    [
        ("motion", FIGURES.exposure_full_ms, False),
        ("quick", FIGURES.quick_longest_ms, False),
        ("held", FIGURES.held_from_ms, True),
        ("sustained", FIGURES.sustained_ms, True),
    ],
)
def test_a_use_begins_or_ends_at_its_length(use: str, edge_ms: float, at: bool) -> None:
    """Short uses hold below their length and no longer at it, long ones from theirs on."""
    assert (use in length_uses(edge_ms, FIGURES)) is at
    assert (use in length_uses(edge_ms - JUST, FIGURES)) is not at


def test_a_leap_begins_at_its_interval() -> None:
    """As wide as the figure is a leap, a semitone less is none, upwards and downwards."""
    least = int(FIGURES.leap_least_semitones)
    for sign in (1, -1):
        assert is_leap(80, 80 + sign * least, FIGURES)
        assert not is_leap(80, 80 + sign * (least - 1), FIGURES)


def test_a_leap_is_quick() -> None:
    """A note of the longest length of a leap is none, one just shorter is."""
    assert "leap" not in lasting("C5 C6 C5", 1, FIGURES.leap_longest_ms).uses
    assert "leap" in lasting("C5 C6 C5", 1, FIGURES.leap_longest_ms - JUST).uses


def test_sustain_and_exposure_begin_at_their_lengths() -> None:
    """Fully exposed, and no more than that, at its length; no sustain up to there, all from its own on."""
    full_ms = FIGURES.exposure_full_ms
    assert lasting("D6", 0, full_ms).exposure == 1.0
    assert lasting("D6", 0, full_ms / 2).exposure == 0.5
    assert lasting("D6", 0, full_ms).sustain == 0.0
    assert lasting("D6", 0, FIGURES.sustained_ms).sustain == 1.0
    assert lasting("D6", 0, FIGURES.sustained_ms - 10.0).sustain < 1.0


@pytest.mark.parametrize("beyond", [0.0, 1.0])
def test_an_alternation_is_full_up_to_its_speed_and_none_from_its_end(beyond: float) -> None:
    """At the full speed 1, at the end of the fade 0 and its notes no partners, just before it some."""
    end_ms = FIGURES.alternation_full_ms + FIGURES.alternation_fade_ms
    slow, fast = (played("E6 F#6 E6 F#6", tempo=15_000.0 / ms) for ms in (end_ms, end_ms - 1.0))
    assert about(slow)[1].partners == frozenset()
    assert about(fast)[1].partners
    quickest = played("E6 F#6 E6 F#6", tempo=15_000.0 / (FIGURES.alternation_full_ms - beyond))
    assert about(quickest)[1].alternation == 1.0


def test_how_near_b_natural_is_ends_with_its_span() -> None:
    """A B natural as many notes off as the span is near, one note further it is not."""
    span = int(FIGURES.b_flat_span_notes)
    between = "C6 D6 " * span
    for count, near in ((span - 1, "near"), (span, "flat")):
        passage = played(" ".join(["Bb5", *between.split()[:count], "B5"]))
        assert about(passage)[0].near == near
        assert about(replace(passage, notes=passage.notes[::-1]))[-1].near == near


@pytest.mark.parametrize("edge", [1.0, FIGURES.load_straight_load])
def test_the_load_turns_at_its_joints(edge: float) -> None:
    """One form up to the joint, another beyond: the second difference jumps there and nowhere just below."""
    wide = replace(FIGURES, load_most_effort=1e9)
    h = 1e-3

    def bend(load: float) -> float:
        return load_effort(load - h, wide) - 2 * load_effort(load, wide) + load_effort(load + h, wide)

    assert bend(edge - 2 * h) != pytest.approx(bend(edge + 2 * h), rel=0.05)
    assert bend(edge - 2 * h) == pytest.approx(bend(edge - 4 * h), rel=0.01)


def slide(available_ms: float) -> tuple[bool, bool]:
    """Whether a thumb slide is allowed in so many milliseconds: by its ledger, by its total."""
    step = Step(50.0, 50.0, True, 1, 0.0, 0.0, 0.0)
    link = Link(available_ms, 0.0, slurred=True)
    return MODEL.moving(step, link) is not None, MODEL.moving_total(step, link) is not None


def test_a_thumb_slide_is_allowed_from_its_least_time_on() -> None:
    """At the least time it is, just below it is not."""
    least_ms = FIGURES.thumb_slide_least_ms
    assert slide(least_ms) == (True, True)
    assert slide(least_ms - JUST) == (False, False)


@pytest.mark.parametrize("name", TABLES.dials)
def test_a_dial_may_stand_at_both_ends(name: str) -> None:
    """Its least and its most are allowed, just beyond is refused."""
    dial = TABLES.dials[name]
    for value in (dial.least, dial.most):
        EffortModel(TABLES, Player(dials=((name, value),)))
    for value in (dial.least - JUST, dial.most + JUST):
        with pytest.raises(PlayerFileError, match="outside"):
            EffortModel(TABLES, Player(dials=((name, value),)))


def test_nothing_is_said_of_ways_above_the_highest_claim() -> None:
    """At the highest pitch the model speaks, of both notes of a change; a semitone above it does not."""
    model = EffortModel(TABLES, Player(), unsafe=lambda *_: 1.0)
    low, top = candidate("D6"), replace(candidate("E6"), pitch=HIGHEST_CLAIM)
    above = replace(top, pitch=HIGHEST_CLAIM + 1)
    assert [model.step(*pair).unsafe for pair in ((low, top), (top, low))] == [1.0, 1.0]
    assert [model.step(*pair).unsafe for pair in ((low, above), (above, low))] == [0.0, 0.0]


def test_support_and_its_change_are_free_up_to_their_figures() -> None:
    """A change of the free size costs nothing, a little more costs it in proportion; so does a loose grip."""
    assert sudden_balance(FIGURES.balance_free_support, FIGURES) == 0.0
    assert sudden_balance(-FIGURES.balance_free_support - 1.0, FIGURES) == pytest.approx(
        FIGURES.balance_effort
    )
    assert looseness_effort(FIGURES.loose_below_support, 1.0, FIGURES) == 0.0
    assert looseness_effort(FIGURES.loose_below_support - 1.0, 1.0, FIGURES) == pytest.approx(
        FIGURES.loose_effort
    )
    assert suddenness(FIGURES.balance_time_ms, FIGURES) == 1.0
    assert suddenness(2 * FIGURES.balance_time_ms, FIGURES) == 0.5


def test_the_lip_bends_up_to_its_figure() -> None:
    """Up to the bend only the form counts; once more beyond it the square of what is beyond comes to it."""
    for bends in (1.0, -1.0):
        assert tuning_effort(bends * FIGURES.lean_bend_cents, FIGURES) == pytest.approx(
            FIGURES.tuning_bent_effort
        )
        beyond = tuning_effort(2.0 * bends * FIGURES.lean_bend_cents, FIGURES)
        assert beyond == pytest.approx(FIGURES.tuning_bent_effort * 8.0 / 3.0 + FIGURES.tuning_beyond_effort)


def leans(one: float, other: float, spread: float) -> tuple[Lean, Lean]:
    """A word and the model, against the standard grip, with the same range."""
    common: dict[str, Any] = {"basis": "standard", "spread_cents": spread}
    return (
        Lean(cents=one, word="lower", how="taught", **common),
        Lean(cents=other, word="", how="modelled", **common),
    )


@pytest.mark.parametrize(
    ("spread", "edge"), [(FIGURES.lean_lip_cents, 2 * FIGURES.lean_lip_cents), (0.0, FIGURES.lean_lip_cents)]
)
def test_a_dispute_is_further_apart_than_ranges_and_lip(spread: float, edge: float) -> None:
    """As far apart as both ranges together, or as the lip bends, is none; a little further is one."""
    assert not _on_two_sides(leans(-edge / 2, edge / 2, spread), 0.0, FIGURES)
    assert _on_two_sides(leans(-edge / 2 - JUST, edge / 2, spread), 0.0, FIGURES)
    assert _on_two_sides(leans(0.0, edge + JUST, spread), 0.0, FIGURES)  # a lean of nothing has no side


def test_a_grip_is_as_strange_as_its_note_is_exposed_within_two_ends() -> None:
    """On the shortest note the least share counts, on a fully exposed one all and no more after that."""
    plain = lasting("D6", 0, FIGURES.exposure_full_ms)
    grip = replace(
        candidate("D6"), case="alternate", case_in_use="alternate", kind="alternate", uses=frozenset()
    )
    sizes = [
        unfamiliarity(grip, replace(plain, exposure=exposure, uses=frozenset()), TABLES)
        for exposure in (0.0, FIGURES.unfamiliar_least_factor, 1.0, 2.0)
    ]
    assert sizes[0] == sizes[1] < sizes[2] == sizes[3]
    assert (sizes[0] - FIGURES.leaving_standard_effort) == pytest.approx(
        FIGURES.unfamiliar_least_factor * (sizes[2] - FIGURES.leaving_standard_effort)
    )
