"""Pairs: from the candidates of two pitches to every pair of them worth a look, ranked."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from gripway.catalog.trill_pairs import pair_figures
from gripway.catalog.trills import TrillRow
from gripway.effort.candidate import Candidate
from gripway.effort.model import EffortModel
from gripway.model.grip import Grip
from gripway.trills.pair import FOUND, KNOWN, PRINTED, Pair, order_of
from gripway.trills.ranking import lean_of, rank_parts

Printed = Mapping[tuple[Grip, Grip], TrillRow]
"""Printed rows of two pitches by their grips, lower first."""


def printed_by_grips(rows: Iterable[TrillRow]) -> dict[tuple[Grip, Grip], TrillRow]:
    """The printed rows that name two grips, by these."""
    return {
        (row.lower_grip, row.upper_grip): row
        for row in rows
        if row.lower_grip is not None and row.upper_grip is not None
    }


def ranked_pairs(
    lowers: Sequence[Candidate],
    uppers: Sequence[Candidate],
    model: EffortModel,
    printed: Printed,
    most: int,
) -> tuple[Pair, ...]:
    """Every printed pair and, up to `most` in all, the best others; best first.

    A pair alternates between the two nearest hand positions of its grips. A pair that opens the
    same holes as a better one with the same fingers moving, or more, is left out; pairs one of
    whose notes leans by more than half a semitone are left out unless printed.
    """
    both = {lower.pattern for lower in lowers} & {upper.pattern for upper in uppers}
    found = [pair_of(low, up, model, printed, both) for low, up in _nearest(lowers, uppers, model)]
    found.sort(key=order_of)
    kept = list(_distinct(pair for pair in found if pair.kind == PRINTED or _plausible(pair)))
    room = most - sum(pair.kind == PRINTED for pair in kept)
    return tuple(_first(kept, max(0, room)))


def _nearest(
    lowers: Sequence[Candidate], uppers: Sequence[Candidate], model: EffortModel
) -> Iterator[tuple[Candidate, Candidate]]:
    """For every two grips that open different holes the two hand positions with the quickest change."""
    best: dict[tuple[int, int], tuple[float, int, int, Candidate, Candidate]] = {}
    for upper in uppers:
        holes = [(lower.pattern ^ upper.pattern).bit_count() for lower in lowers]
        times = model.times.briefs((lower.position for lower in lowers), upper.position, holes)
        for lower, moved, (alternating_ms, lever_ms, _) in zip(lowers, holes, times, strict=True):
            if not moved or not alternating_ms:
                continue
            idle = lower.position.second_choices + upper.position.second_choices
            entry = (alternating_ms + lever_ms, idle, lower.rank + upper.rank, lower, upper)
            key = (lower.grip.mask, upper.grip.mask)
            if key not in best or entry[:3] < best[key][:3]:
                best[key] = entry
    for entry in best.values():
        yield entry[3], entry[4]


def pair_of(
    lower: Candidate,
    upper: Candidate,
    model: EffortModel,
    printed: Printed,
    both: Collection[int] = (),
) -> Pair:
    """The pair of two candidates with its points; `both` are hole patterns that sound both notes."""
    row = printed.get((lower.grip, upper.grip))
    pair = Pair(
        lower=lower,
        upper=upper,
        change=model.change(lower, upper),
        kind=PRINTED if row else FOUND if "found" in (lower.kind, upper.kind) else KNOWN,
        row=row,
        unsafe=model.step(lower, upper).unsafe,
        idle=row is None and not {lower.pattern, upper.pattern}.isdisjoint(both),
    )
    return replace(pair, parts=rank_parts(pair, pair_figures(), model.tables.response))


def _plausible(pair: Pair) -> bool:
    """Whether neither note leans by more than half a semitone."""
    return all(abs(lean_of(candidate) or 0.0) <= 50.0 for candidate in (pair.lower, pair.upper))


def _distinct(pairs: Iterable[Pair]) -> Iterator[Pair]:
    """The pairs in their order without those that open the same holes with the same fingers or more.

    Printed ones are always kept.
    """
    seen: dict[tuple[int, int], list[frozenset[str]]] = {}
    for pair in pairs:
        met = seen.setdefault((pair.lower.pattern, pair.upper.pattern), [])
        movers = frozenset(pair.movers)
        if pair.kind != PRINTED and any(fewer <= movers for fewer in met):
            continue
        met.append(movers)
        yield pair


def _first(pairs: Iterable[Pair], room: int) -> Iterator[Pair]:
    """All printed pairs and the first `room` others."""
    for pair in pairs:
        if pair.kind == PRINTED:
            yield pair
        elif room:
            room -= 1
            yield pair
