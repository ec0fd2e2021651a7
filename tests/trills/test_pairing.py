"""Every pair of every interval: held by hands, its movers counted again, cents with their spread, sorted."""

import random
from dataclasses import replace
from functools import cache

import pytest
from tests.tiers import examples
from tests.trills.hands import possible_movers, ways

import gripway
from gripway.candidates.candidates import Candidates
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.costs import EffortModel
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import PLAIN_PLAYER
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.trill_lists import MOST_PAIRS
from gripway.trills.pair import FOUND, KNOWN, PRINTED, Pair
from gripway.trills.pairing import pair_of, printed_pairs
from gripway.trills.ranking import order_of
from gripway.trills.trill_list import TrillList, pair_data, pair_flags

LOWEST, HIGHEST = 60, 96
"""C4 to C7."""

ALL = [(low, high) for low in range(LOWEST, HIGHEST) for high in range(low + 1, low + 13) if high <= HIGHEST]
SAMPLE = sorted(random.Random(6).sample(ALL, examples(24)))


@cache
def listed(low: int, high: int, name: str = "concert-flute", *parts: str) -> TrillList:
    """The pairs of two note numbers."""
    return gripway.trill(Pitch.from_number(low), Pitch.from_number(high), gripway.flute(name, parts))


def check(found: TrillList, parts: frozenset[str], *, cents: bool = True) -> None:
    """What holds for every pair of every list."""
    assert found.pairs
    assert not found.problem
    assert [order_of(pair) for pair in found.pairs] == sorted(map(order_of, found.pairs))
    grips = [(pair.lower.grip, pair.upper.grip) for pair in found.pairs]
    assert len(set(grips)) == len(grips)
    for pair in found.pairs:
        data = pair_data(pair)
        fitted = parts | set(data["requires"])
        for side in ("lower_grip", "upper_grip"):
            assert ways(data[side], fitted), f"no hand can hold {data[side]}"
        assert tuple(data["movers"]) in possible_movers(data["lower_grip"], data["upper_grip"], fitted)
        assert data["one_finger"] == (len(data["movers"]) == 1)
        assert pair.lower.pattern != pair.upper.pattern
        assert data["notes_per_s"] == pytest.approx(1000.0 / data["change_ms"], abs=0.06)
        assert data["points"] == pytest.approx(sum(data["parts"].values()), abs=1e-6)
        for side in ("lower", "upper"):
            known = [data[f"{side}_{key}"] is not None for key in ("cents", "cents_spread", "cents_source")]
            assert known == [cents] * 3
            assert not cents or data[f"{side}_cents_spread"] > 0.0
        assert bool(pair.lacking) <= (f"needs {pair.lacking[0]}" in data["flags"] if pair.lacking else True)
        assert (data["kind"] == FOUND) == ("model only, unconfirmed" in data["flags"])
        assert data["kind"] in (PRINTED, KNOWN, FOUND)


@pytest.mark.parametrize(("low", "high"), SAMPLE)
def test_every_pair_can_be_held_and_is_counted_right(low: int, high: int) -> None:
    """A drawn sample of the intervals up to an octave, C4 to C7."""
    check(listed(low, high), frozenset())


@pytest.mark.whole
def test_every_pair_of_every_interval() -> None:
    """All 366 intervals of two pitches from C4 to C7."""
    for low, high in ALL:
        check(listed(low, high), frozenset())


@pytest.mark.whole
@pytest.mark.parametrize(("low", "high"), SAMPLE[::6])
def test_a_flute_with_parts_has_pairs_for_them(low: int, high: int) -> None:
    """The same on a flute with a C-sharp trill key and a split E."""
    check(
        listed(low, high, "concert-flute", "c-sharp-trill", "split-e"),
        frozenset({"c-sharp-trill", "split-e"}),
    )


@pytest.mark.parametrize(("low", "high"), [(72, 74), (77, 79), (84, 86), (89, 91)])
def test_a_flute_without_a_bore_has_pairs_without_cents(low: int, high: int) -> None:
    """The piccolo: printed and known pairs, no found ones, nothing claimed of their pitch."""
    found = listed(low, high, "piccolo")
    check(found, frozenset(), cents=False)
    kinds = [pair.kind for pair in found.pairs]
    assert set(kinds) <= {PRINTED, KNOWN}
    assert kinds[0] == PRINTED
    assert all(c.tendency.cents is None for pair in found.pairs for c in (pair.lower, pair.upper))
    assert not {"lower note", "upper note", "width"} & {
        part for pair in found.pairs for part in dict(pair.parts)
    }


def test_a_twin_of_a_printed_pair_is_left_out() -> None:
    """C#4-D#4 is printed as no good trill: the thumb on Tb makes no other trill of it."""
    (only,) = listed(61, 63).pairs
    assert only.kind == PRINTED
    assert "no good trill known" in pair_flags(only)
    for low, high in SAMPLE:
        pairs = listed(low, high).pairs
        for pair in (pair for pair in pairs if pair.twin is not None):
            same = [p for p in pairs if p.row and (p.lower.pattern, p.upper.pattern) == holes(pair)]
            assert not any(set(p.movers) <= set(pair.movers) for p in same)


def test_a_twin_with_other_fingers_has_the_verdict_of_the_printed_pair() -> None:
    """C#4-D#4 is printed as no good trill, and is none with a finger held more."""
    candidates = Candidates(knowledge_of(gripway.flute()))
    rows = candidates.knowledge.trills[61, 63]
    printed = printed_pairs(rows, candidates.knowledge.instrument.mechanism)
    bad = next(row for row in rows if row.grips)
    (lower,), (upper,) = (
        [c for c in candidates.column(pitch, False, False) if c.grip == grip][:1]
        for pitch, grip in ((61, bad.lower_grip), (63, bad.upper_grip))
    )
    own = pair_of(lower, upper, EffortModel(effort_tables(), PLAIN_PLAYER), printed)
    held = replace(lower, grip=Grip(lower.grip.mask | Grip.of(["L4"]).mask), held=1)
    twin = pair_of(held, upper, EffortModel(effort_tables(), PLAIN_PLAYER), printed)
    assert (own.row, twin.row, twin.twin) == (bad, None, bad)
    assert "no good trill known" in pair_flags(twin)
    assert pair_data(twin)["confidence"] == bad.confidence
    assert bad.remark in pair_data(twin)["remark"]
    assert dict(twin.parts)["how known"] >= dict(own.parts)["how known"]


def holes(pair: Pair) -> tuple[int, int]:
    """The hole patterns of a pair, lower note first."""
    return pair.lower.pattern, pair.upper.pattern


def test_a_list_is_not_longer_than_can_be_read() -> None:
    """At most MOST_PAIRS, unless more are printed; every printed pair is there."""
    for low, high in SAMPLE:
        pairs = listed(low, high).pairs
        printed = sum(pair.kind == PRINTED for pair in pairs)
        assert len(pairs) <= max(MOST_PAIRS, printed) + sum(bool(pair.lacking) for pair in pairs)


def test_no_pair_does_the_same_with_more_fingers() -> None:
    """Of two unprinted pairs with the same holes, neither moves all the fingers of the other."""
    for low, high in SAMPLE:
        pairs = [pair for pair in listed(low, high).pairs if pair.kind != PRINTED]
        for place, pair in enumerate(pairs):
            for better in pairs[:place]:
                if (better.lower.pattern, better.upper.pattern) == (pair.lower.pattern, pair.upper.pattern):
                    assert not set(better.movers) <= set(pair.movers)
