"""Ranking: the points of a pair, part by part, and the order of the pairs (`order_of`).

What it measures: how good a pair is for a trill: movers first, then tuning, evenness, response
and how it is known. Printed pairs that can be used come before all others, whatever their points;
one of low confidence is among them where the surer ones from its lower grip tell of a lean.
Why it matters: teachers choose one easy finger first, then two of one hand in one direction,
and keep a grossly false one-finger pair below a good pair of two.
Unit: points; fewer are better. 1 point is two fingers together, or 25 cents beyond what is free.
Example: F6-G6 with the thumb alone: 0.3 for the finger, the rest for a G that is far too flat.
Source: tables/effort/trill_pairs.csv; the order is taught, most sizes are judgement.
"""

from collections.abc import Iterable, Mapping

from gripway.catalog.flute.trills import TrillRow
from gripway.catalog.tables.trill_pairs import PairFigures
from gripway.effort.candidate import Candidate
from gripway.trills.pair import FOUND, PRINTED, Pair, Parts

NO_GOOD = "no-good-trill"


LEANS = frozenset({"lower-flat", "lower-sharp", "upper-flat", "upper-sharp"})
"""Flags of a printed row that tell of a note out of tune."""


def stands_in(row: TrillRow, rows: Iterable[TrillRow]) -> bool:
    """Whether a row of low confidence is asked for: all surer ones from its lower grip tell of a lean."""
    surer = [one for one in rows if one.lower_grip == row.lower_grip and one.confidence != "low"]
    return bool(surer) and all(one.flags & LEANS for one in surer)


def is_usable(
    row: TrillRow | None, lower: Candidate, upper: Candidate, figures: PairFigures, *, asked_for: bool = False
) -> bool:
    """Whether a printed row is one to trill by: what comes before all that nobody printed.

    A row is none when it says itself that it is no good trill, when its confidence is low (most of
    these only the model knows), and when a note is grossly false that it says a lean of itself. One of
    low confidence that is `asked_for` (`stands_in`) is one where neither note is to be flagged.
    """
    if row is None or NO_GOOD in row.flags:
        return False
    if row.confidence == "low":
        leans = [abs(lean_of(note) or 0.0) for note in (lower, upper)]
        return asked_for and not (lower.response or upper.response) and max(leans) < figures.flag_cents
    sides = ((lower, row.lower_cents), (upper, row.upper_cents))
    return not any(said and abs(lean_of(candidate) or 0.0) > figures.gross_cents for candidate, said in sides)


def rank_parts(pair: Pair, figures: PairFigures, response: Mapping[str, float]) -> Parts:
    """The points of a pair by part; `response` gives the effort of each word of response.

    Parts that are nothing are left out.
    """
    parts = (
        ("fingers", _fingers(pair.change.movers, figures)),
        ("slide", _slides(pair, figures)),
        ("lower note", _lean(pair.lower, figures)),
        ("upper note", _lean(pair.upper, figures, upper=True)),
        ("width", _width(pair, figures)),
        (
            "response",
            figures.response_factor * sum(response.get(c.response, 0.0) for c in (pair.lower, pair.upper)),
        ),
        ("overblown", figures.harmonic_points * sum(c.kind == "harmonic" for c in (pair.lower, pair.upper))),
        ("held", figures.held_points * _needless(pair)),
        ("idle finger", figures.idle_points * pair.idle),
        ("on the way", figures.unsafe_points * pair.unsafe),
        ("how known", _knowledge(pair, figures)),
    )
    return tuple((name, round(size, 3)) for name, size in parts if round(size, 3))


def _fingers(movers: tuple[tuple[str, str], ...], figures: PairFigures) -> float:
    """One finger, two of a hand together, two hands, a swap; more fingers cost more."""
    if len(movers) <= 1:
        return sum(figures.finger(finger) for finger, _ in movers)
    hands = {finger[0] if finger != "LT" else "L" for finger, _ in movers}
    size = figures.together_points
    if len(hands) > 1:
        size = figures.two_hands_points
    if any(_swaps(movers, hand) for hand in hands):
        size = max(size, figures.swap_points)
    return size + figures.more_fingers_points * (len(movers) - 2)


def _swaps(movers: tuple[tuple[str, str], ...], hand: str) -> bool:
    """Whether in one hand a finger goes down while another goes up."""
    hows = {how for finger, how in movers if (finger[0] if finger != "LT" else "L") == hand}
    return {"up", "down"} <= hows or ("across" in hows and len(hows) > 1)


def _slides(pair: Pair, figures: PairFigures) -> float:
    if pair.change.thumb_slide:
        return figures.thumb_slide_points
    return figures.slide_points if any(how in ("slide", "across") for _, how in pair.change.movers) else 0.0


def lean_of(candidate: Candidate) -> float | None:
    """The lean a trill is judged by: as far as it is one from equal temperament and from the standard grip.

    0 where the two lie on different sides; None where nothing is known.
    """
    tempered, versus = candidate.tendency.cents, candidate.tendency.vs_standard
    if tempered is None or versus is None:
        return tempered
    if tempered * versus <= 0.0:
        return 0.0
    return min(tempered, versus, key=abs)


def _lean(candidate: Candidate, figures: PairFigures, *, upper: bool = False) -> float:
    lean = lean_of(candidate) or 0.0
    beyond = max(0.0, abs(lean) - figures.free_cents) / figures.point_cents
    return beyond * figures.sharp_upper_factor if upper and lean > 0.0 else beyond


def _width(pair: Pair, figures: PairFigures) -> float:
    """By how much the interval comes out wrong: two notes flat by as much make a true one."""
    error = pair.width_error_cents
    return 0.0 if error is None else max(0.0, abs(error) - figures.free_cents) / figures.interval_point_cents


def _needless(pair: Pair) -> int:
    """Fingers held without need; what a printed pair holds it needs."""
    return 0 if pair.row is not None else sum(c.held + c.thumb_held for c in (pair.lower, pair.upper))


def _knowledge(pair: Pair, figures: PairFigures) -> float:
    """What the doubt in a pair counts; what is printed of its twin is held against it as well."""
    said = pair.said
    confidence = {"medium": figures.printed_medium_points, "low": figures.printed_low_points}
    doubt = confidence.get(said.confidence, 0.0) if said is not None else 0.0
    if pair.kind != PRINTED:
        doubt = max(doubt, figures.found_points if pair.kind == FOUND else figures.known_points)
    return doubt + figures.no_good_points * (said is not None and NO_GOOD in said.flags)


def order_of(pair: Pair) -> tuple[object, ...]:
    """Sorting key: printed pairs that can be used, the other pairs, those that need a part the flute lacks.

    Inside each of the three the points decide, then the order in print, speed, and a stated order of grips.
    """
    return (
        bool(pair.lacking),
        pair.row is None or not pair.usable,
        pair.points,
        pair.row.place if pair.row is not None else 1_000_000,
        round(pair.change.alternating_ms, 3),
        pair.lower.grip.mask,
        pair.upper.grip.mask,
    )
