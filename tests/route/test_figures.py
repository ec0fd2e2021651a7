"""Which notes share a figure, and which notes a span or a rule is for."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import number
from tests.oracles.passages import played, with_ornament

from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.rule import Holds, Rule, Span, When
from gripway.route.figures import context_of, figures_of, places_of, places_of_rule

TWICE = played("E6 F#6 G#6 A6 E6 F#6 G#6 A6")


def test_a_figure_is_pitch_before_pitch_and_pitch_after() -> None:
    """The inner notes of a cell that returns belong together; its ends have other neighbours."""
    assert figures_of(TWICE.notes, range(8)) == ((1, 5), (2, 6))


def test_the_ends_of_a_passage_belong_to_no_figure() -> None:
    """They have no note before or after them."""
    assert context_of(TWICE.notes, 0) is None
    assert context_of(TWICE.notes, 7) is None


def test_length_and_ornament_part_a_figure_and_dynamics_and_slurs_do_not() -> None:
    """A longer note, or one with a trill, is another thing to play; a softer one is not."""
    longer = played("E6 F#6 G#6 A6 E6 F#6:1/4 G#6 A6")
    assert figures_of(longer.notes, range(8)) == ((2, 6),)
    trilled = with_ornament(TWICE, 5, "trill", "G#6")
    assert figures_of(trilled.notes, range(8)) == ((2, 6),)
    softer = played("f (E6 F#6 G#6 A6) r p E6 F#6 G#6 A6")
    assert figures_of(softer.notes, range(8)) == ((1, 5), (2, 6))


def test_notes_without_a_grip_are_left_out() -> None:
    """Only the places given take part."""
    assert figures_of(TWICE.notes, [0, 1, 2, 3, 4, 6, 7]) == ((2, 6),)


def with_bars(*bars: str) -> tuple[object, ...]:
    """The first notes of the cell in these bars."""
    return tuple(replace(note, bar=bar) for note, bar in zip(TWICE.notes, bars, strict=False))


def test_a_span_takes_bars_by_number_or_by_their_order() -> None:
    """Numbers reach over bars without notes; other names go by where they stand."""
    notes = with_bars("1", "1", "3", "4", "4")
    assert places_of(Span(True, "2", "3"), notes, "x") == {2}
    named = with_bars("1", "1a", "X2", "3")
    assert places_of(Span(True, "1a", "X2"), named, "x") == {1, 2}
    assert places_of(Span(False, "2", "3"), named, "x") == {1, 2}


def test_a_span_without_notes_says_where_the_passage_goes() -> None:
    """The error has the place it was given and the bars there are."""
    with pytest.raises(RequestError, match="no note of the passage lies in bars 7-9") as caught:
        places_of(Span(True, "7", "9"), with_bars("1", "2"), "here")
    assert (caught.value.place, "from 1 to 2" in caught.value.next_step) == ("here", True)


@pytest.mark.parametrize(
    ("when", "places"),
    [
        (When(), list(range(8))),
        (When(pitch=number("F#6")), [1, 5]),
        (When(before=number("G#6")), [1, 5]),
        (When(after=number("A6")), [4]),
        (When(run=(number("A6"), number("E6"))), [3, 4]),
        (When(run=(number("A6"), number("E6")), pitch=number("E6")), [4]),
        (When(dynamics=frozenset({"ff"})), []),
        (When(faster_than_ms=10.0), []),
        (When(span=Span(False, "2", "3")), [1, 2]),
        (When(slurred=False), list(range(8))),
    ],
)
def test_a_rule_is_for_the_notes_all_its_conditions_meet(when: When, places: list[int]) -> None:
    """Pitch, neighbours, run, dynamics, length, span and slur."""
    rule = Rule("own.toml: rule 1", when, "forbid", (Holds(Grip.parse("R2"), False),))
    assert places_of_rule(rule, TWICE.notes) == places
