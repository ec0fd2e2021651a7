"""What is asked of the search besides the passage: pins, bans, and what to minimise."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from operator import index
from typing import SupportsIndex

from gripway.asked.found_wishes import FoundWishes
from gripway.asked.limits import NO_LIMITS, Limits
from gripway.display import set_apart
from gripway.errors import RequestError, check_kind, check_whole
from gripway.model.grip import Grip
from gripway.model.mark_text import NOTHING, trilled_grip_of
from gripway.model.player import PLAIN_PLAYER, Ban, Player, bans_given

LEAST_EFFORT = "effort"
STANDARD_ONLY = "standard"
FEWEST_MOVERS = "movers"
CHOICES = (LEAST_EFFORT, STANDARD_ONLY, FEWEST_MOVERS)
"""Least effort is the product; the other two are the baselines it is compared with."""


HOW_TO_PIN = 'Write Pin("n3", "T 1 | Eb"), with the note\'s id as in the id column, or pins="n3=T 1 | Eb"'


@dataclass(frozen=True, slots=True)
class Pin:
    """A grip that a note must have: by the note's id, or by its index in the passage.

    The index counts from 0, as the `index` column of `note_frame` does; the numbers in the texts that
    `gripway.wishes` reads count from 1, as the command's do. An id (the `id` column) means the same note in
    both. `grip` is a Grip or its text. `moving` are the touches that move from it in the trill on the note
    (none: as the search finds); a text may say them, too: "1 | Eb tr Kd". Raises RequestError for what is no
    note or no grip.

    >>> import gripway
    >>> gripway.Pin("n2", "T 1 3 | 2 Eb")
    Pin(note='n2', grip=Grip.parse('T L1 L3 | R2 Eb'))
    """

    note: int | str
    grip: Grip
    moving: Grip = field(default=NOTHING, repr=False)

    def __init__(self, note: SupportsIndex | str, grip: Grip | str, moving: Grip = NOTHING) -> None:
        note = index(note) if isinstance(note, SupportsIndex) else note
        check_kind(note, int | str, "note to pin", 'Give its id ("n3") or its index from 0')
        object.__setattr__(self, "note", note)
        sign = trilled_grip_of(grip, "Pin")
        object.__setattr__(self, "grip", sign.grip)
        object.__setattr__(self, "moving", sign.moving if sign.moving.mask else moving)


@dataclass(frozen=True, slots=True)
class Wishes:
    """Everything a route is asked to respect; a solver is made for the player, the bans and `found`.

    `found` asks for grips the model finds, within these wishes, beside the printed ones. `settled` are notes
    (by index) whose grip of the tables is settled; which free fingers stay down, and where the thumb rests,
    is still the search's to choose. `settled_trills` are notes (by index) with the grip that the other
    note of their trill has. `limits` are what the whole route must keep to; they go with the least effort
    only. `learn` is how many new grips the route may have at most (None: those that pay), `curve` asks
    for the learning curve beside the route. `gripway.wishes` reads all of this from texts, as the command
    does. Raises RequestError for wishes that do not go together.

    >>> import gripway
    >>> gripway.Wishes(learn=2, curve=True)
    <Wishes: learn=2, curve=True>
    """

    player: Player = PLAIN_PLAYER
    pins: tuple[Pin, ...] = ()
    bans: tuple[Ban, ...] = ()
    choose: str = LEAST_EFFORT
    others: int = 4
    found: FoundWishes | None = None
    settled: tuple[tuple[int, Grip], ...] = ()
    settled_trills: tuple[tuple[int, Grip], ...] = ()
    limits: Limits = NO_LIMITS
    learn: int | None = None
    curve: bool = False

    def __post_init__(self) -> None:
        for name, kind in (("pins", Pin), ("bans", Ban)):
            given = getattr(self, name)
            if isinstance(given, kind):
                given = (given,)
            check_kind(given, Iterable, f"list of {name}", HOW_TO_PIN if kind is Pin else "Give a Ban")
            object.__setattr__(self, name, tuple(given))
        if any(isinstance(each, str) for each in (*self.pins, *self.bans)):
            raise RequestError(
                "pins and bans here are values, not texts",
                place="Wishes",
                next_step='Write gripway.wishes(pins=["3=T 1 | Eb"]), which reads texts',
            )
        for pin in self.pins:
            check_kind(pin, Pin, "pin", HOW_TO_PIN)
        bans_given(self.bans)
        check_kind(self.player, Player, "player", 'Give what player(...) gives: player("me.toml")')
        check_kind(self.limits, Limits, "set of limits", 'Write gripway.wishes(limits="thumb stays")')
        if self.choose not in CHOICES:
            raise RequestError(
                f"{self.choose!r} is nothing to choose by", next_step=f"Choose one of {', '.join(CHOICES)}"
            )
        if self.limits and self.choose != LEAST_EFFORT:
            raise RequestError(
                "limits are kept by the route of least effort only",
                place=f"choose {self.choose}",
                next_step="Leave out the limits, or choose effort",
            )
        check_whole(self.others, "others")
        self._check_learn()

    def _check_learn(self) -> None:
        if self.learn is None:
            return
        check_whole(self.learn, "learn")
        if self.learn < 0:
            raise RequestError("nobody learns fewer than no grip", place=f"learn {self.learn}")
        if self.choose != LEAST_EFFORT:
            raise RequestError(
                "grips to learn are chosen by effort",
                place=f"choose {self.choose}",
                next_step="Leave out the number of grips to learn, or choose effort",
            )
        if self.limits:
            raise RequestError(
                "a number of grips to learn does not go with limits",
                place=f"learn {self.learn}",
                next_step=f"Write it as a limit: learn at most {self.learn} grips",
            )

    def __repr__(self) -> str:
        return set_apart(self)
