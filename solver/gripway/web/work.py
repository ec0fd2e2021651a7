"""One opened score or line of notes: its bytes, and what was worked out of them so far."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from threading import RLock

from starlette.responses import Response

from gripway.asked.limits import NO_LIMITS
from gripway.asked.wishes import LEAST_EFFORT, Wishes
from gripway.catalog.tables.tempo_words import tempo_words
from gripway.charges.charges_paid import Charges
from gripway.edition.printed_pins import with_source_pins
from gripway.effort.candidate import Candidate
from gripway.errors import RequestError
from gripway.limits.answer import solve_within
from gripway.limits.wording import conflict_error
from gripway.model.instrument import Instrument
from gripway.model.passage import Remark
from gripway.page.engraving.sheet_chunks import Chunk
from gripway.recent import Recent
from gripway.route.curve import CurveStep
from gripway.route.loads_around import ALONE, Loads, loads_around
from gripway.route.result import Route, RouteNote
from gripway.route.with_other_pins import Resolving
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import ScoreReading, read_score
from gripway.score.xml.numerals import whole
from gripway.tasks.flutes import choose_instrument
from gripway.web.asking import PageWishes
from gripway.web.size_limits import MOST_NOTES, MOST_PASSAGES
from gripway.web.solver_pool import SharedSolver, SolverPool
from gripway.web.turns import Turn, Turns

MOST_GRIPS = 40
"""Other grips of a note that is opened."""

OTHERS_WITHIN_LIMITS = 12
"""The same where limits are asked for: they are judged one by one and come with the route."""

ROUTES = 4
"""Routes kept for one score."""

LONG = 1_500
"""Notes above which a first route may come before the least one (judgement: that one takes half a second)."""

KEPT_NOTES = 6_000
"""Notes of all routes kept for one score: 10 KB a note (judgement)."""

DRAWN = 32
"""Answers with drawn music kept for one score: all chunks of a long part (0.1 MB each) at two sizes."""


@dataclass
class Answered:
    """A route as the page has it, with the number it knows it by; a better one follows the `first`."""

    revision: int
    route: Route
    instrument: Instrument
    remarks: tuple[Remark, ...]
    first: bool = False


@dataclass
class OpenWork:
    """What one tab works on. Nothing of it is shared with another, and nothing is on the disk."""

    name: str
    data: bytes
    pool: SolverPool
    turns: Turns = field(default_factory=Turns)
    revision: int = 0
    last: Answered | None = None
    shown: PageWishes | None = None
    """The wishes answered last."""
    notes: int = 0
    """Notes of the longest choice that was read."""

    def __post_init__(self) -> None:
        self._readings: Recent[ScoreReading] = Recent(MOST_PASSAGES)
        self._passages: Recent[Resolving] = Recent(ROUTES)
        self._within: Recent[Route] = Recent(ROUTES)
        self._reader = RLock()
        self.chunks: Recent[tuple[Chunk, ...]] = Recent(ROUTES)
        self.drawn: Recent[Response] = Recent(DRAWN)

    def reading(self, asked: PageWishes) -> ScoreReading:
        """The chosen part and bars at the chosen tempo. Raises ScoreError, and RequestError for too much."""
        with self._reader:  # music is drawn beside a search
            return self._readings.get_or(asked.music, lambda: self._read(asked))

    def _read(self, asked: PageWishes) -> ScoreReading:
        reading = self._whole(asked)
        if len(reading.passage.notes) > MOST_NOTES:
            raise RequestError(
                f"{len(reading.passage.notes)} notes as played are more than {MOST_NOTES}",
                place="bars",
                next_step="Choose fewer bars, such as 1-80",
            )
        self.notes = max(self.notes, len(reading.passage.notes))
        return reading

    def _whole(self, asked: PageWishes) -> ScoreReading:
        """The choice read, however long it is."""
        options = ReadOptions(
            part=asked.part,
            bars=asked.bars,
            tempo=asked.tempo,
            tempo_percent=asked.tempo_percent,
            tempo_words=tempo_words(),
        )
        return read_score(self.data, self.name, options)

    def first_bars(self, asked: PageWishes) -> tuple[int, int]:
        """How many notes the whole part plays, and the last bar number up to which they are few enough.

        0 where not even the first bar is.
        """
        notes = self._whole(asked).passage.notes
        played: dict[str, int] = {}
        for note in notes:
            played[note.bar] = played.get(note.bar, 0) + 1
        last = total = 0
        for bar, count in played.items():
            total += count
            if total > MOST_NOTES:
                break
            number = whole(bar)
            last = last if number is None else number
        return len(notes), last

    def instrument(self, asked: PageWishes) -> tuple[Instrument, tuple[Remark, ...]]:
        """The flute, and a remark where the part decided it."""
        sounds = self.reading(asked).part.sounds_semitones
        chosen, remark = choose_instrument(asked.flute, asked.parts, replace(asked.player, parts=()), sounds)
        return chosen, (remark,) if remark else ()

    def wishes(self, asked: PageWishes, *, without_pin: str | None = None) -> Wishes:
        """The wishes as the search takes them; pins outside the chosen bars wait, one may be left out."""
        passage = self.reading(asked).passage
        ids = frozenset(note.id for note in passage.notes) - {without_pin}
        limits = asked.limits if asked.choose == LEAST_EFFORT else NO_LIMITS
        wishes = Wishes(
            limits=limits,
            player=asked.player,
            pins=asked.pins_in(ids),
            bans=asked.bans,
            choose=asked.choose,
            others=OTHERS_WITHIN_LIMITS if limits else Wishes().others,
            learn=None if limits or asked.choose != LEAST_EFFORT else asked.learn,
        )
        if not asked.keep_fingerings:
            return wishes
        kept = with_source_pins(passage, wishes)
        return replace(kept, pins=tuple(pin for pin in kept.pins if pin.note != without_pin))

    def shared(self, asked: PageWishes) -> SharedSolver:
        """The solver of the flute for this player, with what it has learnt."""
        return self.pool.of(self.instrument(asked)[0], asked.player)

    def resolving(self, asked: PageWishes) -> Resolving:
        """The passage with what was worked out of it for this flute and player."""
        instrument, _ = self.instrument(asked)
        key = (
            *asked.music,
            instrument.id,
            instrument.parts,
            asked.dials,
            asked.cents,
            asked.choose,
        )
        passage = self.reading(asked).passage
        self._passages.most = max(1, min(ROUTES, KEPT_NOTES // max(1, len(passage.notes))))
        last = self.last
        near = last.route if last and not last.first and last.route.passage is passage else None
        return self._passages.get_or(key, lambda: Resolving(passage, near))

    def route(self, asked: PageWishes, turn: Turn, *, without_pin: str | None = None) -> Route:
        """The route under these wishes."""
        turn.pulse()
        wishes = self.wishes(asked, without_pin=without_pin)
        shared = self.shared(asked)
        if wishes.limits:
            return self._limited(asked, wishes, turn)
        with shared.held(turn):
            return self.resolving(asked).route(shared.solver(asked.bans), wishes, turn.pulse)

    def _limited(self, asked: PageWishes, wishes: Wishes, turn: Turn) -> Route:
        """The route within limits. Raises RequestError for limits that cannot be kept together."""
        shared, passage = self.shared(asked), self.reading(asked).passage
        key = (*asked.music, shared.plain, wishes)
        with shared.held(turn):
            route = self._within.get_or(key, lambda: solve_within(shared.solver(asked.bans), passage, wishes))
        if route.limits and route.limits.conflict:
            raise conflict_error(route, route.limits.conflict)
        return route

    def explained(self, asked: PageWishes, chosen: Route, index: int, turn: Turn) -> RouteNote:
        """A note of the route asked for last with why it has its grip, and its other grips, nearest first."""
        if chosen.limits:
            return chosen.notes[index]
        with self.shared(asked).held(turn):
            return self.resolving(asked).explained(index, MOST_GRIPS)

    def loads(self, asked: PageWishes, chosen: Route, turn: Turn) -> Callable[[int, Candidate], Loads]:
        """Gives the loads around a note if it had another grip, the notes beside it those that go with that.

        Asked for after `explained`; within limits the notes beside it keep their grips.
        """
        shared = self.shared(asked)
        with shared.held(turn):
            around = loads_around(shared.solver(asked.bans), chosen)
        if chosen.limits:
            return around
        resolving = self.resolving(asked)

        def with_neighbours(index: int, candidate: Candidate) -> Loads:
            mine = chosen.notes[index].candidate
            same = mine is not None and mine.grip == candidate.grip
            return around(index, candidate, ALONE if same else resolving.beside(index, candidate.grip))

        return with_neighbours

    def curve(self, asked: PageWishes, turn: Turn) -> tuple[tuple[CurveStep, ...], Charges | None]:
        """The learning curve under these wishes, and what the answer pays; nothing within limits."""
        turn.pulse()
        wishes, shared = self.wishes(asked), self.shared(asked)
        if wishes.limits or wishes.choose != LEAST_EFFORT:
            return (), None
        with shared.held(turn):
            return self.resolving(asked).curve(shared.solver(asked.bans), wishes)

    def full_wishes(self, asked: PageWishes) -> Wishes:
        """The wishes with as many runners-up as the command gives."""
        return replace(self.wishes(asked), others=Wishes().others, curve=not asked.limits)

    def full_route(self, asked: PageWishes, turn: Turn) -> Route:
        """The route as the command gives it, for files that are taken away."""
        shared = self.shared(asked)
        with shared.held(turn):
            return solve_within(
                shared.solver(asked.bans), self.reading(asked).passage, self.full_wishes(asked)
            )

    def _first(self, asked: PageWishes, turn: Turn) -> Route | None:
        """Of a long part a good route with nothing to learn, where the least is still to be searched for."""
        turn.pulse()
        wishes, shared = self.wishes(asked), self.shared(asked)
        if wishes.limits or len(self.reading(asked).passage.notes) <= LONG:
            return None
        with shared.held(turn):
            return self.resolving(asked).first(shared.solver(asked.bans), wishes, turn.pulse)

    def answer(
        self, asked: PageWishes, turn: Turn, *, at_once: bool = False
    ) -> tuple[Answered, Answered | None]:
        """The route with a new number, and the one before it; `at_once` a first one where it serves."""
        first = self._first(asked, turn) if at_once else None
        route = first or self.route(asked, turn)
        instrument, remarks = self.instrument(asked)
        before = self.last
        self.revision += 1
        self.shown = asked
        self.last = Answered(
            self.revision, route, instrument, (*remarks, *route.passage.remarks), bool(first)
        )
        return self.last, before
