"""Pairs: from the candidates of two pitches to every pair of them worth a look, ranked."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gripway.catalog.flute.trills import TrillRow
from gripway.catalog.tables.trill_pairs import pair_figures
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.model.grip import Grip
from gripway.model.mechanism import Mechanism
from gripway.trills.pair import FOUND, KNOWN, PRINTED, Pair
from gripway.trills.ranking import NO_GOOD, is_usable, lean_of, order_of, rank_parts, stands_in


@dataclass(frozen=True, slots=True)
class PrintedRows:
    """Printed rows of two pitches by their grips and by the holes these open, lower note first.

    `asked_for` are the places of those of low confidence that stand in for surer ones out of tune.
    """

    grips: Mapping[tuple[Grip, Grip], TrillRow]
    holes: Mapping[tuple[int, int], TrillRow]
    asked_for: frozenset[int] = frozenset()

    def row(self, lower: Candidate, upper: Candidate) -> TrillRow | None:
        """The row that prints a pair."""
        return self.grips.get((lower.grip, upper.grip))

    def twin(self, lower: Candidate, upper: Candidate) -> TrillRow | None:
        """The row of a printed pair with the same holes, or the same grips but for fingers held."""
        same = self.holes.get((lower.pattern, upper.pattern))
        return same or self.grips.get((lower.row_grip, upper.row_grip))


def printed_pairs(rows: Iterable[TrillRow], mechanism: Mechanism) -> PrintedRows:
    """The printed rows that name two grips; of two with the same holes the one that is a good trill."""
    grips: dict[tuple[Grip, Grip], TrillRow] = {}
    holes: dict[tuple[int, int], TrillRow] = {}
    rows = tuple(rows)
    for row in sorted(rows, key=lambda row: (NO_GOOD in row.flags, row.place)):
        if row.lower_grip is not None and row.upper_grip is not None:
            lower, upper = row.lower_grip, row.upper_grip
            grips.setdefault((lower, upper), row)
            holes.setdefault((mechanism.hole_pattern(lower), mechanism.hole_pattern(upper)), row)
    return PrintedRows(grips, holes, frozenset(row.place for row in rows if stands_in(row, rows)))


def ranked_pairs(
    lowers: Sequence[Candidate],
    uppers: Sequence[Candidate],
    model: EffortModel,
    printed: PrintedRows,
    most: int,
) -> tuple[Pair, ...]:
    """Every printed pair and, up to `most` in all, the best others; best first.

    A pair alternates between the two nearest hand positions of its grips. A pair that opens the
    same holes as a better one, or as a printed one, with the same fingers moving, or more, is left
    out; pairs one of whose notes leans by more than `widest_lean_cents` are left out unless printed.
    """
    both = {lower.pattern for lower in lowers} & {upper.pattern for upper in uppers}
    found = [pair_of(low, up, model, printed, both) for low, up in _nearest(lowers, uppers, model)]
    found.sort(key=order_of)
    kept = list(_distinct([pair for pair in found if pair.kind == PRINTED or _plausible(pair)]))
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
        for lower, moved, (alternating_ms, line_ms, *_) in zip(lowers, holes, times, strict=True):
            if not moved or not alternating_ms:
                continue
            idle = lower.position.second_choices + upper.position.second_choices
            entry = (alternating_ms + line_ms, idle, lower.rank + upper.rank, lower, upper)
            key = (lower.grip.mask, upper.grip.mask)
            if key not in best or entry[:3] < best[key][:3]:
                best[key] = entry
    for entry in best.values():
        yield entry[3], entry[4]


def pair_of(
    lower: Candidate,
    upper: Candidate,
    model: EffortModel,
    printed: PrintedRows,
    both: Collection[int] = (),
) -> Pair:
    """The pair of two candidates with its points; `both` are hole patterns that sound both notes."""
    row = printed.row(lower, upper)
    twin = None if row else printed.twin(lower, upper)
    figures, said = pair_figures(), row or twin
    asked_for = said is not None and said.place in printed.asked_for
    pair = Pair(
        lower=lower,
        upper=upper,
        change=model.change(lower, upper),
        kind=PRINTED if row else FOUND if "found" in (lower.kind, upper.kind) else KNOWN,
        row=row,
        twin=twin,
        unsafe=model.step(lower, upper).unsafe,
        idle=row is None and not {lower.pattern, upper.pattern}.isdisjoint(both),
        usable=is_usable(said, lower, upper, figures, asked_for=asked_for),
    )
    return replace(pair, parts=rank_parts(pair, figures, model.tables.response))


def _plausible(pair: Pair) -> bool:
    """Whether neither note leans too far for its name."""
    widest = pair_figures().widest_lean_cents
    return all(abs(lean_of(candidate) or 0.0) <= widest for candidate in (pair.lower, pair.upper))


def _distinct(pairs: Sequence[Pair]) -> Iterator[Pair]:
    """The pairs in their order without those that open the same holes with the same fingers or more.

    PrintedRows ones are always kept, and count as said before all others.
    """
    seen: dict[tuple[int, int], list[frozenset[str]]] = {}
    for pair in pairs:
        if pair.kind == PRINTED:
            seen.setdefault(_holes(pair), []).append(frozenset(pair.movers))
    for pair in pairs:
        met = seen.setdefault(_holes(pair), [])
        movers = frozenset(pair.movers)
        if pair.kind != PRINTED and any(fewer <= movers for fewer in met):
            continue
        met.append(movers)
        yield pair


def _holes(pair: Pair) -> tuple[int, int]:
    return pair.lower.pattern, pair.upper.pattern


def _first(pairs: Iterable[Pair], room: int) -> Iterator[Pair]:
    """All printed pairs and the first `room` others."""
    for pair in pairs:
        if pair.kind == PRINTED:
            yield pair
        elif room:
            room -= 1
            yield pair
