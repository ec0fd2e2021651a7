"""What tables and model know of an instrument, for one player: the ground every task stands on."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from gripway.asked.wishes import Wishes
from gripway.candidates.candidates import Candidates, Shelf
from gripway.candidates.found_shelf import Beside, with_found
from gripway.catalog.flute.bores import has_bore
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.flute.trills import trill_rows
from gripway.catalog.kept import digest, kept_as
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.model.survey import Survey
from gripway.route.solve import Solver

FOUND_IN_ROUTE = 4
"""How many found grips a pitch gets in a route."""


def shelf(instrument: Instrument, player: Player = PLAIN_PLAYER) -> Shelf:
    """Everything the tables say of an instrument, for one player."""
    rows, trills = grip_rows(instrument), trill_rows(instrument)
    return Shelf(instrument, rows, trills, effort_tables(), player, survey_of(instrument))


@cache
def survey_of(instrument: Instrument) -> Survey | None:
    """The acoustic model's word on an instrument's grips, kept between runs; None where no bore is known."""
    if not has_bore(instrument):
        return None
    here = Path(__file__).parent.parent
    code, also = (
        here / "acoustics" / "survey.py",
        tuple(here / room / "__init__.py" for room in ("catalog", "model", "candidates")),
    )
    parts = "-".join(instrument.parts) or "plain"
    name = f"survey-{instrument.id}-{parts}-{digest(instrument.id, *instrument.parts, code=code, also=also)}"
    return kept_as(name, lambda: _survey_data(instrument), _whole_survey)


def _whole_survey(data: Mapping[str, Any]) -> Survey:
    """A kept survey; ValueError for one that says nothing, which would silence the model."""
    found = Survey.of_data(data)
    if not found.verdicts:
        raise ValueError("an empty survey")
    return found


def _survey_data(instrument: Instrument) -> dict[str, Any] | None:
    """The survey, worked out anew: here the model and numpy are loaded."""
    from gripway.acoustics.survey import survey

    rows, trills = grip_rows(instrument), trill_rows(instrument)
    book = Candidates(Shelf(instrument, rows, trills, effort_tables(), PLAIN_PLAYER))
    pitches = range(instrument.lowest, instrument.highest + 1)
    standard = {pitch: book.standard_row(pitch) for pitch in pitches}
    standards = {pitch: row.grip for pitch, row in standard.items() if row and allowed(row, instrument)}
    grips = [(pitch, row.grip) for pitch in pitches for row in book.usable(pitch)]
    found = survey(instrument, grips, standards)
    return found.data() if found is not None else None


def solver(instrument: Instrument, wishes: Wishes, beside: Beside | None = None) -> Solver:
    """A solver for one flute and the wishes of one player (bans from both are joined).

    `beside` has the pitches that found grips are looked for, when they are asked for, each with
    the pitches before and after it.
    """
    return Solver(wished_shelf(instrument, wishes, beside or {})[0])


def wished_shelf(instrument: Instrument, wishes: Wishes, beside: Beside) -> tuple[Shelf, Remark | None]:
    """The shelf that wishes ask for, and a remark on found grips that cannot be had."""
    player = replace(wishes.player, bans=(*wishes.player.bans, *wishes.bans))
    known = shelf(instrument, player)
    return (known, None) if wishes.found is None else with_found(known, beside, wishes.found, FOUND_IN_ROUTE)
