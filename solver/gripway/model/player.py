"""The player: their flute, hands, habits and taste. Truth stays; only the weights change."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from gripway.display import set_apart
from gripway.errors import RequestError, check_kind
from gripway.model.grip import Grip
from gripway.model.mark_text import grip_of
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import asked_pitch

BannedKind = Literal["alternate", "vented", "trill", "harmonic"]
BANNED_KINDS: tuple[str, ...] = get_args(BannedKind)
"""Kinds of grips that can be banned as a whole; without its standard grip a note is soon without any."""


@dataclass(frozen=True, slots=True)
class OwnTimes:
    """A player's own finger times: what trills and scales of recordings say.

    `base_ms` is the time of an easy finger in an alternation, `weights` the factor of each finger on it,
    by name; a spread is half of the nine-tenths range. `line_factor` is this player's time in a line over
    that of the tables' law (None: no scales). `pairs` and `takes` are how many were heard; `date` the last
    day of recording, YYYY-MM-DD.
    """

    date: str
    pairs: int
    takes: int
    base_ms: float
    base_spread_ms: float
    weights: tuple[tuple[str, float], ...]
    spreads: tuple[tuple[str, float], ...]
    line_factor: float | None = None
    line_spread: float | None = None


@dataclass(frozen=True, slots=True)
class Ban:
    """Grips that must not be used: by pitch, grip or kind; None means any.

    `pitch` is a note number (C4 is 60) or a text such as `F#6`, `grip` a Grip or its text, `kind` one of
    alternate, vented, trill and harmonic. Texts are read when the ban is made. Raises RequestError for what
    is none.

    >>> import gripway
    >>> gripway.Ban("F#6", "T 1 3 | 3 Eb")
    Ban(pitch=90, grip=Grip.parse('T L1 L3 | R3 Eb'), kind=None)
    >>> gripway.Ban(kind="harmonic").covers(90, gripway.Grip.parse("T 1 3 | 3 Eb"), "harmonic")
    True
    """

    pitch: int | None = None
    grip: Grip | None = None
    kind: str | None = None

    def __init__(
        self, pitch: int | str | None = None, grip: Grip | str | None = None, kind: str | None = None
    ) -> None:
        object.__setattr__(self, "pitch", None if pitch is None else asked_pitch(pitch, "Ban").number)
        object.__setattr__(self, "grip", None if grip is None else grip_of(grip, "Ban"))
        object.__setattr__(self, "kind", kind)
        if kind is not None and kind not in BANNED_KINDS:
            raise RequestError(
                f"{kind!r} is no kind of grip that can be banned",
                place="Ban",
                next_step=f"Choose one of {', '.join(BANNED_KINDS)}",
            )

    def covers(self, pitch: int, grip: Grip, kind: str) -> bool:
        """Whether this ban forbids the grip for the pitch."""
        return self.pitch in (None, pitch) and self.grip in (None, grip) and self.kind in (None, kind)


@dataclass(frozen=True, slots=True)
class OwnCents:
    """A player's own reading of one grip: cents from equal temperament and its spread.

    Of one that `gripway listen` measured `vs_standard` are its cents against the standard grip, which were
    measured side by side and count over the other number (None: not measured so), `takes` the takes
    it rests on (0: not known), `date` the day as YYYY-MM-DD (empty: not known), `vs_spread_cents` the spread
    of the difference, which is surer than the place of either grip (None: `spread_cents`).
    """

    pitch: int
    grip: Grip
    cents: float
    spread_cents: float
    vs_standard: float | None = None
    takes: int = 0
    date: str = ""
    vs_spread_cents: float | None = None


Numbers = Mapping[str, float] | Iterable[tuple[str, float]]
"""Numbers by name, as a player gives them."""


@dataclass(frozen=True, slots=True)
class Player:
    """What one player brings along; every default is the plain player.

    `dials` are multipliers by dial name; `finger_factors` make a finger slower (above 1) or quicker;
    `little_finger_supports` says whether R4 steadies the flute; `known` are (pitch, grip) pairs this player
    has in the fingers, which cost no unfamiliarity: `known=[("G#6", "2 3 | Eb")]`. Pitches are note numbers
    (C4 is 60) or texts, grips a Grip or its text, `parts` names or one text with commas; all is read when the
    player is made. `own_times` are finger times measured from recordings: they outrank tables and factors.
    Dials go from 0 to 4, 1 is plain. `gripway.player` reads one from a file. Raises RequestError for what can
    be none of these.

    >>> import gripway
    >>> gripway.Player(parts=("b-foot",), dials=(("tuning", 2.0),))
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
    own_times: OwnTimes | None = None

    def __init__(
        self,
        instrument: str | None = None,
        parts: str | Iterable[str] = (),
        dials: Numbers = (),
        finger_factors: Numbers = (),
        little_finger_supports: bool = True,
        bans: Ban | Iterable[Ban] = (),
        known: Iterable[tuple[int | str, Grip | str]] = frozenset(),
        cents: Iterable[OwnCents] = (),
        own_times: OwnTimes | None = None,
    ) -> None:
        if own_times is not None:
            check_kind(own_times, OwnTimes, "set of own times", "Give what own_times(...).own_times is")
        parts = parts.split(",") if isinstance(parts, str) else parts
        read = {
            "instrument": instrument,
            "little_finger_supports": little_finger_supports,
            "parts": tuple(part.strip() for part in _all(parts, str, "part", 'parts="b-foot, split-e"')),
            "dials": _numbers(dials, "dials", 'dials={"tuning": 2.0}'),
            "finger_factors": _numbers(finger_factors, "finger_factors", 'finger_factors={"R4": 1.2}'),
            "bans": tuple(bans_given(bans)),
            "known": frozenset(_known(known)),
            "cents": _all(cents, OwnCents, "tuner reading", "a file: gripway help player_file"),
            "own_times": own_times,
        }
        for name, value in read.items():
            object.__setattr__(self, name, value)
        for finger, _ in self.finger_factors:
            if finger not in FINGERS:
                raise RequestError(
                    f"{finger!r} is no finger",
                    place="Player",
                    next_step=f"Choose one of {', '.join(FINGERS)}",
                )

    def __repr__(self) -> str:
        return set_apart(self)


def bans_given(given: Ban | Iterable[Ban]) -> tuple[Ban, ...]:
    """One ban or several. Raises RequestError for what is none."""
    return (given,) if isinstance(given, Ban) else _all(given, Ban, "ban", 'Ban("F#6", "T 1 3 | 3 Eb")')


def _all(given: Any, kind: type, name: str, example: str) -> tuple[Any, ...]:
    """Several things of one kind; RequestError where one is another's, or nothing can be gone through."""
    check_kind(given, Iterable, f"list of {name}s", f"Give for example {example}")
    found = tuple(given)
    for each in found:
        check_kind(each, kind, name, f"Give for example {example}")
    return found


def _numbers(given: Any, name: str, example: str) -> tuple[tuple[str, float], ...]:
    """Numbers by name, from a mapping or pairs."""
    try:
        pairs = dict(given.items() if isinstance(given, Mapping) else given).items()
        return tuple((key, float(value)) for key, value in pairs)
    except (TypeError, ValueError):
        raise RequestError(
            f"{given!r} gives no numbers by name", place=f"Player {name}", next_step=f"Write {example}"
        ) from None


def _known(given: Any) -> list[tuple[int, Grip]]:
    """Pitches with their grips, from pairs of numbers or texts."""
    try:
        pairs = [(pitch, grip) for pitch, grip in given]
    except (TypeError, ValueError):
        raise RequestError(
            f"{given!r} has no pairs of a pitch and a grip",
            place="Player known",
            next_step='Write known=[("G#6", "2 3 | Eb")]',
        ) from None
    return [
        (asked_pitch(pitch, "Player known").number, grip_of(grip, "Player known")) for pitch, grip in pairs
    ]


PLAIN_PLAYER = Player()
