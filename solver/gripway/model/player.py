"""The player: their flute, hands, habits and taste. Truth stays; only the weights change."""

from dataclasses import dataclass

from gripway.display import set_apart
from gripway.model.grip import Grip


@dataclass(frozen=True, slots=True)
class Ban:
    """Grips that must not be used: by pitch (note number), grip or kind; None means any.

    >>> Ban(kind="harmonic").covers(90, Grip.parse("T 1 3 | 3 Eb"), "harmonic")
    True
    """

    pitch: int | None = None
    grip: Grip | None = None
    kind: str | None = None

    def covers(self, pitch: int, grip: Grip, kind: str) -> bool:
        """Whether this ban forbids the grip for the pitch."""
        return self.pitch in (None, pitch) and self.grip in (None, grip) and self.kind in (None, kind)


@dataclass(frozen=True, slots=True)
class OwnCents:
    """A player's own tuner reading of one grip: cents from equal temperament and its spread."""

    pitch: int
    grip: Grip
    cents: float
    spread_cents: float


@dataclass(frozen=True, slots=True)
class Player:
    """What one player brings along; every default is the plain player.

    `dials` are multipliers by dial name; `finger_factors` make a finger slower (above 1) or quicker;
    `little_finger_supports` says whether R4 steadies the flute; `known` are (pitch, grip) pairs this player
    has in the fingers, which cost no unfamiliarity. Dials go from 0 to 4, 1 is plain. `gripway.player` reads
    one from a file.

    >>> Player(parts=("b-foot",), dials=(("tuning", 2.0),))
    <Player: parts=('b-foot',), dials=(('tuning', 2.0),)>
    """

    instrument: str | None = None
    parts: tuple[str, ...] = ()
    dials: tuple[tuple[str, float], ...] = ()
    finger_factors: tuple[tuple[str, float], ...] = ()
    little_finger_supports: bool = True
    bans: tuple[Ban, ...] = ()
    known: frozenset[tuple[int, Grip]] = frozenset()
    cents: tuple[OwnCents, ...] = ()

    def __repr__(self) -> str:
        return set_apart(self)


PLAIN_PLAYER = Player()
