"""What the acoustic model says, as the route uses it: leans, response, free fingers, ways between grips."""

from collections.abc import Iterable, Iterator

from gripway.acoustics.touch_holes import touch_holes
from gripway.acoustics.unsafe_ways import Crossings
from gripway.catalog.flute.grips import GripRow, Lean
from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.tendency import ModelledLean, no_model
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.survey import Survey, Verdict


def modelled_lean(survey: Survey | None) -> ModelledLean:
    """The lean of a table row by the model, against the standard grip; the table's own without one."""
    if survey is None:
        return no_model

    def lean(row: GripRow) -> Lean | None:
        verdict = survey.verdicts.get((row.pitch, row.grip))
        if verdict is None:
            return None
        return Lean(round(verdict.vs_standard, 1), round(verdict.spread_cents, 1), "standard", "modelled")

    return lean


def response_of(verdict: Verdict | None, kind: str, figures: Figures) -> str:
    """A word for the response of a grip nobody says anything of, by its loss; empty when it is plain."""
    if verdict is None or kind == "standard":
        return ""
    if verdict.loss_ratio >= figures.loss_weak_ratio:
        return "weak"
    return "resistant" if verdict.loss_ratio >= figures.loss_resistant_ratio else ""


def nearer(grip: Grip, variants: Iterable[Grip], neighbours: Iterable[Grip]) -> Iterator[Grip]:
    """The variants of a grip that only do what one of its neighbours does.

    A finger may stay down when that neighbour holds it down, and up when it has it up.
    """
    near = [other.mask ^ grip.mask for other in neighbours]
    for variant in variants:
        flips = variant.mask ^ grip.mask
        if any(flips & other == flips for other in near):
            yield variant


def crossings_of(instrument: Instrument, survey: Survey | None) -> Crossings | None:
    """What sounds on the way between grips; None without a model."""
    return None if survey is None else Crossings(touch_holes(instrument.mechanism), survey.sounds)
