"""Rules a player writes: when these notes come, prefer, require or forbid these touches."""

from dataclasses import dataclass

from gripway.model.grip import Grip

FORBID, REQUIRE, PREFER = "forbid", "require", "prefer"
ACTIONS = (FORBID, REQUIRE, PREFER)


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a passage: bars as printed, or notes by their numbers from 1; `words` as asked for."""

    bars: bool
    first: str
    last: str

    @property
    def words(self) -> str:
        """`bars 12-20`, `bar 12`, `notes 3-9`."""
        kind = "bar" if self.bars else "note"
        same = self.first == self.last
        return f"{kind} {self.first}" if same else f"{kind}s {self.first}-{self.last}"


@dataclass(frozen=True, slots=True)
class When:
    """The notes a rule is for: all that is given must hold (None: no such condition).

    `pitch` is the note's own; `after` and `before` are the pitches it stands after and before;
    `run` is a row of pitches all of whose notes are meant; `faster_than_ms` holds for shorter notes.
    """

    pitch: int | None = None
    after: int | None = None
    before: int | None = None
    run: tuple[int, ...] = ()
    dynamics: frozenset[str] = frozenset()
    span: Span | None = None
    faster_than_ms: float | None = None
    slurred: bool | None = None


@dataclass(frozen=True, slots=True)
class Holds:
    """What a rule says of a grip: these touches (`whole` false), or this grip and no other."""

    grip: Grip
    whole: bool

    @property
    def words(self) -> str:
        """The grip with its bar, or the touches alone."""
        return self.grip.short if self.whole else " ".join(self.grip.touches)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: for these notes forbid, require or prefer one of several touches or grips.

    `place` names its file and number.
    """

    place: str
    when: When
    action: str
    holds: tuple[Holds, ...]

    @property
    def words(self) -> str:
        """`forbid R2 (my_rules.toml: rule 1)`."""
        return f"{self.action} {' or '.join(each.words for each in self.holds)} ({self.place})"

    def kept_by(self, grip: Grip) -> bool:
        """Whether a grip does as the rule says.

        Forbidden touches may not be pressed at all, required ones must all be pressed.
        """
        if self.action == FORBID:
            return not any(_has(grip, each, some=True) for each in self.holds)
        return any(_has(grip, each, some=False) for each in self.holds)


def _has(grip: Grip, holds: Holds, *, some: bool) -> bool:
    if holds.whole:
        return grip == holds.grip
    shared = grip.mask & holds.grip.mask
    return bool(shared) if some else shared == holds.grip.mask
