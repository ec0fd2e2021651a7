"""The grips of one pitch with all that is known of them: the answer to `gripway grips`."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from gripway.candidates.candidates import Candidates
from gripway.candidates.cents import cents_data
from gripway.catalog.flute.grips import GripRow, allowed
from gripway.catalog.tables.effort_figures import Figures
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.tendency import NOTHING_KNOWN
from gripway.errors import ImpossibleHoldError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.survey import Verdict

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class GripFact:
    """One grip of a pitch: its table row and, where this flute can play it, its candidate.

    `kind` is standard, alternate, trill, harmonic, vented or found; `flags` say what to watch.
    """

    row: GripRow
    candidate: Candidate | None
    flags: tuple[str, ...]

    @property
    def grip(self) -> Grip:
        """The grip itself."""
        return self.row.grip

    @property
    def kind(self) -> str:
        """The kind of the grip, as the table has it."""
        return self.row.kind

    def __repr__(self) -> str:
        return brief(self, self.grip.short, self.row.kind)


@dataclass(frozen=True, slots=True)
class GripList(Shown):
    """The grips of a pitch, standard first: `grips`, each with its `grip`, `kind`, `flags` and table `row`.

    `problem` says why there are none, `remark` what could not be added.
    """

    pitch: Pitch
    instrument: str
    grips: tuple[GripFact, ...]
    problem: str = field(default="")
    remark: str = field(default="")

    def __repr__(self) -> str:
        return brief(self, self.pitch.name, self.instrument, counted(len(self.grips), "grip"), self.problem)


def grip_list(pitch: Pitch, book: Candidates) -> GripList:
    """Every row of the tables for a pitch, playable ones first in their order."""
    facts = [_fact(row, book) for row in book.rows(pitch.number)]
    facts.sort(key=lambda fact: (fact.candidate is None, fact.row.kind != "standard"))
    problem = "" if any(fact.candidate for fact in facts) else book.why_none(pitch.number)
    return GripList(pitch, book.knowledge.instrument.id, tuple(facts), problem)


def _fact(row: GripRow, book: Candidates) -> GripFact:
    instrument = book.knowledge.instrument
    flags = [f"needs {part}" for part in sorted(row.needs - set(instrument.parts))]
    flags += sorted(flag.replace("-", " ") for flag in row.flags - {"base", "disputed"})
    if row.pitch > instrument.unsure_above and "unconfirmed" not in flags:
        flags.append("unconfirmed")
    if row.how == "modelled":
        flags.append("known from a model only")
    playable = allowed(row, instrument)
    figures = book.knowledge.tables.figures
    try:
        candidate = book.plain(row) if playable else None
        flags += model_flags(candidate, figures) if candidate else []
    except ImpossibleHoldError as problem:
        candidate = None
        flags.append(problem.what)
    if "disputed" in row.flags and not (candidate and candidate.disputed):
        flags.append("disputed")
    return GripFact(row, candidate, tuple(flags))


def model_flags(candidate: Candidate, figures: Figures) -> list[str]:
    """What the model warns of: a dispute with teachers, a note that is apt to drop."""
    flags = []
    if candidate.disputed:
        flags.append(candidate.disputed)
    gap = candidate.verdict.gap_cents if candidate.verdict else None
    if gap is not None and gap < figures.gap_narrow_cents:
        flags.append(f"apt to drop: the next lower note lies {gap:.0f} cents below (model)")
    return flags


def grip_list_data(found: GripList) -> dict[str, Any]:
    """The list as the JSON object that `gripway grips --format json` prints."""
    data: dict[str, Any] = {
        "pitch": found.pitch.name,
        "instrument": found.instrument,
        "grips": [_grip_data(fact) for fact in found.grips],
    }
    said = {"problem": found.problem, "remark": found.remark}
    return data | {key: text for key, text in said.items() if text}


def _grip_data(fact: GripFact) -> dict[str, Any]:
    row, candidate = fact.row, fact.candidate
    cents = cents_data(candidate)
    if candidate is None or candidate.tendency is NOTHING_KNOWN:
        cents = dict.fromkeys(cents)
    return {
        "grip": row.grip.text,
        "touches": list(row.grip.touches),
        "kind": row.kind,
        **cents,
        "response": (candidate.response if candidate else row.response) or None,
        "lineage": candidate.lineage if candidate else "",
        "model": model_data(candidate.verdict if candidate else None),
        "requires": sorted(row.needs),
        "source": " ".join(row.sources),
        "how": row.how,
        "confidence": row.confidence,
        "use": row.use,
        "playable": candidate is not None,
        "flags": list(fact.flags),
    }


def model_data(verdict: Verdict | None) -> dict[str, float | None] | None:
    """What the model says of a grip, rounded to what it can know; null where it says nothing."""
    if verdict is None:
        return None
    return {
        "cents_vs_standard": round(verdict.vs_standard, 1),
        "cents_spread": round(verdict.spread_cents, 1),
        "gap_cents": None if verdict.gap_cents is None else round(verdict.gap_cents),
        "loss_ratio": round(verdict.loss_ratio, 2),
    }


def grip_frame(found: GripList) -> "pd.DataFrame":
    """The list as a pandas frame, one row a grip; lists become text."""
    import pandas as pd

    return pd.DataFrame(grip_rows(found))


def grip_rows(found: GripList) -> list[dict[str, Any]]:
    """The grips as plain rows; lists are text."""
    rows = [_grip_data(fact) for fact in found.grips]
    return [{k: " ".join(map(str, v)) if isinstance(v, list) else v for k, v in row.items()} for row in rows]
