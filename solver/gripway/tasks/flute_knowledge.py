"""What tables and model know of an instrument, for one player: the ground every task stands on."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from gripway.candidates.candidates import Candidates, FluteKnowledge
from gripway.catalog.cache_folder import digest, kept_as
from gripway.catalog.flute.grips import allowed, grip_rows
from gripway.catalog.flute.instruments import has_bore
from gripway.catalog.flute.trills import trill_rows
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.own_time_tables import own_tables
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.model.survey import Survey


def knowledge_of(instrument: Instrument, player: Player = PLAIN_PLAYER) -> FluteKnowledge:
    """Everything the tables say of an instrument, for one player."""
    rows, trills = grip_rows(instrument), trill_rows(instrument)
    tables = own_tables(effort_tables(), player)
    return FluteKnowledge(instrument, rows, trills, tables, player, survey_of(instrument))


@cache
def survey_of(instrument: Instrument) -> Survey | None:
    """The acoustic model's word on an instrument's grips, kept between runs; None where no bore is known."""
    if not has_bore(instrument):
        return None
    asked = AskedGrips.of(instrument)
    return kept_as(survey_name(instrument, asked), lambda: survey_data(instrument, asked), _whole_survey)


def survey_name(instrument: Instrument, asked: "AskedGrips") -> str:
    """The name a survey is kept under: flute, parts, and a digest of all it depends on."""
    state = digest(
        asked.text(instrument), code=("gripway.acoustics.make_survey",), tables=("acoustics", "instruments")
    )
    return f"survey-{instrument.id}-{'-'.join(instrument.parts) or 'plain'}-{state}"


@dataclass(frozen=True, slots=True)
class AskedGrips:
    """The grips the model is asked about, by note number, and those it measures them from."""

    grips: Mapping[int, tuple[Grip, ...]]
    standards: Mapping[int, Grip]

    @classmethod
    def of(cls, instrument: Instrument) -> "AskedGrips":
        """All grips of an instrument that may be proposed."""
        book = Candidates(
            FluteKnowledge(
                instrument, grip_rows(instrument), trill_rows(instrument), effort_tables(), PLAIN_PLAYER
            )
        )
        pitches = range(instrument.lowest, instrument.highest + 1)
        standard = {pitch: book.standard_row(pitch) for pitch in pitches}
        return cls(
            {pitch: tuple(row.grip for row in book.usable(pitch)) for pitch in pitches},
            {pitch: row.grip for pitch, row in standard.items() if row and allowed(row, instrument)},
        )

    def text(self, instrument: Instrument) -> str:
        """Instrument and grips, as what is kept of them depends on them."""
        grips = (
            f"{pitch} {' '.join(str(grip.mask) for grip in grips)}" for pitch, grips in self.grips.items()
        )
        standards = (f"{pitch}: {grip.mask}" for pitch, grip in self.standards.items())
        return "\n".join((instrument.id, *instrument.parts, *grips, *standards))


def _whole_survey(data: Mapping[str, Any]) -> Survey:
    """A kept survey; ValueError for one that says nothing, which would silence the model."""
    found = Survey.of_data(data)
    if not found.verdicts:
        raise ValueError("an empty survey")
    return found


def survey_data(instrument: Instrument, asked: AskedGrips) -> dict[str, Any] | None:
    """The survey, worked out anew: here the model and numpy are loaded."""
    from gripway.acoustics.make_survey import survey

    grips = [(pitch, grip) for pitch, grips in asked.grips.items() for grip in grips]
    found = survey(instrument, grips, asked.standards)
    return found.data() if found is not None else None
