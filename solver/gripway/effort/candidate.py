"""A candidate: one grip in one hand position for one pitch, with all that its cost depends on."""

from dataclasses import dataclass

from gripway.display import brief
from gripway.effort.position import Position
from gripway.model.grip import Grip
from gripway.model.pitch import plain_name
from gripway.model.survey import Verdict

ANY_NEIGHBOUR = frozenset(range(128))
"""Partners of a trill grip that a player asked for: it may stand beside every note, and alone."""


@dataclass(frozen=True, slots=True)
class Tendency:
    """Where a grip's pitch leans in ordinary playing: what is expected over all sources that speak.

    `cents` from equal temperament; nine in ten flutes and players are reckoned to lie within
    `spread_cents` of it. `vs_standard` is the same against the standard grip of the pitch, with
    `vs_spread_cents` (None where nothing is known). `source` is measured, taught, modelled or
    judgement: of a taught lean teachers name the direction, in `word` if there is one, and the size is
    ours. `disputed` is what the model says against the standard grip where teachers say otherwise.
    """

    cents: float | None
    spread_cents: float | None
    vs_standard: float | None
    source: str
    vs_spread_cents: float | None = None
    disputed: float | None = None
    word: str = ""

    @property
    def known(self) -> str:
        """How it is known, with whose the size is: `taught lower, size by gripway`."""
        if self.source != "taught":
            return self.source
        return f"{' '.join(filter(None, ('taught', self.word)))}, size by gripway"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to play one pitch.

    `row_grip` is the grip of the table row it comes from (`grip` may hold free fingers more); `uses` are the
    settings it is taught for, `partners` the neighbour pitches it is meant for; `case` is the row of the
    table `effort/familiarity` (`gripway tables`) that applies outside its use, `case_in_use` inside; `form`
    is Tb, Sb or R1 for the three B-flats, else empty. `rank` orders ties: lower first. `lineage` says which
    partial of which low grip it is ("G4 x3"), empty where unknown. `fundamental` is the pitch of that low
    grip (of a harmonic). `verdict` is what the acoustic model says of the grip, `sentence` its lineage in
    words. `entry` is the other note's grip that a trill from its upper note begins with. `requires` and
    `flags` come from the table; `place` is the row's place in its table.
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
    fundamental: int | None = None
    verdict: Verdict | None = None
    sentence: str = ""
    entry: "Candidate | None" = None

    @property
    def disputed(self) -> str:
        """What is told where teachers and model disagree about its pitch; empty where they do not."""
        if self.tendency.cents is None:
            return ""
        if (model := self.tendency.disputed) is not None:
            taught = f"taught {self.tendency.word}, " if self.tendency.word else ""
            return f"disputed: {taught}a model says {round(model):+d} cents against the standard grip"
        return "disputed: teachers and model differ" if "disputed" in self.flags else ""

    @property
    def usual(self) -> bool:
        """Whether every player has it in the fingers: a standard grip, or one of the three B-flats."""
        return self.kind == "standard" or bool(self.form)

    def __repr__(self) -> str:
        return brief(self, plain_name(self.pitch), self.grip.short, self.kind)
