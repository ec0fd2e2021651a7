"""A grip in words, for screen readers: which fingers press what, what changed, what trills."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypedDict

from gripway.model.grip import LEFT_TOUCHES, Grip


class DiagramSigns(TypedDict, total=False):
    """What a diagram says beside its grip.

    `held` are pressed touches the note does not need, `free` lifted ones that may as well be down,
    `movers` those that move in a trill, `before` the grip against which changes are shown.
    """

    held: Iterable[str]
    free: Iterable[str]
    movers: Iterable[str]
    before: Grip | None


@dataclass(frozen=True, slots=True)
class ShownSigns:
    """What one diagram says: the grip, its held, free and trilling touches, the grip before it."""

    grip: Grip
    held: Grip
    free: Grip
    movers: Grip
    before: Grip | None

    @property
    def touches(self) -> tuple[str, ...]:
        """Every touch there is something to say of."""
        before = self.before.mask if self.before else 0
        return Grip(self.grip.mask | self.free.mask | self.movers.mask | before).touches

    @property
    def down(self) -> tuple[str, ...]:
        """Touches that have gone down since the grip before."""
        return Grip(self.grip.mask & ~self.before.mask).touches if self.before else ()

    @property
    def up(self) -> tuple[str, ...]:
        """Touches that have gone up since the grip before."""
        return Grip(self.before.mask & ~self.grip.mask).touches if self.before else ()

    def state(self, touch: str) -> str:
        """How a touch is drawn: pressed, held, free or lifted."""
        if self.grip.has(touch):
            return "held" if self.held.has(touch) else "pressed"
        return "free" if self.free.has(touch) else "lifted"

    def moves(self, touch: str) -> bool:
        """Whether a sign stands beside the touch."""
        return self.movers.has(touch) or touch in self.down or touch in self.up


def heading(grip: Grip, names: Mapping[str, str], title: str = "") -> str:
    """The grip in words, after its title: `D6: left hand thumb, third finger; right hand lifted`."""
    left = [names[touch] for touch in grip.touches if touch in LEFT_TOUCHES]
    right = [names[touch] for touch in grip.touches if touch not in LEFT_TOUCHES]
    hands = f"left hand {listed(left) or 'lifted'}; right hand {listed(right) or 'lifted'}."
    return f"{title}: {hands}" if title else hands[0].upper() + hands[1:]


def words(said: ShownSigns, names: Mapping[str, str]) -> str:
    """All that the diagram says beyond what is pressed; empty where that is nothing."""
    found = []
    if said.held.mask:
        found.append(f"Held though the note does not need it: {_with_hands(said.held.touches, names)}.")
    if said.free.mask:
        found.append(f"Free to go down: {_with_hands(said.free.touches, names)}.")
    if said.movers.mask:
        found.append(f"The trill moves {_with_hands(said.movers.touches, names)}.")
    if said.before is not None:
        moved = [("goes down", said.down), ("goes up", said.up)]
        told = [f"{what}: {_with_hands(touches, names)}" for what, touches in moved if touches]
        found.append(f"Against the grip before, {'; '.join(told) or 'nothing moves'}.")
    return " ".join(found)


def listed(names: Iterable[str]) -> str:
    """Names as a list in words; the fingers among them share the word.

    >>> listed(["thumb", "first finger", "third finger"])
    'thumb, first and third finger'
    """
    items = list(names)
    for place in range(len(items) - 1):
        if items[place].endswith(" finger") and items[place + 1].endswith(" finger"):
            items[place] = items[place].removesuffix(" finger")
    return " and ".join(filter(None, (", ".join(items[:-1]), items[-1]))) if items else ""


def _with_hands(touches: Iterable[str], names: Mapping[str, str]) -> str:
    """Touches with their hands: `left first and second finger, right E-flat key`."""
    hands: dict[str, list[str]] = {}
    for touch in touches:
        hands.setdefault("left" if touch in LEFT_TOUCHES else "right", []).append(names[touch])
    return ", ".join(f"{hand} {listed(items)}" for hand, items in hands.items())
