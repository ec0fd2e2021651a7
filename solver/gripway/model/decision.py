"""An editor's decisions: what was settled for one place of a part, and why."""

from dataclasses import dataclass
from fractions import Fraction

from gripway.model.grip import Grip
from gripway.model.mark_text import NOTHING, TRILL_SIGN
from gripway.model.pitch import Pitch

PLAIN = "plain"
"""The word for the standard grip in a file of decisions."""

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
    whatever it saves. `thumb` (T or Tb) asks for the standard grip with the thumb there, and only the thumb
    is marked. With none of these the grip is left open, and nothing is marked. `moving` are the touches that
    move in the trill on the note (none: as the search finds). `said_at` names the entry in its file.
    """

    place: DecisionPlace
    grip: Grip | None = None
    plain: bool = False
    mark: bool = True
    reason: str = ""
    said_at: str = ""
    thumb: str = ""
    moving: Grip = NOTHING

    def __post_init__(self) -> None:
        if (self.grip is not None) + self.plain + bool(self.thumb) > 1:
            raise ValueError("a decision has a grip, the plain one, or a place of the thumb")
        if self.is_open and self.mark:
            raise ValueError("a decision that marks says which grip")
        if self.moving.mask and self.grip is None and not self.plain:
            raise ValueError("what moves in a trill is decided with its grip")

    @property
    def is_open(self) -> bool:
        """Whether the grip is left to the search."""
        return self.grip is None and not self.plain and not self.thumb

    @property
    def kind(self) -> str:
        """The decision in a word or two: `grip`, `plain` or `thumb`, each also `unmarked`, or `no mark`.

        Where what moves in a trill is decided, too, `trill` stands beside it.
        """
        if self.is_open:
            return "no mark"
        what = "plain" if self.plain else "thumb" if self.thumb else "grip"
        return what + ", trill" * bool(self.moving.mask) + ", unmarked" * (not self.mark)

    @property
    def grip_text(self) -> str:
        """What is decided as a file of decisions has it: `T 1 | Eb tr Kd`, `plain`, `Tb`; empty for none."""
        grip = PLAIN if self.plain else self.grip.short if self.grip else self.thumb
        return f"{grip} {TRILL_SIGN} {' '.join(self.moving.touches)}" if self.moving.mask else grip
