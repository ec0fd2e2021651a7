"""The route: a grip for every note, the changes between them, and what else there was."""

from dataclasses import dataclass, field

from gripway.charges.charges_paid import Charges
from gripway.display import Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import Ledger
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage, Remark
from gripway.model.pitch import Pitch
from gripway.model.player import OwnTimes
from gripway.route.curve import CurveStep
from gripway.route.words.flags import Flag

OPTIMAL = "optimal"
BOUNDED = "bounded"
GAPS = "gaps"
CONFLICT = "conflict"


@dataclass(frozen=True, slots=True)
class Other:
    """Another grip of a note: how much more effort the best route through it takes."""

    candidate: Candidate
    effort_more: float


@dataclass(frozen=True, slots=True)
class OrnamentNote:
    """One note of an ornament with its grip (None: it has none), and its time in ms where it has one."""

    pitch: Pitch
    candidate: Candidate | None
    ms: float | None = None


@dataclass(frozen=True, slots=True)
class PlayedOrnament:
    """An ornament as the fingers play it.

    `notes` are in the order played: of a trill or tremolo the two notes, which go on alternating,
    of the others every note. It is entered by the grip of `entry`, which is that of the first note
    but for a trill from its upper note, and left by that of `exit`: of the written note, but for a
    tremolo between two written notes, which ends on the second. `ending` are the notes of a turn
    that ends a trill, back on the written note.
    `movers` are the fingers of each change in turn; `notes_per_s` the limit of the fingers, or of
    a mordent or turn the speed it is reckoned at; `interval` what a trill comes out at.
    """

    kind: str
    notes: tuple[OrnamentNote, ...]
    exit: Candidate | None
    movers: tuple[tuple[tuple[str, str], ...], ...]
    notes_per_s: float | None
    interval: str = ""
    entry: Candidate | None = None
    ending: tuple[OrnamentNote, ...] = ()


@dataclass(frozen=True, slots=True)
class RouteNote:
    """One note of the route; `candidate` is None where the note has no grip (flags say why).

    `told` are the flags that carry values.
    """

    index: int
    note: Note
    candidate: Candidate | None
    holding: Ledger
    flags: tuple[str, ...]
    why: str
    others: tuple[Other, ...] = ()
    ornament: PlayedOrnament | None = None
    told: tuple[Flag, ...] = ()

    def __repr__(self) -> str:
        return brief(
            self,
            self.note.pitch.name,
            self.candidate.grip.short if self.candidate else "no grip",
            self.candidate.kind if self.candidate else "",
            f"bar {self.note.bar}" if self.note.bar else "",
        )


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
    """The change into note `to`: time needed and available (ms), load, movers, effort.

    `tables_ms` is the time needed by the tables, where the player's own finger times count in their place.
    """

    to: int
    change_ms: float
    available_ms: float
    load: float
    movers: tuple[tuple[str, str], ...]
    moving: Ledger
    advice: Advice = NO_ADVICE
    tables_ms: float | None = None

    @property
    def needed_ms(self) -> float:
        """The time needed as the load counts it: more where a slur shows the change, less when tongued."""
        return self.load * self.available_ms

    def __repr__(self) -> str:
        return brief(
            self,
            f"to note {self.to + 1}",
            f"load {self.load:.2f}",
            " ".join(f"{f} {w}" for f, w in self.movers),
        )


@dataclass(frozen=True, slots=True)
class LimitUse:
    """One limit in words: what the route uses of it and how much it may (None: nothing is counted).

    `counted` says what counts, where that needs saying.
    """

    words: str
    used: float | None
    of: float | None
    counted: str = ""


@dataclass(frozen=True, slots=True)
class Least:
    """A figure that is possible in place of a limit's (its words), `proved` where nothing less is."""

    words: str
    size: float
    proved: bool = True


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why no route keeps the limits: a few limits and pins that cannot hold together.

    Without any one of `limits` (their words, pins among them) the others could be kept. `notes` are
    indices of the notes where they meet (at most a few), `least` says how little the passage
    can do with of a sum that is too small.
    """

    limits: tuple[str, ...]
    notes: tuple[int, ...] = ()
    least: tuple[Least, ...] = ()


@dataclass(frozen=True, slots=True)
class LimitReport:
    """What became of the limits that were asked for.

    `free_milli` is the effort of the route without limits, `bound_milli` what every route that keeps
    them takes at least (thousandths), `proved` whether the route is shown to be the least; `remarks`
    name rules that ask for nothing here.
    """

    free_milli: int
    bound_milli: int
    proved: bool
    uses: tuple[LimitUse, ...]
    conflict: Conflict | None = None
    remarks: tuple[Remark, ...] = ()


@dataclass(frozen=True, slots=True)
class Route(Shown):
    """The least awkward sequence of grips for a passage.

    `status` is optimal (every note has a grip and no route takes less effort), bounded (the time ran out
    before the route under limits was proved the least), conflict (no route keeps the limits: no note has a
    grip) or gaps (some notes have none, each flagged; between the gaps the route is optimal, or what `limits`
    says). `hardest` lists the `to` of the changes with the highest load, worst first, the same change once.
    `limits` is None where none were asked for, `charges` where the route was not chosen for the least effort.
    `standards` has the standard grip of every pitch, by its number; `curve` the learning curve where it was
    asked for (`wishes(curve=True)`, else empty): a point for no new grip, one, two, each with its `effort`,
    `grips`, `worst_load` and `places`. Their effort leaves the charges for learning out, so that the last
    point may lie below the route's `effort`. `own_times` are the player's own finger times where these count.
    """

    passage: Passage
    instrument: str
    status: str
    notes: tuple[RouteNote, ...]
    changes: tuple[RouteChange, ...]
    hardest: tuple[int, ...] = field(default=())
    limits: LimitReport | None = None
    charges: Charges | None = None
    standards: tuple[tuple[int, Grip], ...] = ()
    curve: tuple[CurveStep, ...] = ()
    own_times: OwnTimes | None = None

    @property
    def effort_milli(self) -> int:
        """Total effort in thousandths: the sum of every ledger of the route, and of its charges."""
        held = sum(note.holding.total for note in self.notes)
        moved = sum(change.moving.total for change in self.changes)
        charges = self.charges
        return held + moved + (charges.learning_milli + charges.changing_milli if charges else 0)

    @property
    def effort(self) -> float:
        """Total effort."""
        return self.effort_milli / 1000

    def __repr__(self) -> str:
        return brief(
            self, self.instrument, counted(len(self.notes), "note"), self.status, f"effort {self.effort:.3f}"
        )
