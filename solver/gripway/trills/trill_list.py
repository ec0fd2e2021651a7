"""The pairs of two pitches with all that is known of them: the answer to `gripway trill`."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from gripway.candidates.cents import cents_data
from gripway.catalog.tables.trill_pairs import PairFigures, pair_figures
from gripway.csv_text import flat
from gripway.display import Shown, brief, counted, rounded
from gripway.effort.candidate import Candidate
from gripway.model.pitch import Pitch
from gripway.trills.pair import FOUND, Pair, interval_text
from gripway.trills.ranking import NO_GOOD, lean_of

if TYPE_CHECKING:
    import pandas as pd

SIDES = ("lower", "upper")
WEAK = frozenset({"weak", "airy", "undertone", "hardly-speaks"})
"""Words of response that a trill suffers from."""

OWN_WORDS = frozenset(
    {
        "lower-flat",
        "lower-sharp",
        "upper-flat",
        "upper-sharp",
        "slow",
        "resistant",
        "airy",
        "undertone",
        "weak",
    }
)
"""Flags of a printed row that are said from the pair itself."""


@dataclass(frozen=True, slots=True)
class TrillList(Shown):
    """The pairs for a trill or tremolo between two pitches, best first.

    `problem` says why there are none, `remarks` what a player should know of the whole.
    """

    lower: Pitch
    upper: Pitch
    instrument: str
    pairs: tuple[Pair, ...]
    problem: str = field(default="")
    remarks: tuple[str, ...] = field(default=())

    def __repr__(self) -> str:
        return brief(
            self,
            f"{self.lower.name} {self.upper.name}",
            self.instrument,
            counted(len(self.pairs), "pair"),
            self.problem,
        )


def pair_flags(pair: Pair) -> list[str]:
    """What speaks against a pair, or must be known of it."""
    figures, row = pair_figures(), pair.said
    flags = [f"needs {part}" for part in pair.lacking]
    flags += ["no good trill known"] if row is not None and NO_GOOD in row.flags else []
    flags += [*_leans(pair, figures)]
    flags += ["thumb slide"] if pair.change.thumb_slide else []
    flags += (
        ["slow"]
        if pair.notes_per_s < figures.slow_notes_a_second or (pair.row and "slow" in pair.row.flags)
        else []
    )
    flags += [*_responses(pair)]
    if pair.kind == FOUND:
        flags.append("model only, unconfirmed")
    elif any("unconfirmed" in c.flags for c in (pair.lower, pair.upper)):
        flags.append("unconfirmed grip")
    if any(c.disputed for c in (pair.lower, pair.upper)):
        flags.append("disputed: teachers and model differ")
    own = sorted(row.flags - OWN_WORDS - {NO_GOOD}) if row is not None else []
    return flags + [flag.replace("-", " ") for flag in own]


def _leans(pair: Pair, figures: PairFigures) -> list[str]:
    flags = []
    for side, candidate in zip(SIDES, (pair.lower, pair.upper), strict=True):
        lean = lean_of(candidate)
        if lean is not None and abs(lean) >= figures.flag_cents:
            flags.append(f"{side} note {'flat' if lean < 0 else 'sharp'}")
    return flags


def _responses(pair: Pair) -> list[str]:
    """Weak or resistant notes, by the grips or by the printed row."""
    said = {candidate.response for candidate in (pair.lower, pair.upper)}
    said |= pair.said.flags if pair.said is not None else set()
    flags = ["weak response"] if said & WEAK else []
    return flags + (["resistant"] if "resistant" in said else [])


def trill_list_data(found: TrillList) -> dict[str, Any]:
    """The list as the JSON object that `gripway trill --format json` prints."""
    data: dict[str, Any] = {
        "lower": found.lower.name,
        "upper": found.upper.name,
        "instrument": found.instrument,
        "pairs": [pair_data(pair) for pair in found.pairs],
        "remarks": list(found.remarks),
    }
    return data | {"problem": found.problem} if found.problem else data


def pair_data(pair: Pair) -> dict[str, Any]:
    """One entry of `pairs`."""
    lower, upper = pair.lower, pair.upper
    return {
        "lower_grip": lower.grip.text,
        "upper_grip": upper.grip.text,
        "movers": list(pair.movers),
        "moves": dict(pair.change.movers),
        "one_finger": len(pair.movers) == 1,
        **_cents("lower", lower),
        **_cents("upper", upper),
        "interval": interval_text(pair),
        "interval_error_cents": rounded(pair.width_error_cents),
        "change_ms": round(pair.change.alternating_ms, 1),
        "notes_per_s": round(pair.notes_per_s, 1),
        "lower_response": lower.response or None,
        "upper_response": upper.response or None,
        "on_the_way": list(pair.strays),
        "requires": list(pair.requires),
        "kind": pair.kind,
        "source": " ".join(pair.sources),
        "confidence": pair.said.confidence if pair.said is not None else "",
        "remark": pair.remark,
        "points": round(pair.points, 3),
        "parts": dict(pair.parts),
        "flags": pair_flags(pair),
    }


def _cents(side: str, candidate: Candidate) -> dict[str, Any]:
    """What is known of one note's pitch, under the keys of its side."""
    known = cents_data(candidate)
    named = {key.replace("cents", f"{side}_cents", 1): value for key, value in known.items()}
    return named | {f"{side}_lineage": candidate.lineage}


def trill_frame(found: TrillList) -> "pd.DataFrame":
    """The pairs as a pandas frame, one row a pair; lists become text."""
    import pandas as pd

    return pd.DataFrame(pair_rows(found))


def pair_rows(found: TrillList) -> list[dict[str, Any]]:
    """The pairs as plain rows; lists are text."""
    return [{k: flat(v) for k, v in pair_data(pair).items()} for pair in found.pairs]
