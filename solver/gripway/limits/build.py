"""From the trellises of a passage and its limits to one network.

Limits on single notes (the worst lean, forbidden and required touches) take candidates away; a thumb
that stays takes changes away; a preference adds effort to the notes that do not follow it. The rest
are sums and figures over the whole passage.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from gripway.asked.limits import Limits
from gripway.asked.spans import places_of, places_of_rule, whole_span
from gripway.charges.charging import NO_CHARGES, Charging
from gripway.charges.joined_network import joined, tenths_of
from gripway.effort.candidate import Candidate
from gripway.limits.windows import common
from gripway.model.figures import figure_places
from gripway.model.passage import Note
from gripway.model.rule import PREFER
from gripway.trellis.constrained_network import STEP, Budgets, ConstrainedNetwork, without_ties
from gripway.trellis.path import INF, Block, Cost, each_once
from gripway.trellis.trellis import Trellis

Others = Callable[[Candidate, int], tuple[Candidate | None, ...]]
"""The grips of the other notes of a note's ornament (by its index), when it is held with a grip."""


def no_others(_candidate: Candidate, _place: int) -> tuple[Candidate | None, ...]:
    """As if no note had an ornament."""
    return ()


@dataclass(frozen=True)
class Terms:
    """What limits say of a passage's notes: rules, spans of the thumb, and what a preference costs.

    `tempo_step` tells figures apart (`model/figures.py`).
    """

    notes: tuple[Note, ...]
    limits: Limits
    preferred_milli: int
    tempo_step: float
    others: Others = no_others
    charging: Charging = NO_CHARGES

    def network(self, trellises: Sequence[Trellis]) -> ConstrainedNetwork:
        """The network of all the trellises. RequestError for a span that holds no note.

        A column may be left without candidates: then no route keeps the limits.
        """
        whole = self.charging.added_to(self._joined(trellises))
        places = {place: p for p, place in enumerate(whole.places)}
        broken = self.broken
        keep = [
            [k for k, c in enumerate(column) if not self._breaks(c, place, broken.get(place, []))]
            for place, column in zip(whole.places, whole.columns, strict=True)
        ]
        figures: tuple[tuple[int, ...], ...] = ()
        if self.limits.same_figure:
            alike = figure_places(self.notes, self.tempo_step).values()
            own = (tuple(places[place] for place in figure if place in places) for figure in alike)
            figures = tuple(figure for figure in own if len(figure) > 1)
            keep = common(replace(whole, figures=figures), keep)
        tuning = self.limits.tuning_cents
        budgets = Budgets(
            self.limits.unusual, None if tuning is None else int(tuning * 10 + 1e-6), self.limits.learnt
        )
        return replace(whole.only(keep), figures=figures, budgets=budgets)

    @cached_property
    def broken(self) -> dict[int, list[int]]:
        """The rules (by their number) that hold for each note, those that only prefer left out."""
        return self._rules_by_place(preferences=False)

    @cached_property
    def preferred(self) -> dict[int, list[int]]:
        """The preferences (by their number) that hold for each note."""
        return self._rules_by_place(preferences=True)

    def _rules_by_place(self, *, preferences: bool) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for number, rule in enumerate(self.limits.rules):
            if (rule.action == PREFER) is preferences:
                for place in places_of_rule(rule, self.notes):
                    found.setdefault(place, []).append(number)
        return found

    def slighted_milli(self, candidate: Candidate, numbers: Sequence[int]) -> int:
        """Thousandths of effort for the preferences a grip does not follow."""
        rules = self.limits.rules
        return sum(self.preferred_milli for n in numbers if not rules[n].kept_by(candidate.grip))

    def local_limit(self, candidate: Candidate, place: int) -> str:
        """The words of a limit on single notes that a candidate breaks; empty where it breaks none."""
        numbers = [n for n in self.broken.get(place, []) if self._breaks(candidate, place, [n])]
        names = self.limits.words()
        if self._too_far(candidate, place):
            return names["worst_cents"]
        return names[f"rule {numbers[0]}"] if numbers else ""

    def thumb_limit(self, place: int, free: Candidate, chosen: Candidate) -> str:
        """The words of the thumb's limit, where a note has another plate than without it; else empty."""
        if thumb_plate(free) == thumb_plate(chosen):
            return ""
        for thumb in self.limits.thumb:
            if thumb.span is None or place in places_of(thumb.span, self.notes, thumb.words):
                return thumb.words
        return ""

    def _breaks(self, candidate: Candidate, place: int, numbers: Sequence[int]) -> bool:
        rules = self.limits.rules
        return self._too_far(candidate, place) or any(not rules[n].kept_by(candidate.grip) for n in numbers)

    def _too_far(self, candidate: Candidate, place: int) -> bool:
        worst = self.limits.worst_cents
        return worst is not None and self.worst(candidate, place) > int(worst * 10 + 1e-6)

    def worst(self, candidate: Candidate, place: int) -> int:
        """The furthest lean, in tenths of a cent, of a note and of the other notes of its ornament."""
        others = self.others(candidate, place)
        return max(tenths_of(each) for each in (candidate, *others) if each is not None)

    def _joined(self, trellises: Sequence[Trellis]) -> ConstrainedNetwork:
        """The network with what preferences add, and only the changes that leave the thumb where it stays."""
        whole, preferred, stays = joined(trellises), self.preferred, self._thumb_stays()
        nodes, blocks = list[tuple[Cost, ...]](), list(whole.blocks)
        kept: dict[tuple[int, int, int], Block] = {}  # what was one object stays one
        bare = each_once(whole.nodes, without_ties)
        for p, (place, column, plain) in enumerate(zip(whole.places, whole.columns, bare, strict=True)):
            if p and (whole.places[p - 1], place) in stays:
                before = whole.columns[p - 1]
                key = id(before), id(column), id(blocks[p])
                if key not in kept:
                    kept[key] = _thumb_only(before, column, blocks[p])
                blocks[p] = kept[key]
            if asked := preferred.get(place, []):
                added = (self.slighted_milli(c, asked) * STEP for c in column)
                plain = tuple(cost + more for cost, more in zip(plain, added, strict=True))
            nodes.append(plain)
        return replace(whole, nodes=tuple(nodes), blocks=tuple(blocks))

    def _thumb_stays(self) -> "_Pairs":
        spans = [
            None if thumb.span is None else whole_span(thumb.span, self.notes, thumb.words)
            for thumb in self.limits.thumb
        ]
        return _Pairs(spans)


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Pairs of notes between which the thumb stays: both lie in one of the spans (None: everywhere)."""

    spans: list[frozenset[int] | None]

    def __contains__(self, pair: tuple[int, int]) -> bool:
        return any(span is None or (pair[0] in span and pair[1] in span) for span in self.spans)


def thumb_plate(candidate: Candidate) -> str:
    """The plate the thumb presses or rests above."""
    return candidate.position.left[0].lstrip("-")


def _thumb_only(before: Sequence[Candidate], after: Sequence[Candidate], block: Block) -> Block:
    """The changes of a block in which the thumb keeps its plate."""
    plates = [thumb_plate(c) for c in before]
    rows: list[list[Cost]] = []
    for candidate, row in zip(after, block, strict=True):
        own = thumb_plate(candidate)
        rows.append([cost if plate == own else INF for plate, cost in zip(plates, row, strict=True)])
    return rows
