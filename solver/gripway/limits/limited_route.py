"""The route of a passage under limits: every note's grip, the others, the reasons, and the report."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gripway.asked.limits import Limits
from gripway.asked.wishes import Pin, Wishes
from gripway.display import counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import Ledger
from gripway.errors import RequestError
from gripway.limits.build import Terms
from gripway.limits.conflicts import Build, Conflicts
from gripway.limits.limit_reasons import LimitedReasons, Scene, where_of
from gripway.limits.proved_path import Answer, limited_path
from gripway.model.passage import Note
from gripway.route.ground import Piece
from gripway.route.result import Conflict, LimitReport, LimitUse, Other
from gripway.trellis.constrained_network import ConstrainedNetwork
from gripway.trellis.path import INF, least_path, path_cost
from gripway.trellis.trellis import effort_of

FINDING = (3.0, 20.0)
"""Least and most seconds for saying which limits conflict: an answer without it would help nobody."""


CENTS = ("tuning_cents", "worst_cents")
"""The limits that count cents."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A note's grip under limits, its runners-up, reason and flags, and what preferences slighted cost."""

    candidate: Candidate
    others: tuple[Other, ...]
    why: str
    flags: tuple[str, ...]
    rules: Ledger


@dataclass(frozen=True, slots=True)
class Limited:
    """The notes of a route under limits by their index (none in a conflict), and the report."""

    notes: dict[int, Chosen]
    report: LimitReport


def limited_route(
    scene: Scene, free: Sequence[Piece], free_bound: int, wishes: Wishes, terms: Terms, build: Build
) -> Limited:
    """The least route that keeps the limits; `build` makes the network of fewer limits, for conflicts.

    No route, with limits or without, takes fewer thousandths than `free_bound`.
    """
    limits = wishes.limits
    network = terms.network([piece.trellis for piece in free])
    free_milli = _milli(free, terms)
    if not network.nodes:  # no note has a grip: nothing to limit
        return Limited({}, LimitReport(0, 0, True, tuple(_uses(network, [], limits, terms))))
    answer = _answer(network, free, free_bound, limits)
    if answer.path is None:
        if not answer.conflict:
            raise RequestError(
                f"no route that keeps the limits was found in {limits.seconds:g} seconds",
                place="the time limit",
                next_step="Give more time, or looser limits",
            )
        conflict = _conflict(scene, wishes, terms, build)
        return Limited({}, LimitReport(free_milli, answer.bound, True, (), conflict))
    path = _ties_settled(network, answer.path)
    uses = tuple(_uses(network, path, limits, terms))
    report = LimitReport(free_milli, min(answer.bound, network.milli(path)), answer.proved, uses)
    return Limited(_notes(scene, terms, network, path, free, wishes.others), report)


def _milli(free: Sequence[Piece], terms: Terms) -> int:
    """Effort of the route without limits, with what it pays for new grips and changes of grip."""
    paid = terms.charging.paid(_candidates(free), 0)
    held = sum(effort_of(path_cost(piece.trellis.nodes, piece.trellis.blocks, piece.path)) for piece in free)
    return held + paid.learning_milli + paid.changing_milli


def _candidates(free: Sequence[Piece]) -> dict[int, Candidate]:
    """The grips of the route without limits, by the index of their note."""
    return {index: candidate for piece in free for index, candidate in piece.chosen.items()}


def _answer(network: ConstrainedNetwork, free: Sequence[Piece], free_bound: int, limits: Limits) -> Answer:
    """The free route where it keeps the limits and takes no more than the bound, else the least that does."""
    if not all(network.nodes):
        return Answer(None, 0, proved=True, conflict=True)
    as_free = [k for piece in free for k in piece.path]
    if all(k in ids for k, ids in zip(as_free, network.ids, strict=True)):
        path = [ids.index(k) for k, ids in zip(as_free, network.ids, strict=True)]
        if network.cost(path) < INF and network.keeps(path):
            milli = network.milli(path)
            if milli <= free_bound or milli <= effort_of(least_path(network.nodes, network.blocks)[0]):
                return Answer(path, milli, proved=True)
    return limited_path(network, limits.seconds)


def _ties_settled(network: ConstrainedNetwork, path: list[int]) -> list[int]:
    """The path with the grips it has, in the hand positions of least effort that the tables name first."""
    keep = [
        [
            k
            for k, (grip, row) in enumerate(zip(counted.grips, counted.rows, strict=True))
            if (grip, row) == (counted.grips[chosen], counted.rows[chosen])
        ]
        for counted, chosen in zip(network.counted, path, strict=True)
    ]
    part = network.only(keep)
    ranked = tuple(
        tuple(cost + c.rank for cost, c in zip(costs, column, strict=True))
        for costs, column in zip(part.nodes, part.columns, strict=True)
    )
    _, found = least_path(ranked, part.blocks)
    return [keep[p][k] for p, k in enumerate(found)]


def _notes(
    scene: Scene, terms: Terms, network: ConstrainedNetwork, path: list[int], free: Sequence[Piece], most: int
) -> dict[int, Chosen]:
    reasons = LimitedReasons(scene, terms, network, path, _candidates(free))
    found = {}
    for p, place in enumerate(network.places):
        candidate = network.columns[p][path[p]]
        others = reasons.others(p, most)
        slighted = terms.slighted_milli(candidate, reasons.preferred(p))
        rules = Ledger((("rules", slighted),) if slighted else ())
        found[place] = Chosen(candidate, others, reasons.why(p, others), reasons.forced(p), rules)
    return found


def _uses(network: ConstrainedNetwork, path: list[int], limits: Limits, terms: Terms) -> Iterable[LimitUse]:
    used = network.used(path)
    chosen = {place: network.columns[p][path[p]] for p, place in enumerate(network.places)}
    worst = max((terms.worst(c, place) for place, c in chosen.items()), default=0)
    unknown = sum(c.tendency.cents is None for c in chosen.values())
    figures = {
        "unusual": (used.unusual, limits.unusual),
        "learnt": (used.learnt, limits.learnt),
        "tuning_cents": ((used.tenths or 0) / 10, limits.tuning_cents),
        "worst_cents": (worst / 10, limits.worst_cents),
    }
    preferred = terms.preferred
    for name, words in limits.words().items():
        has, of = figures.get(name, (None, None))
        if name.startswith("rule "):
            number = int(name.split()[1])
            meant = [place for place, numbers in preferred.items() if number in numbers and place in chosen]
            if meant:
                rule = limits.rules[number]
                has, of = sum(rule.kept_by(chosen[place].grip) for place in meant), len(meant)
        yield LimitUse(words, has, of, _what_counts(name, unknown) if name in CENTS else "")


def _what_counts(name: str, unknown: int) -> str:
    """What a limit of cents counts, as far as the figure alone may mislead."""
    notes = "written notes only" if name == "tuning_cents" else "other notes of trills and ornaments too"
    words = f"{notes}, in ordinary playing, whatever the dynamic"
    if unknown:
        words += f"; {counted(unknown, 'note')} without known cents not counted"
    return words


def _conflict(scene: Scene, wishes: Wishes, terms: Terms, build: Build) -> Conflict:
    pins = [_pin_words(pin, scene.notes) for pin in wishes.pins]
    seconds = min(max(wishes.limits.seconds, FINDING[0]), FINDING[1])
    return Conflicts(build, wishes.limits, wishes.pins, pins, seconds, terms.worst).find()


def _pin_words(pin: Pin, notes: tuple[Note, ...]) -> str:
    places = [pin.note] if isinstance(pin.note, int) else [k for k, n in enumerate(notes) if n.id == pin.note]
    return f"the pin {pin.grip.short} on {where_of(notes, places[0])}"
