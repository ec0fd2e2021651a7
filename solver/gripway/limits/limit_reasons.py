"""Runners-up and reasons under limits: what a limit decides, and what other grips keep them all."""

from collections import Counter
from dataclasses import dataclass

from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.ledger import MILLI
from gripway.effort.setting import Link, Setting
from gripway.limits.build import Terms
from gripway.limits.conflicts import NAMES
from gripway.limits.exchanges import Swap, Swaps
from gripway.model.passage import Note
from gripway.route.result import Other
from gripway.route.words.reasons import held_words, why_no_standard, why_other_than_standard, why_standard
from gripway.trellis.constrained_network import ConstrainedNetwork

SUM_NAMES = {name: limit for limit, name in NAMES.items()}
"""The limit of each sum."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The notes of a passage as the costs see them."""

    notes: tuple[Note, ...]
    about: tuple[Setting, ...]
    between: tuple[Link, ...]
    model: EffortModel


class LimitedReasons:
    """Everything the reasons of one route need; `free` is each note's candidate without limits."""

    def __init__(
        self,
        scene: Scene,
        terms: Terms,
        network: ConstrainedNetwork,
        path: list[int],
        free: dict[int, Candidate],
    ) -> None:
        self.scene, self.terms, self.network, self.path, self.free = scene, terms, network, path, free
        self.swaps = Swaps(network, path)
        self.words = terms.limits.words()
        self._differences: dict[int, Counter[str]] = {}

    def others(self, p: int, most: int) -> tuple[Other, ...]:
        """Other grips of a note that keep every limit while all else stays, least effort first."""
        found = [(swap.milli_more, swap.nodes[p]) for swap in self.swaps.at(p).values() if not swap.breaks]
        return tuple(
            Other(self.network.columns[p][k], more / MILLI)
            for more, k in sorted(found, key=lambda item: (item[0], self.network.columns[p][item[1]].rank))[
                :most
            ]
        )

    def why(self, p: int, others: tuple[Other, ...]) -> str:
        """Why a note has its grip."""
        candidate = self.network.columns[p][self.path[p]]
        return self._standard(p, candidate, others) if candidate.kind == "standard" else self._other(p)

    def forced(self, p: int) -> tuple[str, ...]:
        """The flag of a note that would have another grip without limits: which, and what limit decides."""
        free = self.free[self.network.places[p]]
        if free.grip == self.network.columns[p][self.path[p]].grip:
            return ()
        return (f"without limits {free.grip.short}; {self._forced(p, free)}",)

    def _standard(self, p: int, candidate: Candidate, others: tuple[Other, ...]) -> str:
        if not others and len(set(self.network.counted[p].grips)) > 1:
            return f"standard grip{held_words(candidate)}, the only one here that keeps the limits"
        return why_standard(candidate, others)

    def _other(self, p: int) -> str:
        """Why a grip is not the standard one, by the swap to the best standard grip."""
        column = self.network.columns[p]
        candidate = column[self.path[p]]
        kept = [swap for swap in self.swaps.at(p).values() if column[swap.nodes[p]].kind == "standard"]
        if not kept:
            return why_no_standard(column, "here within the limits")
        best = min(kept, key=lambda swap: (bool(swap.breaks), swap.milli_more, column[swap.nodes[p]].rank))
        standard = column[best.nodes[p]]
        if best.breaks:
            return f"the standard {standard.grip.short} would break: {self.words[SUM_NAMES[best.breaks]]}"
        more = best.milli_more / MILLI
        return why_other_than_standard(candidate, standard, more, self._difference(best))

    def _difference(self, swap: Swap) -> Counter[str]:
        """Thousandths of effort, term by term, that a swap has more; the notes of a figure share a swap."""
        if id(swap) not in self._differences:
            self._differences[id(swap)] = self._counted(swap)
        return self._differences[id(swap)]

    def _counted(self, swap: Swap) -> Counter[str]:
        usual = {p: self.path[p] for p in swap.nodes}
        terms = self._terms(swap.nodes)
        terms.subtract(self._terms(usual))
        return terms

    def _terms(self, nodes: dict[int, int]) -> Counter[str]:
        """Ledger parts of some columns, and of the changes into and out of them."""
        terms: Counter[str] = Counter()
        model, places = self.scene.model, self.network.places
        for p in sorted({*nodes, *(p + 1 for p in nodes if p + 1 < len(self.path))}):
            here = self.network.columns[p][nodes.get(p, self.path[p])]
            if p in nodes:
                held = model.holding(here, self.scene.about[places[p]])
                terms.update(dict(held.parts) if held else {})
                slighted = self.terms.slighted_milli(here, self.preferred(p))
                terms.update({"rules": slighted} if slighted else {})
            if p and places[p - 1] + 1 == places[p]:
                before = self.network.columns[p - 1][nodes.get(p - 1, self.path[p - 1])]
                moved = model.moving(model.step(before, here), self.scene.between[places[p]])
                terms.update(dict(moved.parts) if moved else {})
        return terms

    def preferred(self, p: int) -> list[int]:
        """The preferences (by number) that hold for the note of a column."""
        return self.terms.preferred.get(self.network.places[p], [])

    def _forced(self, p: int, free: Candidate) -> str:
        """The limit that keeps a note from the grip it would have without limits, in words."""
        place = self.network.places[p]
        if local := self.terms.local_limit(free, place):
            return local
        if stays := self.terms.thumb_limit(place, free, self.network.columns[p][self.path[p]]):
            return stays
        figure = self.swaps.figure_of.get(p)
        if figure and len({self.free[self.network.places[q]].row_grip for q in figure}) > 1:
            other = next(q for q in figure if q != p)
            return f"the same grip as {where_of(self.scene.notes, self.network.places[other])}"
        swap = self.swaps.at(p).get(free.grip.mask)
        if swap is not None and swap.breaks:
            return self.words[SUM_NAMES[swap.breaks]]
        if figure and free.row_grip.mask not in self.network.counted[p].rows:
            return "but not every note of its figure can have it"
        return "the limits change what is around it"


def where_of(notes: tuple[Note, ...], place: int) -> str:
    """`note 3 (bar 2)`, or `note 3` where there are no bars."""
    bar = notes[place].bar
    return f"note {place + 1} (bar {bar})" if bar else f"note {place + 1}"
