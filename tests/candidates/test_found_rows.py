"""Found grips as rows: so many a pitch, the best first, each with the verdict of the whole ensemble."""

from functools import cache

import pytest
from tests.oracles.flutes import number, solver_of

from gripway.asked.found_wishes import NO_WISHES, FoundWishes
from gripway.candidates.found_rows import FIRST_PLACE, found_rows, known_grips
from gripway.catalog.flute.grips import GripRow
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.errors import RequestError
from gripway.model.survey import Key, Verdict

FLUTE = load_instrument()
F_SHARP = number("F#6")
MOST = 2


@cache
def rows(most: int = MOST, wishes: FoundWishes = NO_WISHES) -> tuple[tuple[GripRow, ...], dict[Key, Verdict]]:
    """The found grips of F#6, and what the model says of each."""
    book = solver_of().book
    usable, standard = book.usable(F_SHARP), book.standard_row(F_SHARP)
    assert standard is not None
    printed = {F_SHARP: known_grips(usable, standard.grip)}
    found, heard = found_rows(FLUTE, printed, {}, wishes, effort_tables().figures, most)
    return found[F_SHARP], heard


def test_as_many_as_are_asked_for_in_places_of_their_own() -> None:
    """Two are asked for and two come, one place after the other, behind every row of the tables."""
    found, _ = rows()
    assert [row.place for row in found] == [FIRST_PLACE, FIRST_PLACE + 1]
    assert {row.kind for row in found} == {"found"}
    assert len({row.grip for row in found}) == MOST


def test_each_has_its_verdict_which_lies_in_the_window() -> None:
    """The lean of a row is the verdict's, rounded; none is farther from the standard grip than may be."""
    found, heard = rows()
    assert heard.keys() == {(F_SHARP, row.grip) for row in found}
    for row in found:
        said = heard[F_SHARP, row.grip]
        assert row.lean is not None
        assert (row.lean.cents, row.lean.spread_cents) == (
            round(said.vs_standard, 1),
            round(said.spread_cents, 1),
        )
        assert abs(said.vs_standard) <= NO_WISHES.window_cents


def test_fewer_are_the_first_of_more() -> None:
    """One is asked for: the first of two, at the same place."""
    assert rows(1)[0] == rows()[0][:1]


def test_the_printed_grips_are_not_among_them() -> None:
    """Nor is the standard one, which stands first among those that are known."""
    usable = solver_of().book.usable(F_SHARP)
    standard = next(row.grip for row in usable if row.kind == "standard")
    known = known_grips(usable, standard)
    assert known[0] == standard
    assert len({*known}) == len(known)
    assert not {row.grip for row in rows()[0]} & {*known}


def test_a_flute_without_a_bore_has_none() -> None:
    """Of the piccolo no tube is known: the error says that nothing can be found for it."""
    with pytest.raises(RequestError, match="no acoustic model") as error:
        found_rows(load_instrument("piccolo"), {}, {}, NO_WISHES, effort_tables().figures, MOST)
    assert "No grip can be found" in str(error.value.next_step)
