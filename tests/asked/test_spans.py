"""Which notes a span or a rule is for."""

from dataclasses import replace

import pytest
from tests.oracles.flutes import number
from tests.oracles.passages import played

from gripway.asked.spans import places_of, places_of_rule, reach_outside, whole_span
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.rule import Holds, Rule, Span, When

TWICE = played("E6 F#6 G#6 A6 E6 F#6 G#6 A6")


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
    ("span", "outside"),
    [
        (Span(True, "1", "4"), False),
        (Span(True, "0", "4"), True),
        (Span(True, "3", "5"), True),
        (Span(True, "3", "9999"), True),
        (Span(False, "1", "3"), False),
        (Span(False, "0", "2"), True),
        (Span(False, "2", "4"), True),
    ],
)
def test_a_span_that_reaches_outside_is_an_error(span: Span, outside: bool) -> None:
    """Bars before the first note may be rests; beyond the last note, or before bar 1, is outside."""
    notes = with_bars("3", "3", "4")
    assert bool(reach_outside(span, notes)) is outside
    if outside:
        with pytest.raises(RequestError, match="outside the passage"):
            whole_span(span, notes, "here")
    else:
        assert whole_span(span, notes, "here") == places_of(span, notes, "here")


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
