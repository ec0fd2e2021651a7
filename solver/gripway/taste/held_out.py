"""Which marks are held out together: those of a passage, and with them those of the same figures.

Marks of one figure would explain each other, so that what is learnt of one must not be tried on another.
Where figures bind nearly all passages together, each figure is a group by itself.
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from gripway.catalog.tables.taste_figures import TasteFigures
from gripway.model.figures import contexts
from gripway.taste.mark import MarkedPart

PASSAGE, FIGURE = "passage", "figure"


@dataclass(frozen=True, slots=True)
class Folds:
    """The fold of every mark, in the order of the parts and their marks; `by` is what held them together."""

    of_mark: tuple[int, ...]
    count: int
    by: str


def folds(parts: Sequence[MarkedPart], figures: TasteFigures) -> Folds | None:
    """The folds of all marks; None where there are too few different passages and figures."""
    passages: list[Hashable] = []
    same: list[Hashable] = []
    for number, part in enumerate(parts):
        about = contexts(part.passage.notes)
        bars = {bar: k for k, bar in enumerate(dict.fromkeys(note.bar for note in part.passage.notes))}
        for mark in part.marks:
            passages.append((number, bars[mark.note.bar] // figures.passage_bars))
            same.append((part.knowledge.instrument.id, about[mark.index]))
    for by, groups in ((PASSAGE, _joined(passages, same)), (FIGURE, _joined(same, same))):
        sizes = Counter(groups)
        largest = max(sizes.values(), default=0)
        if len(sizes) >= figures.least_groups and largest <= figures.largest_group_share * len(groups):
            return Folds(_dealt(groups, sizes, figures.held_out_folds), figures.held_out_folds, by)
    return None


def _joined(first: Sequence[Hashable], second: Sequence[Hashable]) -> list[int]:
    """The group of every mark, where marks with an equal `first` or an equal `second` belong together."""
    group = list(range(len(first)))

    def root(k: int) -> int:
        while group[k] != k:
            k = group[k]
        return k

    for keys in (first, second):
        seen: dict[Hashable, int] = {}
        for k, key in enumerate(keys):
            group[root(k)] = root(seen.setdefault(key, k))
    return [root(k) for k in range(len(group))]


def _dealt(groups: Sequence[int], sizes: Counter[int], count: int) -> tuple[int, ...]:
    """Groups dealt out to folds, the largest first, each to the fold that has least."""
    has = [0] * count
    fold: dict[int, int] = {}
    for group, size in sorted(sizes.items(), key=lambda each: (-each[1], each[0])):
        fold[group] = has.index(min(has))
        has[fold[group]] += size
    return tuple(fold[group] for group in groups)
