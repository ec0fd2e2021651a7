"""Marks that contradict each other: one figure, two grips."""

from tests.taste.parts import part_of

from gripway.taste.contradictions import contradictions

STEP = 1.1
"""Tempos so near are the same (figure_tempo_factor)."""


def test_another_grip_in_the_same_figure_is_told_with_both_places() -> None:
    """The second of two equal figures has another grip: here and before, by bar, note and grip."""
    line = "E6 F#6 G6 A5 E6 F#6 G6 A5"
    part, _, _ = part_of(line, {1: "T L1 L3 | R2 Eb", 5: "T L1 L3 | R3 Eb"})
    (found,) = contradictions([part], STEP)
    assert (found.here.note, found.here.id, found.here.grip.text) == ("F#6", "n6", "T L1 L3 | R3 Eb")
    assert (found.before.id, found.before.grip.text) == ("n2", "T L1 L3 | R2 Eb")


def test_another_figure_or_dynamic_may_have_another_grip() -> None:
    """Other neighbours, or softer: two grips can both be right."""
    other, _, _ = part_of("E6 F#6 G6 A5 E6 F#6 A6", {1: "T L1 L3 | R2 Eb", 5: "T L1 L3 | R3 Eb"})
    softer, _, _ = part_of("f E6 F#6 G6 A5 pp E6 F#6 G6", {1: "T L1 L3 | R2 Eb", 5: "T L1 L3 | R3 Eb"})
    assert contradictions([other], STEP) == contradictions([softer], STEP) == ()
