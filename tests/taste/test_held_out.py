"""Which marks are held out together."""

from dataclasses import replace

from tests.taste.parts import part_of

from gripway.catalog.tables.taste_figures import taste_figures
from gripway.taste.held_out import FIGURE, PASSAGE, folds
from gripway.taste.mark import MarkedPart

FIGURES = taste_figures()
F_SHARP = "T L1 L3 | R2 Eb"


def in_bars(part: MarkedPart, notes: int) -> MarkedPart:
    """The part with a new bar every so many notes."""
    bars = tuple(replace(note, bar=str(1 + place // notes)) for place, note in enumerate(part.passage.notes))
    marks = tuple(replace(mark, note=bars[mark.index]) for mark in part.marks)
    return replace(part, passage=replace(part.passage, notes=bars), marks=marks)


def test_marks_of_a_passage_stay_together() -> None:
    """Six passages of different figures, two marks in each: the two are always in one fold."""
    lines = [
        "E6 F#6 G6 F#6",
        "D6 F#6 A6 F#6",
        "C6 F#6 B5 F#6",
        "B5 F#6 C6 F#6",
        "A5 F#6 D6 F#6",
        "G5 F#6 E5 F#6",
    ]
    marks = {4 * k + step: F_SHARP for k in range(len(lines)) for step in (1, 3)}
    part, _, _ = part_of(" ".join(lines), marks)
    wide = replace(FIGURES, passage_bars=1, least_groups=5)
    found = folds([in_bars(part, 4)], wide)
    assert found is not None
    assert found.by == PASSAGE
    assert all(found.of_mark[k] == found.of_mark[k + 1] for k in range(0, len(marks), 2))
    assert len(set(found.of_mark)) == FIGURES.held_out_folds


def test_passages_are_enough_at_their_bounds() -> None:
    """Two equal passages where two are asked for, none over half of the marks."""
    part, _, _ = part_of("E6 F#6 G6 F#6 D6 F#6 A6 F#6", dict.fromkeys((1, 3, 5, 7), F_SHARP))
    part = in_bars(part, 4)
    for least, share, by in ((2, 0.5, PASSAGE), (3, 0.5, FIGURE), (2, 0.49, FIGURE)):
        figures = replace(FIGURES, passage_bars=1, least_groups=least, largest_group_share=share)
        found = folds([part], figures)
        assert found is not None
        assert found.by == by


def test_the_same_figure_is_never_learnt_from_and_tried() -> None:
    """Marks of one figure share a fold, in however many passages they stand."""
    line = "E6 F#6 G6 A5 D6 F#6 A6 B5 " * 3 + "C6 F#6 B5 F#6 G5 F#6 D5 F#6"
    part, _, _ = part_of(line, {k: F_SHARP for k, name in enumerate(line.split()) if name == "F#6"})
    found = folds([in_bars(part, 8)], replace(FIGURES, passage_bars=1, largest_group_share=0.9))
    assert found is not None
    assert found.by == FIGURE
    first, second = (found.of_mark[k:6:2] for k in (0, 1))
    assert len(set(first)) == len(set(second)) == 1


def test_too_few_different_places_give_no_folds() -> None:
    """One figure again and again could only be learnt from and tried on itself."""
    part, _, _ = part_of("E6 F#6 G6 A5 " * 12, {4 * k + 1: F_SHARP for k in range(12)})
    assert folds([in_bars(part, 4)], FIGURES) is None
