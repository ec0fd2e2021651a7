"""Grips that are known from trills: new rows for the route, and partners for the rows it has.

A trill pair names two grips for motion between two pitches. Where the grip tables have the
grip already, the pair only tells what it is good for; where they do not, the pair adds a row
of kind trill, which the route may use next to its partner.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from gripway.catalog.flute.grips import GripRow, Lean
from gripway.catalog.flute.trills import TrillRow
from gripway.model.grip import Grip

Side = tuple[int, Grip, int, float | None]
"""Pitch, its grip in the pair, the partner pitch, and the lean in cents (None: not said)."""


def with_trill_grips(
    rows: Mapping[int, tuple[GripRow, ...]], trills: Mapping[tuple[int, int], tuple[TrillRow, ...]]
) -> dict[int, tuple[GripRow, ...]]:
    """All rows by pitch, with trill partners joined in; table rows first, trill rows after."""
    joined = {(row.pitch, row.grip): row for column in rows.values() for row in column}
    partners: dict[tuple[int, Grip], list[int]] = {}
    for pair in (pair for pairs in trills.values() for pair in pairs):
        for pitch, grip, partner, cents in _sides(pair):
            if (pitch, grip) not in joined:
                joined[pitch, grip] = _trill_row(pair, pitch, grip, cents, len(joined))
            partners.setdefault((pitch, grip), []).append(partner)
    for key, more in partners.items():
        joined[key] = replace(joined[key], partners=joined[key].partners.union(more))
    result: dict[int, list[GripRow]] = {}
    for (pitch, _), row in joined.items():
        result.setdefault(pitch, []).append(row)
    return {pitch: tuple(column) for pitch, column in result.items()}


def _sides(pair: TrillRow) -> Iterator[Side]:
    if "no-good-trill" not in pair.flags and pair.lower_grip is not None and pair.upper_grip is not None:
        yield pair.lower, pair.lower_grip, pair.upper, pair.lower_cents
        yield pair.upper, pair.upper_grip, pair.lower, pair.upper_cents


def _trill_row(pair: TrillRow, pitch: int, grip: Grip, cents: float | None, place: int) -> GripRow:
    lean = None if cents is None else Lean(cents, pair.spread_cents, pair.basis, pair.lean_how)
    return GripRow(
        pitch=pitch,
        grip=grip,
        kind="trill",
        for_=frozenset({"motion"}),
        partners=frozenset(),
        use=pair.remark,
        lean=lean,
        modelled=lean if lean is not None and lean.how == "modelled" and lean.basis == "standard" else None,
        response="airy" if "airy" in pair.flags else "",
        partial=None,
        partial_of=None,
        in_passing=False,
        needs=pair.needs,
        flags=frozenset(),
        confidence=pair.confidence,
        sources=pair.sources,
        how=pair.how,
        place=place,
    )
