"""An editor's decisions: what was settled for one place of a part, and why."""

from dataclasses import dataclass
from fractions import Fraction

from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

MOST_NEIGHBOURS = 3
"""So many notes to either side are written down with a decision, to find its place again."""


@dataclass(frozen=True, slots=True)
class DecisionPlace:
    """Where a decision belongs: bar as printed, beat (quarters, from 1), pitch, and the notes around.

    `before` ends with the note just before, `after` begins with the next one; both are empty where
    nothing was written down of them, as `beat` is None and `part` empty then.
    """

    bar: str
    pitch: Pitch
    part: str = ""
    beat: Fraction | None = None
    before: tuple[Pitch, ...] = ()
    after: tuple[Pitch, ...] = ()


@dataclass(frozen=True, slots=True)
class Decision:
    """What an editor settled for one place.

    `grip` is kept there; with `plain` it is the plain one. `mark` says whether the place is marked,
    whatever it saves. With neither grip nor `plain` the grip is left open, and nothing is marked.
    `said_at` names the entry in its file.
    """

    place: DecisionPlace
    grip: Grip | None = None
    plain: bool = False
    mark: bool = True
    reason: str = ""
    said_at: str = ""

    def __post_init__(self) -> None:
        if self.grip is not None and self.plain:
            raise ValueError("a decision has a grip or the plain one")
        if self.grip is None and not self.plain and self.mark:
            raise ValueError("a decision that marks says which grip")

    @property
    def kind(self) -> str:
        """The decision in a word or two: `grip` or `plain`, each also `unmarked`, or `no mark`."""
        if self.grip is None and not self.plain:
            return "no mark"
        return ("plain" if self.plain else "grip") + ("" if self.mark else ", unmarked")
