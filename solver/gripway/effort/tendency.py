"""Tendency: where a grip's pitch leans, as the expected value over all that is known about it.

The player's own tuner stands alone, and a difference from the standard grip that was measured side by
side counts over its cents. Else the direction teachers name (its size is ours and its
range wide) and the acoustic model are weighed together, each by how narrow its range is; the
range that comes out covers both and how far they are apart. The number that is shown is the number the
search uses. Where nothing is known the standard grip of the pitch is assumed, with a wide range
and said so, but not for a harmonic, of which nothing is said then.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import hypot, sqrt

from gripway.catalog.flute.grips import GripRow, Lean
from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.candidate import Tendency
from gripway.effort.lean_effort import NINETY_PERCENT
from gripway.model.grip import Grip
from gripway.model.player import OwnCents

ModelledLean = Callable[[GripRow], Lean | None]
"""The place where the acoustic model comes in: a lean against the standard grip, or None."""

NOTHING_KNOWN = Tendency(None, None, None, "unknown")


def no_model(row: GripRow) -> Lean | None:
    """The modelled lean without an acoustic model: what a table row itself carries."""
    return row.modelled


def tendency(
    row: GripRow,
    standard: GripRow,
    own: Mapping[tuple[int, Grip], OwnCents],
    figures: Figures,
    modelled: ModelledLean = no_model,
) -> Tendency:
    """The tendency of a table row, measured from the standard row of the same pitch."""
    base = _standard_tendency(standard, own, figures)
    if row.grip == standard.grip:
        return base
    base_cents, base_spread = base.cents or 0.0, base.spread_cents or 0.0
    measured = own.get((row.pitch, row.grip))
    if measured and measured.vs_standard is not None:
        cents = round(base_cents + measured.vs_standard, 1)
        versus = measured.spread_cents if measured.vs_spread_cents is None else measured.vs_spread_cents
        spread = round(hypot(versus, base_spread), 1)
        return Tendency(cents, spread, measured.vs_standard, "measured", versus)
    if measured:
        spread = round(hypot(measured.spread_cents, base_spread), 1)
        return Tendency(
            measured.cents, measured.spread_cents, measured.cents - base_cents, "measured", spread
        )
    model = modelled(row)
    if leans := _heard(row.lean, model):
        found = _weighed(leans, base_cents, base_spread)
        disputed = "disputed" in row.flags or _on_two_sides(leans, base_cents, figures)
        return replace(found, disputed=model.cents) if model is not None and disputed else found
    if row.kind == "harmonic":  # its partial may be far from the standard grip's pitch
        return NOTHING_KNOWN
    return Tendency(base.cents, figures.unknown_spread_cents, None, "judgement")


def _standard_tendency(
    standard: GripRow, own: Mapping[tuple[int, Grip], OwnCents], figures: Figures
) -> Tendency:
    if measured := own.get((standard.pitch, standard.grip)):
        return Tendency(measured.cents, measured.spread_cents, 0.0, "measured", 0.0)
    lean = standard.lean
    if lean is None or lean.basis != "tempered":
        return Tendency(0.0, figures.standard_spread_cents, 0.0, "judgement", 0.0)
    return Tendency(lean.cents, lean.spread_cents, 0.0, lean.how, 0.0, word=lean.word)


def _heard(said: Lean | None, model: Lean | None) -> tuple[Lean, ...]:
    """The sources that speak, a word first: a judgement of both alone, else what is taught and the model.

    What a row carries of our own estimate is the model's word over again and is not heard beside it.
    """
    if said is not None and said.how == "judgement":
        return (said,)
    if said is not None and said.how == "taught":
        return (said,) if model is None else (said, model)
    return tuple(filter(None, (model or said,)))


def _on_two_sides(leans: tuple[Lean, ...], base_cents: float, figures: Figures) -> bool:
    """Whether two sources lie far apart and on different sides: a word's direction counts, not our size."""
    versus = [_versus(lean, base_cents) for lean in leans]
    apart = max(versus) - min(versus)
    return versus[0] * versus[-1] <= 0.0 and apart > max(
        sum(lean.spread_cents for lean in leans), figures.lean_lip_cents
    )


def _versus(lean: Lean, base_cents: float) -> float:
    """Cents of a lean against the standard grip."""
    return lean.cents - base_cents if lean.basis == "tempered" else lean.cents


def _weighed(leans: tuple[Lean, ...], base_cents: float, base_spread: float) -> Tendency:
    """The expected lean over one or two sources, against the standard grip and from equal temperament."""
    versus = [_versus(lean, base_cents) for lean in leans]
    against = [_spread(lean, base_spread, "standard") for lean in leans]
    tempered = [_spread(lean, base_spread, "tempered") for lean in leans]
    weights = _weights(against)
    mean = sum(weight * cents for weight, cents in zip(weights, versus, strict=True))
    apart = sum(weight * (cents - mean) ** 2 for weight, cents in zip(weights, versus, strict=True))
    vs_spread, spread = (_range(weights, spreads, apart) for spreads in (against, tempered))
    cents, said = round(base_cents + mean, 1), leans[0]
    return Tendency(cents, spread, round(mean, 1), said.how, vs_spread, word=said.word)


def _spread(lean: Lean, base_spread: float, basis: str) -> float:
    """The range of a lean counted on a basis: on the other one that of the standard grip comes to it."""
    return lean.spread_cents if lean.basis == basis else hypot(lean.spread_cents, base_spread)


def _weights(spreads: list[float]) -> list[float]:
    """Shares of sources by how narrow they are; one without any range stands alone."""
    if 0.0 in spreads:
        sure = spreads.index(0.0)
        return [float(place == sure) for place in range(len(spreads))]
    narrow = [1.0 / spread**2 for spread in spreads]
    return [each / sum(narrow) for each in narrow]


def _range(weights: list[float], spreads: list[float], apart: float) -> float:
    """Half the nine-tenths range of a mixture: the sources' own ranges, and their variance `apart`."""
    inside = sum(weight * spread**2 for weight, spread in zip(weights, spreads, strict=True))
    return round(sqrt(inside + NINETY_PERCENT**2 * apart), 1)
