"""The route: a grip for every note, the changes between them, and what else there was."""

from dataclasses import dataclass, field

from gripway.effort.candidate import Candidate
from gripway.effort.ledger import Ledger
from gripway.model.passage import Note, Passage

OPTIMAL = "optimal"
GAPS = "gaps"


@dataclass(frozen=True, slots=True)
class Other:
    """Another grip of a note: how much more effort the best route through it takes."""

    candidate: Candidate
    effort_more: float


@dataclass(frozen=True, slots=True)
class RouteNote:
    """One note of the route; `candidate` is None where the note has no grip (flags say why)."""

    index: int
    note: Note
    candidate: Candidate | None
    holding: Ledger
    flags: tuple[str, ...]
    why: str
    others: tuple[Other, ...] = ()


@dataclass(frozen=True, slots=True)
class Advice:
    """What the model advises for a change.

    `lead` is the finger that should lead (empty where it makes no difference), `strays` the
    notes that may sound on the way, `unsafe` the share of grips on the way that sound neither.
    """

    lead: str = ""
    strays: tuple[str, ...] = ()
    unsafe: float = 0.0


NO_ADVICE = Advice()


@dataclass(frozen=True, slots=True)
class RouteChange:
    """The change into note `to`: time needed and available (ms), load, movers, effort."""

    to: int
    change_ms: float
    available_ms: float
    load: float
    movers: tuple[tuple[str, str], ...]
    moving: Ledger
    advice: Advice = NO_ADVICE


@dataclass(frozen=True, slots=True)
class Route:
    """The least awkward sequence of grips for a passage.

    `status` is optimal (every note has a grip and no route takes less effort) or gaps (some
    notes have none, each flagged; between the gaps the route is optimal). `hardest` lists
    the `to` of the changes with the highest load, worst first, the same change once.
    """

    passage: Passage
    instrument: str
    status: str
    notes: tuple[RouteNote, ...]
    changes: tuple[RouteChange, ...]
    hardest: tuple[int, ...] = field(default=())

    @property
    def effort_milli(self) -> int:
        """Total effort in thousandths: the sum of every ledger of the route."""
        held = sum(note.holding.total for note in self.notes)
        return held + sum(change.moving.total for change in self.changes)

    @property
    def effort(self) -> float:
        """Total effort."""
        return self.effort_milli / 1000
