"""Grips that are always used."""

from dataclasses import replace

from tests.taste.parts import part_of

from gripway.catalog.tables.taste_figures import taste_figures
from gripway.taste.always import always_used

FIGURES = taste_figures()
LINE = "E6 F#6 G6 A5 D6 F#6 A6 B5 C6 F#6 B5"
F_SHARP, STANDARD = "T L1 L3 | R2 Eb", "T L1 L3 | R3 Eb"


def test_a_grip_that_every_mark_of_its_pitch_has() -> None:
    """Three marks in three figures, nothing against it."""
    part, check, _ = part_of(LINE, {1: F_SHARP, 5: F_SHARP, 9: F_SHARP})
    (found,) = always_used([part], [check], FIGURES)
    assert (found.pitch, found.grip.text, found.marks) == (90, F_SHARP, 3)  # F#6


def test_the_edges_of_always() -> None:
    """Two marks are too few; a plain mark or a standard grip is none."""
    few, check, _ = part_of(LINE, {1: F_SHARP, 5: F_SHARP})
    mixed, _, _ = part_of(LINE, {1: F_SHARP, 5: F_SHARP, 9: STANDARD})
    printed, _, _ = part_of(LINE, {}, fingerings={1: F_SHARP, 5: F_SHARP})
    plain, _, _ = part_of(LINE, {1: STANDARD, 5: STANDARD, 9: STANDARD})
    for part in (few, mixed, printed, plain):
        assert always_used([part], [check], FIGURES) == ()


def test_a_note_left_plain_does_not_speak_against_it() -> None:
    """Who knows a grip does not take it everywhere: one of four notes without a mark is evidence, no bar."""
    left_plain, check, _ = part_of(LINE + " E5 F#6 D5", {}, fingerings={1: F_SHARP, 5: F_SHARP, 9: F_SHARP})
    (found,) = always_used([left_plain], [check], FIGURES)
    assert (found.grip.text, found.marks) == (F_SHARP, 3)


def test_one_figure_alone_may_be_the_reason() -> None:
    """Three times the same three notes: the figure may ask for the grip, not the player."""
    part, check, _ = part_of("E6 F#6 G6 A5 " * 3, {1: F_SHARP, 5: F_SHARP, 9: F_SHARP})
    assert always_used([part], [check], FIGURES) == ()


def test_as_many_figures_as_are_asked_for_are_enough() -> None:
    """Three figures where three are asked for; of four asked for one is missing."""
    part, check, _ = part_of(LINE, {1: F_SHARP, 5: F_SHARP, 9: F_SHARP})
    for least, found in ((3, 1), (4, 0)):
        assert len(always_used([part], [check], replace(FIGURES, known_least_figures=least))) == found
