"""What a route pays for: grips to learn, and changes of a pitch's grip."""

from dataclasses import dataclass

from gripway.model.grip import Grip


@dataclass(frozen=True, slots=True)
class Learnt:
    """A grip that the route teaches: neither usual nor known to the player.

    `saves_milli` is the effort the route would take more without it (thousandths, its own charge not
    taken off), `steady` the share of shaken tables in which it still pays; None under limits, where
    neither is worked out.
    """

    pitch: int
    grip: Grip
    kind: str
    saves_milli: int | None
    steady: float | None


@dataclass(frozen=True, slots=True)
class Charges:
    """What a route pays once for each grip to learn, and wherever a pitch returns with another grip.

    `learn` are the grips to learn, the one that saves most first; `left_out` those that would pay by
    the tables as they stand but not by most shaken ones. `changed` are pairs of note indices between
    which a pitch changed its grip. `bound_milli` is what every route takes at least (thousandths).
    """

    learn: tuple[Learnt, ...]
    left_out: tuple[Learnt, ...]
    each_milli: int
    changed: tuple[tuple[int, int], ...]
    change_milli: int
    bound_milli: int

    @property
    def learning_milli(self) -> int:
        """Effort of learning all new grips."""
        return self.each_milli * len(self.learn)

    @property
    def changing_milli(self) -> int:
        """Effort of all changes of a pitch's grip."""
        return self.change_milli * len(self.changed)
