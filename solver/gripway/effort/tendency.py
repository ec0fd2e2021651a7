"""Tendency: where a grip's pitch leans, from the best that is known about it.

The player's own tuner beats what is taught, what is taught beats what is modelled, and where
nothing is known the standard grip of the pitch is assumed, with a wide spread and said so, but not
for a harmonic, of which nothing is said then.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from gripway.catalog.effort_figures import Figures
from gripway.catalog.grips import GripRow, Lean
from gripway.effort.candidate import Tendency
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
    if measured := own.get((row.pitch, row.grip)):
        difference = measured.cents - (base.cents or 0.0)
        return Tendency(measured.cents, measured.spread_cents, difference, "measured")
    model = modelled(row)
    if lean := _best(row.lean, model):
        return _disputed(_from_lean(lean, base, figures), model, figures)
    if row.kind == "harmonic":  # its partial may be far from the standard grip's pitch
        return NOTHING_KNOWN
    return Tendency(base.cents, figures.unknown_spread, None, "judgement")


def _best(curated: Lean | None, model: Lean | None) -> Lean | None:
    """What is taught or measured beats the model, the model beats what is only recalled."""
    if curated is not None and curated.how in ("taught", "measured"):
        return curated
    return model or curated


def _disputed(found: Tendency, model: Lean | None, figures: Figures) -> Tendency:
    """The tendency, with the model's word beside it where the two differ by more than both allow."""
    if model is None or found.source == "modelled" or found.vs_standard is None:
        return found
    apart = abs(model.cents - found.vs_standard)
    allowed = (found.spread_cents or 0.0) + model.spread_cents
    return replace(found, disputed=model.cents) if apart > max(allowed, figures.lean_lip) else found


def _standard_tendency(
    standard: GripRow, own: Mapping[tuple[int, Grip], OwnCents], figures: Figures
) -> Tendency:
    if measured := own.get((standard.pitch, standard.grip)):
        return Tendency(measured.cents, measured.spread_cents, 0.0, "measured")
    lean = standard.lean
    if lean is None or lean.basis != "tempered":
        return Tendency(0.0, figures.standard_spread, 0.0, "judgement")
    return Tendency(lean.cents, lean.spread_cents, 0.0, lean.how)


def _from_lean(lean: Lean, base: Tendency, figures: Figures) -> Tendency:
    """Tendency of a grip that is not the standard one, from its lean on either basis."""
    base_cents, base_spread = base.cents or 0.0, base.spread_cents or 0.0
    if lean.basis == "tempered":
        return Tendency(lean.cents, lean.spread_cents, lean.cents - base_cents, lean.how)
    spread = (lean.spread_cents**2 + base_spread**2) ** 0.5
    return Tendency(base_cents + lean.cents, round(spread, 1), lean.cents, lean.how)
