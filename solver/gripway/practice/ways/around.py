"""Few hard bars that are left out of a passage, so that all the others go at a higher tempo."""

from collections.abc import Sequence
from dataclasses import dataclass

from gripway.display import enumerated
from gripway.model.passage import Note

Ends = tuple[int, int]
"""First and last note of a bar, or of bars."""


@dataclass(frozen=True, slots=True)
class Around:
    """The passage without some bars at a `share` of its tempo, which is higher than that of the whole.

    `ranges` are the bars left out, `told` names them; `quarters` is the tempo where the stretch has its own.
    """

    share: float
    ranges: tuple[Ends, ...]
    told: str
    quarters: int = 0

    @property
    def them(self) -> str:
        """The pronoun for the bars left out: `it` for one."""
        return "them" if self.told.startswith("bars") else "it"

    def leaves_out(self, first: int, last: int) -> bool:
        """Whether one of some notes is left out."""
        return any(begin <= last and first <= end for begin, end in self.ranges)

    def within(self, first: int, last: int, notes: Sequence[Note]) -> "Around | None":
        """What is left out of some notes; None where nothing is."""
        there = [each for each in self.ranges if each[0] <= last and first <= each[1]]
        return without(there, self.share, notes) if there else None


def without(ranges: Sequence[Ends], share: float, notes: Sequence[Note]) -> Around:
    """A passage without these bars at a share of its tempo; one bar between two of them goes with them."""
    kept: list[Ends] = []
    for begin, end in sorted(ranges):
        if kept and _is_next(notes[kept[-1][1]].bar, notes[begin].bar):
            kept[-1] = (kept[-1][0], end)
        else:
            kept.append((begin, end))
    ends = (dict.fromkeys((notes[begin].bar, notes[end].bar)) for begin, end in kept)
    named = list(dict.fromkeys("-".join(each) for each in ends))
    many = len(named) > 1 or "-" in named[0]
    return Around(share, tuple(kept), f"bar{'s' * many} {enumerated(named)}")


def _is_next(bar: str, after: str) -> bool:
    """Whether there is no more than one bar between two."""
    return bar.isdecimal() and after.isdecimal() and 0 <= int(after) - int(bar) <= 2
