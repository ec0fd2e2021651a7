"""Routes that differ, against every route there is and against a model for CP-SAT."""

from itertools import pairwise
from unittest.mock import patch

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.compare.test_front import line
from tests.oracles.differing import least_by_cp_sat
from tests.oracles.flutes import candidate, solver_of
from tests.oracles.fronts import Counted, distance
from tests.oracles.passages import passages, played
from tests.oracles.recount import columns_of
from tests.tiers import examples

from gripway.compare.alternatives import Choices, Distance, choices_of, counted_notes, usual_distance
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.route.joined import joined

SOLVER = solver_of()
TINY = passages(least=1, most=3, lowest=69, highest=96)


def choices(passage: Passage, most: int, notes: int | None = None, bar: str | None = None) -> Choices:
    """Other routes of a passage."""
    return choices_of(passage, joined(SOLVER.ground(passage)), most, Distance(notes, bar))


@settings(max_examples=examples(60), deadline=None)
@given(TINY, st.integers(1, 3), st.integers(1, 4))
def test_each_route_takes_what_it_says(passage: Passage, notes: int, most: int) -> None:
    """Every route of a short passage is looked at: none that differs takes less than is said to be sure."""
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    size = 1
    for column in counted.columns:
        size *= len(column)
    assume(0 < size < 5_000)
    found = choices(passage, most, notes)
    every = [(counted.truly(route), route) for route, _ in counted.routes()]
    best = counted.truly(found.yours)
    given_routes = [found.yours]
    for choice in found.others:
        far = [effort for effort, r in every if all(distance(passage, r, g) >= notes for g in given_routes)]
        more = max(0, min(far) - best)
        assert round(1000 * choice.effort_more) == max(0, counted.truly(choice.candidates) - best)
        assert round(1000 * choice.at_least) <= more <= round(1000 * choice.effort_more)
        assert choice.proved == (choice.at_least == choice.effort_more)
        assert all(distance(passage, choice.candidates, g) >= notes for g in given_routes)
        given_routes.append(choice.candidates)
    assert found.ended == (len(found.others) < most)
    if found.ended:
        assert not any(all(distance(passage, r, g) >= notes for g in given_routes) for _, r in every)


@settings(max_examples=examples(30), deadline=None)
@given(passages(least=5, most=14, lowest=60, highest=98), st.integers(1, 4))
def test_alternatives_differ_and_count_right(passage: Passage, notes: int) -> None:
    """Each is as far as asked from all before it and counted as its ledgers and its charges are.

    From one that is proved to the next, effort never falls.
    """
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    found = choices(passage, 3, notes)
    routes = [found.yours, *(choice.candidates for choice in found.others)]
    assert all(distance(passage, a, b) >= notes for k, b in enumerate(routes) for a in routes[:k])
    best = counted.truly(found.yours)
    for choice in found.others:
        assert max(0, counted.truly(choice.candidates) - best) == round(1000 * choice.effort_more)
        assert choice.at_least <= choice.effort_more
    proved = [choice.effort_more for choice in found.others if choice.proved]
    assert all(a <= b for a, b in pairwise(proved))


@pytest.mark.whole
@pytest.mark.parametrize(("count", "notes"), [(40, 3), (40, 10)])
def test_longer_lines_agree_with_cp_sat(count: int, notes: int) -> None:
    """A flow model for CP-SAT with charges, written apart, lies between the bound and what was found."""
    passage = line(count)
    counted = Counted(passage, SOLVER, columns_of(passage, SOLVER))
    found = choices(passage, 3, notes)
    routes, best = [found.yours], counted.truly(found.yours)
    for choice in found.others:
        more = max(0, least_by_cp_sat(counted, routes, notes) - best)
        assert round(1000 * choice.at_least) <= more <= round(1000 * choice.effort_more)
        routes.append(choice.candidates)


def test_a_note_played_again_counts_once() -> None:
    """Of a written note only the first time through counts."""
    once = played("E6 F#6 G#6 E6 F#6 G#6", 100.0)
    again = Passage(
        tuple(n if k < 3 else _with_id(n, once.notes[k - 3].id) for k, n in enumerate(once.notes))
    )
    assert counted_notes(again, range(6), None) == [True] * 3 + [False] * 3
    found = choices(again, 2, 3)
    for choice in found.others:
        assert distance(again, choice.candidates, found.yours) >= 3


def _with_id(note: object, name: str) -> object:
    from dataclasses import replace

    return replace(note, id=name, time_through=2)


def test_only_the_chosen_bar_counts() -> None:
    """In a chosen bar one note is enough, and no difference elsewhere will do."""
    from dataclasses import replace

    plain = line(12)
    passage = replace(plain, notes=tuple(replace(n, bar=str(1 + k // 4)) for k, n in enumerate(plain.notes)))
    found = choices(passage, 3, bar="2")
    assert (found.differ, len(found.others)) == (1, 3)
    routes = [found.yours, *(choice.candidates for choice in found.others)]
    for k, route in enumerate(routes):
        for other in routes[:k]:
            assert any(
                (a.row_grip, a.kind) != (b.row_grip, b.kind)
                for a, b in zip(route[4:8], other[4:8], strict=True)
            )


def test_a_bar_that_is_not_there_is_an_error() -> None:
    """With the bars there are."""
    with pytest.raises(RequestError, match="no bar 9"):
        choices(played("E6 F#6"), 1, bar="9")


def test_fewer_than_asked_is_no_error() -> None:
    """Where the grips run out it is said that there are no more."""
    found = choices(played("D6:1/9 E6:1/9"), 2000, 2)
    assert found.ended
    assert 0 < len(found.others) < 2000


def test_one_note_has_no_route_that_differs_in_two() -> None:
    """More notes than there are can never differ: none, and that is sure."""
    found = choices(played("E6"), 3, 2)
    assert (found.others, found.ended) == ((), True)


def test_free_fingers_are_no_other_grip() -> None:
    """Alternatives of a held B-flat do not come from where lifted fingers rest."""
    found = choices(played("Bb5:1/2"), 20, 1)
    names = [(c.row_grip, c.kind) for c in (found.yours[0], *(o.candidates[0] for o in found.others))]
    assert len(names) == len(set(names)) > 1
    assert candidate("A#5").row_grip in {name for name, _ in names}


def test_what_is_proved_and_what_is_not() -> None:
    """Between two notes it is proved that none takes less; in a long line a lower bound stands beside it."""
    short, long = choices(played("E6:1/2 F#6:1/2"), 1, 1), choices(line(60), 2, 8)
    assert [choice.proved for choice in short.others] == [True]
    assert not all(choice.proved for choice in long.others)
    assert all(choice.proved == (choice.at_least == choice.effort_more) for choice in long.others)


def test_a_search_with_few_labels_is_no_better() -> None:
    """With few labels and rounds the lower bound is no higher than what the whole search finds."""
    passage = line(40)
    exact = choices(passage, 1, 3)
    with (
        patch("gripway.compare.alternatives_search.MOST_LABELS", 3),
        patch("gripway.compare.alternatives_search.ROUNDS", 2),
    ):
        rough = choices(passage, 1, 3)
    assert rough.others[0].at_least <= exact.others[0].effort_more


@pytest.mark.parametrize(("notes", "usual"), [(0, 1), (1, 1), (9, 2), (34, 3), (80, 8), (500, 10)])
def test_usual_distance(notes: int, usual: int) -> None:
    """A tenth of the notes, from 2 to 10, and no more than there are."""
    assert usual_distance(notes) == usual
