"""What to record first: the grips whose doubt about pitch decides most notes of a player's parts.

Each grip that could come into a route is tried as if it had been measured and were in the fingers, once at
the lower and once at the upper end of the range nine in ten lie in, and the parts are searched again: the
notes that differ between the two are what a recording decides. Grips that are nowhere near the route are not
tried: without any effort for tuning and for learning them they must stand on some note of the least path.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gripway.asked.wishes import Wishes
from gripway.catalog.tables.listening_figures import CentsFigures
from gripway.display import SCHEMA, Shown, brief, counted
from gripway.effort.candidate import Candidate
from gripway.effort.ledger import MILLI
from gripway.model.grip import Grip
from gripway.model.passage import Passage
from gripway.model.pitch import plain_name
from gripway.model.player import OwnCents
from gripway.route.ground import Ground, Piece
from gripway.route.joined import grip_name
from gripway.route.result import Route
from gripway.route.solve import Progress, Solver
from gripway.trellis.constrained_network import STEP
from gripway.trellis.path import least_path, path_cost

Key = tuple[int, Grip]
"""Pitch and grip of the tables."""


@dataclass(frozen=True, slots=True)
class PartNotes:
    """The notes of a part that a recording decides, by their index."""

    part: str
    notes: tuple[int, ...]
    bars: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToRecord:
    """A grip to be recorded beside the standard one of its pitch.

    `vs_standard` is what is expected in cents, within `spread_cents` for nine in ten; `if_lower` and
    `if_higher` are how many notes take it where it turns out to lie at either end of that, once it is in the
    fingers; `takes` are how many takes it is to be played, fewer where it follows a grip of its pitch, with
    which it has standard takes in common; `places` are the notes that get another grip between the two.
    """

    pitch: int
    grip: Grip
    standard: Grip
    kind: str
    vs_standard: float
    spread_cents: float
    if_lower: int
    if_higher: int
    places: tuple[PartNotes, ...]
    takes: int = 9

    @property
    def notes(self) -> int:
        """How many notes a recording decides."""
        return sum(len(each.notes) for each in self.places)


@dataclass(frozen=True, slots=True)
class RecordingCard(Shown):
    """What to record first, the grip that decides most first; `tried` is how many grips were tried."""

    instrument: str
    parts: tuple[str, ...]
    grips: tuple[ToRecord, ...]
    tried: int

    def __repr__(self) -> str:
        return brief(self, counted(len(self.grips), "grip"), f"{self.tried} tried")


@dataclass(frozen=True, slots=True)
class _Part:
    name: str
    passage: Passage
    route: Route


def recording_card(
    parts: Sequence[tuple[str, Passage]],
    solver: Solver,
    wishes: Wishes,
    figures: CentsFigures,
    most: int,
    progress: Progress | None = None,
) -> RecordingCard:
    """The card for parts with their names, all played on the solver's flute; at most `most` grips."""
    wishes = replace(wishes, others=0, curve=False)
    solved: list[_Part] = []
    near: Counter[Key] = Counter()
    doubts: dict[Key, Candidate] = {}
    for name, passage in parts:
        route, ground = solver.solved(passage, wishes)
        solved.append(_Part(name, passage, route))
        for candidate, many in _near(ground, solver):
            key = (candidate.pitch, candidate.row_grip)
            near[key] += many
            doubts[key] = candidate
    ranked = sorted(near, key=lambda key: (-near[key], key[0], doubts[key].rank))[: figures.card_tried_grips]
    found = []
    for done, key in enumerate(ranked, start=1):
        found.append(_tried(solved, solver, wishes, figures, key, doubts[key]))
        if progress:
            progress(done, len(ranked))
    decided = in_order([each for each in found if each.notes], figures.block_takes)
    names = tuple(name for name, _ in parts)
    return RecordingCard(solver.knowledge.instrument.id, names, tuple(decided[:most]), len(ranked))


def in_order(found: Sequence[ToRecord], block_takes: int) -> list[ToRecord]:
    """The grips in the order of playing: at each turn the one that decides most notes a take."""
    left, ordered = sorted(found, key=lambda each: (-each.notes, each.pitch)), list[ToRecord]()
    while left:
        last = ordered[-1] if ordered else None
        costed = [replace(each, takes=block_takes * (2 if _shares(last, each) else 3)) for each in left]
        best = max(range(len(left)), key=lambda k: costed[k].notes / costed[k].takes)
        ordered.append(costed[best])
        del left[best]
    return ordered


def _shares(before: ToRecord | None, each: ToRecord) -> bool:
    return before is not None and (before.pitch, before.standard) == (each.pitch, each.standard)


def expected(candidate: Candidate, solver: Solver) -> tuple[float, float]:
    """What is expected of a grip against the standard one, in cents, and the range nine in ten lie in."""
    tendency = candidate.tendency
    if tendency.vs_standard is None or tendency.vs_spread_cents is None:
        return 0.0, solver.tables.figures.unknown_spread_cents
    return tendency.vs_standard, tendency.vs_spread_cents


def _near(ground: Ground, solver: Solver) -> Iterator[tuple[Candidate, int]]:
    """Grips that a measured pitch could bring into the route or put out of it, and on how many notes."""
    found: Counter[Key] = Counter()
    ones: dict[Key, Candidate] = {}
    for piece in ground.pieces:
        shown, path = piece.shown, piece.path
        best = path_cost(shown.nodes, shown.blocks, path)
        for key, cheaper in _cheapened(piece, ground, solver).items():
            nodes = [list(column) for column in shown.nodes]
            for place, k, cost in cheaper:
                nodes[place][k] -= cost
                ones[key] = shown.columns[place][k]
            taken = sum(path[place] == k for place, k, _ in cheaper)
            if not taken:
                least, other = least_path(nodes, shown.blocks)
                taken = sum(other[place] == k for place, k, _ in cheaper) if least < best else 0
            found[key] += taken
    return ((ones[key], many) for key, many in found.items() if many)


def _cheapened(piece: Piece, ground: Ground, solver: Solver) -> dict[Key, list[tuple[int, int, int]]]:
    """Of each grip in doubt its places (column, node), and the most a measurement could take off there."""
    model = solver.model
    charge = ground.charged.network.charge_milli if ground.charged else 0
    found: dict[Key, list[tuple[int, int, int]]] = {}
    for place, column in enumerate(piece.shown.columns):
        setting = ground.settings[piece.shown.start + place]
        for k, candidate in enumerate(column):
            if not candidate.usual and candidate.tendency.source != "measured":
                milli = MILLI * model.dials["tuning"] * model.tuning(candidate, setting)
                key = (candidate.pitch, candidate.row_grip)
                found.setdefault(key, []).append((place, k, STEP * (round(milli) + charge)))
    return found


def _tried(
    parts: Sequence[_Part],
    solver: Solver,
    wishes: Wishes,
    figures: CentsFigures,
    key: Key,
    candidate: Candidate,
) -> ToRecord:
    """What changes in the parts where a grip turns out to lie at either end of its range."""
    (pitch, grip), (versus, spread) = key, expected(candidate, solver)
    lower, higher = (
        _routes(parts, solver, wishes, OwnCents(pitch, grip, 0.0, figures.spread_least_cents, cents))
        for cents in (versus - spread, versus + spread)
    )
    places = [
        PartNotes(part.name, tuple(notes), tuple(part.passage.notes[k].bar for k in notes))
        for part, one, other in zip(parts, lower, higher, strict=True)
        if (notes := _other_grips(one, other))
    ]
    standard = solver.book.standard_row(pitch)
    return ToRecord(
        pitch=pitch,
        grip=grip,
        standard=standard.grip if standard else grip,
        kind=candidate.kind,
        vs_standard=versus,
        spread_cents=spread,
        if_lower=sum(_uses(route, key) for route in lower),
        if_higher=sum(_uses(route, key) for route in higher),
        places=tuple(places),
    )


def _routes(parts: Sequence[_Part], solver: Solver, wishes: Wishes, own: OwnCents) -> list[Route]:
    """The route of each part for a player with this reading, who has the grip in the fingers."""
    player = solver.knowledge.player
    kept = [each for each in player.cents if (each.pitch, each.grip) != (own.pitch, own.grip)]
    known = player.known | {(own.pitch, own.grip)}
    measured = Solver(replace(solver.knowledge, player=replace(player, cents=(*kept, own), known=known)))
    return [
        measured.solve(part.passage, wishes)
        if any(note.pitch.number == own.pitch for note in part.passage.notes)
        else part.route
        for part in parts
    ]


def _uses(route: Route, key: Key) -> int:
    """On how many notes a route takes a grip."""
    return sum(
        note.candidate is not None and (note.candidate.pitch, note.candidate.row_grip) == key
        for note in route.notes
    )


def _other_grips(one: Route, other: Route) -> list[int]:
    """The notes that have another grip in one route than in the other."""
    return [
        before.index
        for before, after in zip(one.notes, other.notes, strict=True)
        if before.candidate and after.candidate and grip_name(before.candidate) != grip_name(after.candidate)
    ]


def card_sentence(card: RecordingCard) -> str:
    """What to record first, in one sentence."""
    if not card.grips:
        return "Nothing needs to be recorded: no doubt about a pitch decides a note of these parts."
    first, many = card.grips[0], len(card.grips)
    these = f"these {many} grips, in this order" if many > 1 else "this grip"
    notes = counted(first.notes, "note")
    begins = "the first" if many > 1 else "it"
    return f"Record {these}: {begins} decides {notes}."


def card_data(card: RecordingCard) -> dict[str, Any]:
    """The JSON object that `gripway listen --card --format json` prints."""
    return {
        "schema": SCHEMA,
        "sentence": card_sentence(card),
        "instrument": card.instrument,
        "parts": list(card.parts),
        "tried": card.tried,
        "grips": [
            {
                "pitch": plain_name(each.pitch),
                "grip": each.grip.text,
                "standard": each.standard.text,
                "kind": each.kind,
                "cents_vs_standard": round(each.vs_standard, 1),
                "cents_vs_standard_spread": round(each.spread_cents, 1),
                "notes": each.notes,
                "takes": each.takes,
                "if_lower": each.if_lower,
                "if_higher": each.if_higher,
                "places": [
                    {"part": place.part, "bars": list(dict.fromkeys(bar for bar in place.bars if bar))}
                    for place in each.places
                ],
            }
            for each in card.grips
        ],
    }
