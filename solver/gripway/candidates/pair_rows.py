"""Grips that only the model's pairs know, as rows: so that a trill's candidates have them like any other."""

from collections.abc import Mapping
from dataclasses import replace

from gripway.candidates.candidates import FluteKnowledge
from gripway.candidates.model_opinion import response_of
from gripway.candidates.model_row import model_row
from gripway.catalog.flute.grips import GripRow, Lean
from gripway.catalog.tables.effort_figures import Figures
from gripway.model.grip import Grip
from gripway.model.pair_survey import PairSurvey
from gripway.model.pitch import plain_name
from gripway.model.survey import Verdict

FIRST_PLACE = 200_000


def with_pairs(known: FluteKnowledge, survey: PairSurvey, lower: int, upper: int) -> FluteKnowledge:
    """What is known, with the new grips of the model's pairs of two pitches beside it."""
    rows: dict[int, dict[Grip, GripRow]] = {lower: {}, upper: {}}
    for pair in survey.pairs.get((lower, upper), ()):
        for pitch, grip, partner in ((lower, pair[0], upper), (upper, pair[1], lower)):
            verdict = survey.verdicts.get((pitch, grip))
            if verdict is not None and grip not in rows[pitch]:
                place = FIRST_PLACE + len(rows[pitch])
                rows[pitch][grip] = _row(pitch, grip, partner, verdict, known.tables.figures, place)
    found: Mapping[int, tuple[GripRow, ...]] = {p: tuple(of.values()) for p, of in rows.items() if of}
    if not found or known.survey is None:
        return known
    heard = {(pitch, grip): survey.verdicts[pitch, grip] for pitch, of in rows.items() for grip in of}
    return replace(
        known, found=found, survey=replace(known.survey, verdicts={**known.survey.verdicts, **heard})
    )


def _row(pitch: int, grip: Grip, partner: int, verdict: Verdict, figures: Figures, place: int) -> GripRow:
    lean = Lean(round(verdict.vs_standard, 1), round(verdict.spread_cents, 1), "standard", "modelled")
    use = f"near a grip of {plain_name(partner)} in the hand"
    response = response_of(verdict, "found", figures)
    return model_row(pitch, grip, "found", lean, response, use, place, partner)
