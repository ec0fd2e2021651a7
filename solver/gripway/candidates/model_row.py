"""The row of a grip that only the model knows: unconfirmed, of low confidence, from no print."""

from gripway.catalog.flute.grips import GripRow, Lean
from gripway.model.grip import Grip

SOURCE = "own-model"


def model_row(
    pitch: int,
    grip: Grip,
    kind: str,
    lean: Lean,
    response: str,
    use: str,
    place: int,
    partner: int | None = None,
) -> GripRow:
    """A row for a grip of the model; with a `partner` it is for motion beside that pitch only."""
    return GripRow(
        pitch=pitch,
        grip=grip,
        kind=kind,
        for_=frozenset() if partner is None else frozenset({"motion"}),
        partners=frozenset() if partner is None else frozenset({partner}),
        use=use,
        lean=lean,
        modelled=lean,
        response=response,
        partial=None,
        partial_of=None,
        in_passing=False,
        needs=frozenset(),
        flags=frozenset({"unconfirmed"}),
        confidence="low",
        sources=(SOURCE,),
        how="modelled",
        place=place,
    )
