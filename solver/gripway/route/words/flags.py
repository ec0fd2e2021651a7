"""What is to be watched on a note: words for a player, and the values in them for programs."""

from collections.abc import Iterator
from dataclasses import dataclass

from gripway.catalog.tables.effort_figures import Figures
from gripway.effort.candidate import Candidate
from gripway.effort.setting import Setting

LEAN, RESPONSE, UNCONFIRMED, MODEL_ONLY = "lean", "response", "unconfirmed", "model only"
DISPUTED, NEEDS = "disputed", "needs part"


@dataclass(frozen=True, slots=True)
class Flag:
    """One thing to watch: its kind, its words, and for a lean its cents with spread and source.

    Of a lean the cents are those at the note's dynamic, and `needs_help` says that it is too large to be
    lipped; of a dispute the cents are what the model says against the standard grip.
    """

    kind: str
    words: str
    cents: float | None = None
    spread_cents: float | None = None
    source: str | None = None
    needs_help: bool = False


def flags_of(candidate: Candidate, setting: Setting, figures: Figures) -> tuple[Flag, ...]:
    """What to watch on this note: the lean of its pitch, response, unconfirmed grips, parts needed."""
    flags = [*_leans(candidate, setting, figures)]
    if candidate.response not in ("", "easy", "plain"):
        flags.append(Flag(RESPONSE, f"response: {candidate.response}"))
    if "unconfirmed" in candidate.flags:
        flags.append(Flag(UNCONFIRMED, "unconfirmed grip"))
    if candidate.case == "found":
        flags.append(Flag(MODEL_ONLY, "known from a model only"))
    if candidate.disputed:
        flags.append(Flag(DISPUTED, candidate.disputed, candidate.tendency.disputed))
    flags += [Flag(NEEDS, f"needs {part}") for part in candidate.requires]
    return tuple(flags)


def _leans(candidate: Candidate, setting: Setting, figures: Figures) -> Iterator[Flag]:
    tendency = candidate.tendency
    if tendency.cents is None:
        return
    lean = tendency.cents + setting.drift_cents
    if abs(lean) <= figures.lean_same_cents:
        return
    way = "sharp" if lean > 0 else "flat"
    needs_help = abs(lean) > figures.lean_lip_cents
    advice = "needs help" if needs_help else "lip it"
    spread = f" ±{tendency.spread_cents:.0f}" if tendency.spread_cents is not None else ""
    soft_or_loud = " at this dynamic" if setting.drift_cents else ""
    words = f"{way} by about {abs(lean):.0f}{spread} cents{soft_or_loud} ({tendency.known}): {advice}"
    yield Flag(LEAN, words, lean, tendency.spread_cents, tendency.source, needs_help)
