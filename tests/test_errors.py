"""The error tree: every error says what, where and what next."""

import inspect

import pytest

from gripway import errors
from gripway.errors import GripwayError, NotationError, ScoreError

FAMILY = [c for _, c in inspect.getmembers(errors, inspect.isclass) if c.__module__ == errors.__name__]


@pytest.mark.parametrize("kind", FAMILY, ids=lambda kind: kind.__name__)
def test_every_error_descends_from_the_one_root(kind: type[Exception]) -> None:
    """Catching GripwayError catches every error of the project."""
    assert issubclass(kind, GripwayError)


@pytest.mark.parametrize("kind", FAMILY, ids=lambda kind: kind.__name__)
def test_every_error_carries_its_facts(kind: type[GripwayError]) -> None:
    """What, place and next step are there as data, and the text tells them in that order."""
    error = kind("no such bar", place="tune.musicxml:12", next_step="Name a bar from 1 to 9")
    assert (error.what, error.place, error.next_step) == (
        "no such bar",
        "tune.musicxml:12",
        "Name a bar from 1 to 9",
    )
    assert str(error) == "tune.musicxml:12: no such bar. Name a bar from 1 to 9"


def test_an_error_without_place_or_next_step_is_plain() -> None:
    """Where there is no place and no next step, the text is only what is wrong."""
    assert str(GripwayError("no such bar")) == "no such bar"


def test_a_slip_in_the_notation_is_a_fault_of_the_score() -> None:
    """Whoever handles score errors handles those of the one-line notation too."""
    assert issubclass(NotationError, ScoreError)


@pytest.mark.parametrize("kind", FAMILY, ids=lambda kind: kind.__name__)
def test_the_tree_drawn_in_the_module_shows_every_error(kind: type[Exception]) -> None:
    """The drawing at the top of the module leaves no error out."""
    assert errors.__doc__ is not None
    assert kind.__name__ in errors.__doc__
