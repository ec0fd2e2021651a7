"""Safe and unsafe changes: what sounds on the way when several fingers move one after another.

With n movers there are 2^n - 2 grips between two grips, one for each set of fingers that is
already there. A grip passed through is safe when it can sound one of the two notes; a change is
safe when all of them are.

Reference: A. Almeida, R. Chow, J. Smith, J. Wolfe, JASA 126 (2009) 1674 (abstract): the kinetics
and acoustics of fingering and note transitions on the flute.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from gripway.acoustics.touch_holes import TouchHoles
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS
from gripway.model.survey import Sounds

MOST_MOVERS = 9
"""With more movers the grips on the way are not counted, unless asked: the change counts as the worst."""

WORST = 1.0

Places = tuple[str, ...]
"""Where each of FINGERS is: the touches it presses, as text; empty or after a minus it is up."""

Hand = tuple[int, ...]
"""The touches each of FINGERS presses, as masks of a grip."""


@dataclass(frozen=True, slots=True)
class Passing:
    """One grip passed through: the finger that moved last, the set of touches, what sounds.

    `sounds` is a note number, None when nothing speaks; `safe` when it is one of the two notes.
    """

    finger: str
    mask: int
    sounds: int | None
    safe: bool


@dataclass(frozen=True, slots=True)
class Crossing:
    """What lies between two grips.

    `movers` in FINGERS order; `passed` grips on the way over all orders of fingers, `unsafe`
    of them sounding neither note. `order` is the order of fingers that passes the fewest unsafe
    grips (ties in FINGERS order), `way` the grips it passes; `leads` are the fingers that can
    come first in such an order. `strays` are the notes (numbers) that unsafe grips sound.
    With more movers than are counted nothing is counted: `counted` is false, `order`, `way`,
    `leads` and `strays` are empty, and every grip on the way counts as unsafe.
    """

    movers: tuple[str, ...]
    passed: int
    unsafe: int
    order: tuple[str, ...]
    way: tuple[Passing, ...]
    leads: tuple[str, ...]
    strays: tuple[int, ...]
    counted: bool

    @property
    def share(self) -> float:
        """Share of the grips on the way that sound neither note, 0 to 1."""
        return self.unsafe / self.passed if self.passed else 0.0

    @property
    def lead(self) -> str:
        """The finger that should lead; empty where it makes no difference which does."""
        return self.order[0] if self.leads and len(self.leads) < len(self.movers) else ""


class Crossings:
    """Unsafe shares and best orders on one flute; remembers every pair of hand positions asked.

    The work doubles with each mover: changes of more than `most_movers` are not counted.
    """

    def __init__(self, holes: TouchHoles, sounds: Sounds, most_movers: int = MOST_MOVERS) -> None:
        self.holes = holes
        self.sounds = sounds
        self.most_movers = most_movers
        self._hands: dict[Places, Hand] = {}
        self._numbers: dict[Places, int] = {}
        self._same_hands: dict[Hand, int] = {}
        self._near = {holes.at_rest ^ pattern: near for pattern, near in sounds.near.items()}
        self._moved: dict[int, int] = {}
        self._told: dict[tuple[Places, Places, int, int], Crossing] = {}
        self._shares: dict[tuple[int, int, int], float] = {}

    def share(self, before: Places, after: Places, first: int, second: int) -> float:
        """Share (0 to 1) of the grips between two hand positions that sound neither note number.

        The same there and back; WORST with more movers than are counted.
        """
        numbers = self._numbers
        a = numbers[before] if before in numbers else self._number(before)
        b = numbers[after] if after in numbers else self._number(after)
        wanted = 1 << first | 1 << second
        known = self._shares.get((a, b, wanted))
        if known is None:
            known = self._share(self._hand(before), self._hand(after), wanted)
            self._shares[a, b, wanted] = self._shares[b, a, wanted] = known
        return known

    def _share(self, a: Hand, b: Hand, wanted: int) -> float:
        """The share counted over the holes that the sets of movers move, in any order; as `_safe` has it."""
        moved, still, movers = self._moved, 0, list[tuple[int, int]]()
        for x, y in zip(a, b, strict=True):
            old = moved[x] if x in moved else self._holes(x)
            if x == y:
                still |= old
            else:
                movers.append((old, moved[y] if y in moved else self._holes(y)))
        if len(movers) < 2:
            return 0.0
        if len(movers) > self.most_movers:
            return WORST
        sets = [still]
        for old, new in movers:
            sets = [holes | old for holes in sets] + [holes | new for holes in sets]
        near, before, after = self._near.get, sets[0], sets[-1]
        unsafe = [h for h in sets if not near(h, 0) & wanted and h != before and h != after]
        return len(unsafe) / (len(sets) - 2)

    def _number(self, places: Places) -> int:
        """A number for each hand position: equal ones press the same touches."""
        hand = self._hand(places)
        return self._numbers.setdefault(places, self._same_hands.setdefault(hand, len(self._same_hands)))

    def crossing(self, before: Places, after: Places, first: int, second: int) -> Crossing:
        """All there is to tell of a change between two hand positions of two note numbers, remembered."""
        key = (before, after, first, second)
        if key not in self._told:
            self._told[key] = self._crossing(before, after, first, second)
        return self._told[key]

    def _crossing(self, before: Places, after: Places, first: int, second: int) -> Crossing:
        a, b = self._hand(before), self._hand(after)
        movers = _movers(a, b)
        names = tuple(FINGERS[finger] for finger in movers)
        passed = max(0, (1 << len(movers)) - 2)
        if len(movers) > self.most_movers:
            return Crossing(names, passed, passed, (), (), (), (), counted=False)
        patterns = self._patterns(a, b, movers)
        safe = self._safe(patterns, 1 << first | 1 << second)
        sounding = [self._sounding(pattern, first, second) for pattern in patterns]
        order, leads = _best_order(len(movers), safe)
        way, there = [], 0
        for finger in order[:-1]:
            there |= 1 << finger
            mask = _pressed(a, b, {movers[k] for k in order if there >> k & 1})
            way.append(Passing(names[finger], mask, sounding[there], safe[there]))
        strays = {note for note, fine in zip(sounding, safe, strict=True) if not fine and note is not None}
        return Crossing(
            movers=names,
            passed=passed,
            unsafe=safe.count(False),
            order=tuple(names[k] for k in order),
            way=tuple(way),
            leads=tuple(names[k] for k in leads),
            strays=tuple(sorted(strays)),
            counted=True,
        )

    def _hand(self, places: Places) -> Hand:
        """The touches each finger presses, as masks."""
        hand = self._hands.get(places)
        if hand is None:
            hand = self._hands[places] = tuple([_mask(place) for place in places])
        return hand

    def _patterns(self, a: Hand, b: Hand, movers: Sequence[int]) -> list[int]:
        """The hole pattern for each set of movers already there (bit k: the k-th), none to all."""
        still = 0
        for x, y in zip(a, b, strict=True):
            if x == y:
                still |= x
        there, not_there = [self._holes(still)], [0]
        for finger in movers:
            new, old = self._holes(b[finger]), self._holes(a[finger])
            there += [holes | new for holes in there]
            not_there = [holes | old for holes in not_there] + not_there
        at_rest = self.holes.at_rest
        return [at_rest ^ (x | y) for x, y in zip(there, not_there, strict=True)]

    def _holes(self, mask: int) -> int:
        """The holes that touches move, remembered."""
        holes = self._moved.get(mask)
        if holes is None:
            holes = self._moved[mask] = self.holes.moved_by(mask)
        return holes

    def _safe(self, patterns: Sequence[int], wanted: int) -> list[bool]:
        """Whether each pattern sounds one of the wanted notes (bits); both ends do by definition."""
        near, ends = self.sounds.near, (patterns[0], patterns[-1])
        return [pattern in ends or bool(near.get(pattern, 0) & wanted) for pattern in patterns]

    def _sounding(self, pattern: int, first: int, second: int) -> int | None:
        """What a pattern sounds when one of two notes is blown: one of them, else the note nearest."""
        near = self.sounds.near.get(pattern, 0)
        for wanted in (first, second):
            if near >> wanted & 1:
                return wanted
        return _nearest_bit(self.sounds.nearest.get(pattern, 0), first, second)


def _movers(a: Hand, b: Hand) -> list[int]:
    """Places in FINGERS of the fingers that press other touches in the two hand positions."""
    return [finger for finger, (x, y) in enumerate(zip(a, b, strict=True)) if x != y]


def _mask(place: str) -> int:
    return 0 if place.startswith("-") else Grip.of(place.split()).mask


def _pressed(a: Hand, b: Hand, there: Collection[int]) -> int:
    """The touches pressed when some fingers are already where they go, as a grip's mask."""
    mask = 0
    for finger, (x, y) in enumerate(zip(a, b, strict=True)):
        mask |= y if finger in there else x
    return mask


def _nearest_bit(bits: int, first: int, second: int) -> int | None:
    """The set bit nearest to one of two numbers (the lower one of two as near); None without bits."""
    found = [number for number in range(bits.bit_length()) if bits >> number & 1]
    return min(found, key=lambda n: min(abs(n - first), abs(n - second)), default=None)


def _best_order(count: int, safe: Sequence[bool]) -> tuple[list[int], list[int]]:
    """The order of movers that passes the fewest unsafe sets, and all movers that may come first.

    `safe` says it for each set of movers as bits. A dynamic programme over the sets, from all
    to none; of equal orders the first in the order of the movers.
    """
    everyone = (1 << count) - 1
    left = [0] * (everyone + 1)  # unsafe sets still to pass after this one
    for done in range(everyone - 1, -1, -1):
        left[done] = min(_onward(done, k, safe, left) for k in range(count) if not done >> k & 1)
    order: list[int] = []
    leads: list[int] = []
    done = 0
    while done != everyone:
        waiting = [k for k in range(count) if not done >> k & 1]
        best = [k for k in waiting if _onward(done, k, safe, left) == left[done]]
        leads = leads or best
        order.append(best[0])
        done |= 1 << best[0]
    return order, leads


def _onward(done: int, mover: int, safe: Sequence[bool], left: Sequence[int]) -> int:
    """Unsafe sets passed from the next one on, when this mover goes next."""
    after = done | 1 << mover
    return left[after] + (not safe[after])
