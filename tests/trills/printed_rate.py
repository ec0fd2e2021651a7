"""How often the printed best pair of a half or whole step is among our first ones.

Run `python -m tests.trills.printed_rate`: for all 71 half and whole steps from C4 to C7 it takes
the printed best pair (of the plain concert flute: the surest row of tables/trills that it can
play, in the table's order, and that is not printed as no good trill) and looks for its place in
our list. Where it is not among the first FIRST, the reason is printed: what it has more points
for than the pair in that place.
"""

from collections import Counter
from dataclasses import dataclass
from functools import cache

from gripway.catalog.flute.grips import allowed
from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.flute.trills import TrillRow, trill_rows
from gripway.model.pitch import Pitch, plain_name
from gripway.tasks.trill_lists import trill
from gripway.trills.pair import Pair

FIRST = 3
LOWEST, HIGHEST = 60, 96
"""C4 to C7."""

STEPS = tuple(
    (low, low + width) for low in range(LOWEST, HIGHEST) for width in (1, 2) if low + width <= HIGHEST
)
SURENESS = ("high", "medium", "low")


@dataclass(frozen=True, slots=True)
class Placed:
    """The printed best pair of a step and its place in our list (from 1), or why it is not looked for."""

    lower: int
    upper: int
    row: TrillRow | None
    place: int | None
    reason: str

    @property
    def name(self) -> str:
        """`F6-G6`."""
        return f"{plain_name(self.lower)}-{plain_name(self.upper)}"

    @property
    def first(self) -> bool:
        """Whether it is among the first ones."""
        return self.place is not None and self.place <= FIRST


def printed_best(lower: int, upper: int) -> TrillRow | None:
    """The printed row that a player of the plain flute would name first; None where none is good."""
    instrument = load_instrument("concert-flute")
    rows = [
        row
        for row in trill_rows(instrument).get((lower, upper), ())
        if row.grips and allowed(row, instrument) and "no-good-trill" not in row.flags
    ]
    return min(rows, key=lambda row: (SURENESS.index(row.confidence), row.place), default=None)


@cache
def placed() -> tuple[Placed, ...]:
    """Every step with the place of its printed best pair."""
    return tuple(_placed(lower, upper) for lower, upper in STEPS)


def _placed(lower: int, upper: int) -> Placed:
    row = printed_best(lower, upper)
    pairs = trill(Pitch.from_number(lower), Pitch.from_number(upper), load_instrument("concert-flute")).pairs
    if row is None:
        return Placed(lower, upper, None, None, "no good trill is printed for the plain flute")
    grips = [(pair.lower.grip, pair.upper.grip) for pair in pairs]
    place = grips.index((row.lower_grip, row.upper_grip)) + 1
    reason = "" if place <= FIRST else _reason(pairs[place - 1], pairs[FIRST - 1])
    return Placed(lower, upper, row, place, reason)


def _reason(pair: Pair, better: Pair) -> str:
    """In which parts a pair has more points than a better one."""
    more = Counter(dict(pair.parts))
    more.subtract(dict(better.parts))
    told = ", ".join(f"{name} {size:+.2f}" for name, size in more.most_common() if size > 0)
    return f"{pair.lower.grip.short} ~ {pair.upper.grip.short} has more for: {told}"


def main() -> None:
    """Print the rate and every step whose printed best is not among our first ones."""
    found = placed()
    looked_for = [one for one in found if one.row is not None]
    hits = sum(one.first for one in looked_for)
    print(f"{len(found)} half and whole steps C4 to C7, {len(looked_for)} with a printed trill that is good")
    print(f"printed best among our first {FIRST}: {hits} of {len(looked_for)} ({hits / len(looked_for):.0%})")
    firsts = sum(one.place == 1 for one in looked_for)
    print(f"printed best is our first: {firsts} of {len(looked_for)} ({firsts / len(looked_for):.0%})")
    for one in found:
        if not one.first:
            print(f"{one.name}: place {one.place or '-'}; {one.reason}")


if __name__ == "__main__":
    main()
