"""Found grips as rows, so that the list of grips and the route treat them like any other.

Here the route's floor loads the model and numpy: a found grip is worked out when it is asked for.
"""

from collections.abc import Iterable, Mapping, Sequence

from gripway.acoustics.atlas import atlas, reachable_patterns
from gripway.acoustics.end_corrections import PlayerTerm
from gripway.acoustics.ladder import Tube
from gripway.acoustics.pitch_lean import Sought, ensemble, verdicts
from gripway.asked.found_wishes import FoundWishes
from gripway.candidates.found_grips import FoundGrip, found_grips
from gripway.candidates.model_opinion import response_of
from gripway.candidates.model_row import model_row
from gripway.catalog.flute.bores import bores
from gripway.catalog.flute.grips import GripRow, Lean
from gripway.catalog.flute.player_terms import player_term
from gripway.catalog.flute.regulation import regulation_cents
from gripway.catalog.tables.effort_figures import Figures
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.survey import Key, Verdict

FIRST_PLACE = 100_000

ASKED = 3
"""So many times the grips wanted are asked of the whole ensemble: some lie outside the window there."""


def tubes_of(instrument: Instrument) -> tuple[Tube, ...]:
    """Every tube of the ensemble, the nominal one first; RequestError where no bore is known."""
    known = bores(instrument)
    if not known:
        raise RequestError(
            f"there is no acoustic model of the {instrument.title}: no bore of it is sourced",
            next_step="No grip can be found for it",
        )
    return ensemble(known, [PlayerTerm(*player_term(bore.id)) for bore in known])


def found_rows(
    instrument: Instrument,
    printed: Mapping[int, Sequence[Grip]],
    near: Mapping[int, Sequence[Grip]],
    wishes: FoundWishes,
    figures: Figures,
    most: int,
) -> tuple[dict[int, tuple[GripRow, ...]], dict[Key, Verdict]]:
    """The best found grips of some pitches, at most so many each, as rows of kind found, and their verdicts.

    `printed` are the grips of each pitch that are known, the standard one first; `near` the
    standard grips of the notes beside it. Pitches the model claims nothing for have none; where
    no pitch has any, RequestError says why.
    """
    tubes = tubes_of(instrument)
    whole = atlas(instrument, tubes[0], reachable_patterns(instrument))
    found: list[tuple[int, FoundGrip]] = []
    refused: RequestError | None = None
    for pitch, grips in printed.items():
        try:
            best = found_grips(instrument, whole, pitch, grips, wishes, near.get(pitch, ()))
        except RequestError as problem:
            refused = problem
            continue
        found += [(pitch, one) for one in best[: most * ASKED]]
    if refused and not found:
        raise refused
    pattern = instrument.mechanism.hole_pattern
    sought = [Sought(pitch, one.pattern, pattern(printed[pitch][0])) for pitch, one in found]
    said = verdicts(instrument, tubes, sought, regulation_cents()) if sought else []
    rows: dict[int, tuple[GripRow, ...]] = {}
    heard: dict[Key, Verdict] = {}
    for (pitch, one), verdict in zip(found, said, strict=True):
        own = rows.get(pitch, ())
        if verdict is None or abs(verdict.vs_standard) > wishes.window_cents or len(own) == most:
            continue
        rows[pitch] = (*own, _row(pitch, one, verdict, figures, FIRST_PLACE + len(own)))
        heard[pitch, one.grip] = verdict
    return rows, heard


def _row(pitch: int, found: FoundGrip, verdict: Verdict, figures: Figures, place: int) -> GripRow:
    lean = Lean(round(verdict.vs_standard, 1), round(verdict.spread_cents, 1), "standard", "modelled")
    gap = "none" if found.gap_cents is None else f"{found.gap_cents:.0f} cents below"
    use = f"loss {found.loss_ratio:.2f} times the standard grip's, next lower note {gap}"
    response = response_of(verdict, found.kind, figures)
    return model_row(pitch, found.grip, found.kind, lean, response, use, place)


def known_grips(rows: Iterable[GripRow], standard: Grip) -> tuple[Grip, ...]:
    """The grips of some rows with the standard one first."""
    return (standard, *(row.grip for row in rows if row.grip != standard))
