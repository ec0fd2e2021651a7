"""What counts as the same figure."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.oracles.passages import played, with_ornament

from gripway.model.figures import Context, Nearest, contexts, figure_places, figures, first_times
from gripway.model.passage import Passage
from gripway.tasks.scores import notes

STEP = 1.1


def test_a_context_is_before_here_after_and_the_written_length() -> None:
    """None where there is no note; rests are passed over; 76 is E5 (C4 = 60)."""
    found = contexts(notes("E5 r F5:1/8 E5").notes)
    assert found == (
        Context(None, 76, 77, Fraction(1, 16)),
        Context(76, 77, 76, Fraction(1, 8)),
        Context(77, 76, None, Fraction(1, 16)),
    )


def test_an_enharmonic_spelling_is_the_same_context() -> None:
    """Fingers do not read: G-sharp is A-flat."""
    assert contexts(notes("G#5 A5").notes) == contexts(notes("Ab5 A5").notes)


def test_surroundings_that_change_the_grip_make_another_figure() -> None:
    """Dynamic, slurs to either side, another tempo."""
    (plain,) = {figures(notes("E6 F#6 G6", tempo=100).notes, STEP)[1]}
    for line, tempo in (("p E6 F#6 G6", 100), ("(E6 F#6) G6", 100), ("E6 (F#6 G6)", 100), ("E6 F#6 G6", 120)):
        assert figures(notes(line, tempo=tempo).notes, STEP)[1] != plain, line
    assert figures(notes("C6 E6 F#6 G6", tempo=100).notes, STEP)[2] == plain


def tempos_of(*tempos: float) -> list[float]:
    """The tempo of the figure of one cell, at each of these tempos in one part."""
    cells = [notes("E6 F#6 G6", tempo=tempo).notes for tempo in tempos]
    return [figure.tempo for figure in figures([note for cell in cells for note in cell], STEP)[1::3]]


@pytest.mark.parametrize(
    ("tempos", "groups"),
    [
        ((107, 108), (107, 107)),
        ((108, 107), (107, 107)),
        ((98, 108), (98, 108)),
        ((100, 110), (100, 100)),
        ((100, 110.2), (100, 110.2)),
        ((100, 106, 112), (100, 100, 112)),
        ((112, 60, 100, 106, 200), (112, 60, 100, 100, 200)),
    ],
)
def test_tempos_within_a_tenth_of_the_slowest_are_one(
    tempos: tuple[float, ...], groups: tuple[float, ...]
) -> None:
    """By the quotient, in whatever order they come; one farther away begins a group of its own."""
    assert tempos_of(*tempos) == pytest.approx(groups, abs=0.01)


def test_the_figure_of_another_part_is_the_nearest_in_tempo() -> None:
    """Within a step, of two as near the slower; none where dynamic or tempo part them."""
    (plain,) = {figures(notes("E6 F#6 G6", tempo=100).notes, STEP)[1]}
    others = [replace(plain, tempo=tempo) for tempo in (92.0, 105.0, 116.0)]
    alike = Nearest(others, STEP)
    assert alike.of(plain) == others[1]
    assert alike.of(replace(plain, tempo=115.0)) == others[2]
    assert alike.of(replace(plain, tempo=130.0)) is None
    assert alike.of(replace(plain, dynamic="pp")) is None
    assert Nearest([replace(plain, tempo=t) for t in (110.0, 100.0 / 1.1)], STEP).of(plain).tempo < 100  # type: ignore[union-attr]


def test_a_written_note_counts_once() -> None:
    """A repeat plays it again; the first time is the one that is marked."""
    passage = played("E6 F6").notes
    again = tuple(replace(note, time_through=2) for note in passage)
    assert first_times((*passage, *again)) == (0, 1)


TWICE = played("E6 F#6 G#6 A6 E6 F#6 G#6 A6")


def several(passage: Passage, whole: Passage | None = None) -> tuple[tuple[int, ...], ...]:
    """The figures of several notes."""
    places = figure_places(passage.notes, STEP, whole.notes if whole else None)
    return tuple(own for own in places.values() if len(own) > 1)


def test_a_figure_is_pitch_before_pitch_and_pitch_after() -> None:
    """The inner notes of a cell that returns belong together; its ends have other neighbours."""
    assert several(TWICE) == ((1, 5), (2, 6))


def test_the_ends_of_a_passage_belong_to_no_figure() -> None:
    """They have no note before or after them."""
    assert several(played("E6 F#6 E6 F#6 E6 F#6")) == ((1, 3), (2, 4))


def test_the_whole_part_says_what_stands_around_an_excerpt() -> None:
    """With it the ends belong to figures like any other note."""
    excerpt = replace(TWICE, notes=TWICE.notes[1:6])
    assert several(excerpt) == ()
    assert several(excerpt, TWICE) == ((0, 4),)


def test_length_ornament_dynamic_and_slurs_part_a_figure() -> None:
    """Each is another thing to play, and may ask for another grip."""
    assert several(played("E6 F#6 G#6 A6 E6 F#6:1/4 G#6 A6")) == ((2, 6),)
    assert several(with_ornament(TWICE, 5, "trill", "G#6")) == ((2, 6),)
    assert several(played("f E6 F#6 G#6 A6 p E6 F#6 G#6 A6")) == ()
    assert several(played("(E6 F#6 G#6 A6) E6 F#6 G#6 A6")) == ()


def test_a_repeat_plays_the_same_figure() -> None:
    """Whatever stands around a note when it is played again, its first time says its figure."""
    again = replace(played("C6 F#6 D6").notes[1], id=TWICE.notes[1].id)
    assert several(replace(TWICE, notes=(*TWICE.notes, again)))[0] == (1, 5, 8)
