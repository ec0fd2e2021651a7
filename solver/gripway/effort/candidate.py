"""A candidate: one grip in one hand position for one pitch, with all that its cost depends on."""

from dataclasses import dataclass

from gripway.effort.position import Position
from gripway.model.grip import Grip
from gripway.model.survey import Verdict

ANY_NEIGHBOUR = frozenset(range(128))
"""Partners of a trill grip that a player asked for: it may stand beside every note, and alone."""


@dataclass(frozen=True, slots=True)
class Tendency:
    """Where a grip's pitch leans in ordinary playing.

    `cents` from equal temperament with its spread; `vs_standard` against the standard grip of
    the pitch (None where nothing is known); `source` measured, taught, modelled or judgement.
    `doubt_cents` is the part of the spread that counts as doubt (modelled leans only);
    `disputed` is what a model says against the standard grip where teachers say otherwise.
    """

    cents: float | None
    spread_cents: float | None
    vs_standard: float | None
    source: str
    doubt_cents: float = 0.0
    disputed: float | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to play one pitch.

    `row_grip` is the grip of the table row it comes from (`grip` may hold free fingers more);
    `uses` are the settings it is taught for, `partners` the neighbour pitches it is meant for;
    `case` is the row of familiarity.csv that applies outside its use, `case_in_use` inside;
    `form` is Tb, Sb or R1 for the three B-flats, else empty. `rank` orders ties: lower first.
    `lineage` says which partial of which low grip it is ("G4 x3"), empty where unknown.
    `fundamental` is the pitch of that low grip (of a harmonic), `taught` is true when the row
    comes from teaching. `verdict` is what the acoustic model says of the grip, `sentence` its
    lineage in words.
    `requires` and `flags` come from the table; `place` is the row's place in its table.
    """

    pitch: int
    grip: Grip
    position: Position
    pattern: int
    kind: str
    row_grip: Grip
    tendency: Tendency
    response: str
    case: str
    case_in_use: str
    uses: frozenset[str]
    partners: frozenset[int]
    form: str
    support: float
    eb_dropped: bool
    rank: int
    requires: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    use: str = ""
    confidence: str = ""
    held: int = 0
    thumb_held: bool = False
    lineage: str = ""
    taught: bool = False
    fundamental: int | None = None
    verdict: Verdict | None = None
    sentence: str = ""

    @property
    def usual(self) -> bool:
        """Whether every player has it in the fingers: a standard grip, or one of the three B-flats."""
        return self.kind == "standard" or bool(self.form)
