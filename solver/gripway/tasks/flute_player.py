"""A flute and its player: what is worked out for the two, kept from one question to the next."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from gripway.asked.wishes import Wishes
from gripway.candidates.grip_check import GripCheck
from gripway.candidates.with_found_grips import Beside, beside_of, with_found
from gripway.display import Shown, brief
from gripway.effort.own_time_tables import too_few_words
from gripway.errors import RequestError, check_kind
from gripway.free_memory import check_room
from gripway.model.instrument import Instrument
from gripway.model.passage import Note, Passage, Remark
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.recent import Recent
from gripway.route.ground import Ground
from gripway.route.result import Route
from gripway.route.solve import Progress, Solver
from gripway.route.with_other_pins import with_bans
from gripway.tasks.flute_knowledge import knowledge_of
from gripway.tasks.flutes import fitted
from gripway.tasks.flutes import flute as flute_called

if TYPE_CHECKING:
    from gripway.score.reading.score_reading import ScoreReading

FOUND_IN_ROUTE = 4
"""How many found grips a pitch gets in a route."""

MOST_SOLVERS = 8
"""Solvers for other bans and for found grips that are kept beside the plain one: those used last."""

MOST_BLOCKS = 60_000
"""Blocks of moving costs after which everything begins anew, so that it cannot grow without end."""


class FlutePlayer(Shown):
    """A flute with its player. Hand it to every question in place of the flute: the next is answered sooner.

    What one question works out (candidates, change times, efforts, the last route) serves the ones
    after it, whatever their passages and wishes; no answer depends on it. The flute gets the parts that the
    player's own one has. It grows up to a bound and then forgets what it worked out for places in the music.
    Wishes without a player are those of this player; another's raise RequestError.
    One thread at a time may ask. `dialled` is one for the same flute and player with other dials: what
    does not depend on dials is kept for both, and one thread at a time may ask either.

    >>> import gripway
    >>> gripway.FlutePlayer(gripway.flute(), gripway.Player(parts=("b-foot",)))
    <FlutePlayer: concert flute, b-foot>
    """

    def __init__(
        self, instrument: Instrument, player: Player = PLAIN_PLAYER, dialled: "FlutePlayer | None" = None
    ) -> None:
        check_kind(instrument, Instrument, "flute", 'Give what flute(...) gives: flute("piccolo")')
        check_kind(player, Player, "player", 'Give what player(...) gives: player("me.toml")')
        self.instrument = fitted(instrument, player)
        self.player = player
        self._begin(dialled.plain if dialled and dialled.fits(self.instrument, player) else None)

    def __repr__(self) -> str:
        return brief(self, self.instrument.title, *self.instrument.parts)

    def _begin(self, dialled: Solver | None = None) -> None:
        self._dialled = dialled
        self._plain: Solver | None = None
        self._others: Recent[tuple[Solver, Remark | None]] = Recent(MOST_SOLVERS)
        self._last: tuple[Solver, Passage, Wishes, Route, Ground] | None = None

    def fits(self, instrument: Instrument, player: Player) -> bool:
        """Whether this is that flute and player, but for the dials."""
        return self.instrument == instrument and replace(self.player, dials=player.dials) == player

    @property
    def plain(self) -> Solver:
        """The solver with the player's own bans and the printed grips."""
        if self._plain is None:
            self._plain = Solver(knowledge_of(self.instrument, self.player), dialled=self._dialled)
        return self._plain

    @property
    def full(self) -> bool:
        """Whether more was worked out than may be kept."""
        found = (solver for solver, _ in self._others.values() if solver.knowledge.found)
        return sum(solver.learnt for solver in (self._plain, *found) if solver is not None) > MOST_BLOCKS

    def keep_at_most(self, blocks: int) -> None:
        """Forget what was worked out for places in the music where more blocks than these are kept."""
        solvers = (self._plain, *(solver for solver, _ in self._others.values()))
        for solver in (solver for solver in solvers if solver is not None and solver.learnt > blocks):
            solver.forget_places()

    def wishes(self, wishes: Wishes | None = None) -> Wishes:
        """The wishes as this player's. Raises RequestError for those of another player."""
        self.keep_at_most(MOST_BLOCKS)
        if self.full:
            self._begin()
        if wishes is None or wishes.player == self.player:
            return wishes or Wishes(player=self.player)
        if wishes.player != PLAIN_PLAYER:
            raise RequestError(
                "the wishes are another player's than the flute's",
                place="player",
                next_step="Leave the player out of the wishes, or make a FlutePlayer of that player",
            )
        return replace(wishes, player=self.player)

    def solver(self, wishes: Wishes, beside: Beside | None = None) -> Solver:
        """A solver for the bans and found grips of this player's wishes.

        `beside` has the pitches that found grips are looked for, when they are asked for, each with
        the pitches before and after it.
        """
        return self._solver(wishes, beside or {})[0]

    def grip_check(self, wishes: Wishes, notes: Sequence[Note]) -> GripCheck:
        """What looks up grips of these notes among everything the flute can play under the wishes."""
        return GripCheck(self.solver(wishes, beside_of(Passage(tuple(notes)))).book)

    def ready(self, passage: Passage, wishes: Wishes) -> tuple[Solver, Passage]:
        """A solver for a passage, and the passage with a remark on found grips that cannot be had.

        Raises RequestError for an empty passage, and for one that there is no memory for.
        """
        check_kind(passage, Passage, "passage", "Give what notes(...) or read(...) gives")
        if not passage.notes:
            raise RequestError("there is no note to finger", next_step="Choose bars or a part with notes")
        check_room(len(passage.notes))
        solver, remark = self._solver(wishes, beside_of(passage))
        few = too_few_words(self.player)
        more = tuple(each for each in (remark, Remark(few) if few else None) if each is not None)
        return solver, replace(passage, remarks=(*passage.remarks, *more)) if more else passage

    def _solver(self, wishes: Wishes, beside: Beside) -> tuple[Solver, Remark | None]:
        if wishes.found is None and not wishes.bans:
            return self.plain, None
        found = None if wishes.found is None else (wishes.found, frozenset(beside.items()))
        return self._others.get_or((wishes.bans, found), lambda: self._new_solver(wishes, beside))

    def _new_solver(self, wishes: Wishes, beside: Beside) -> tuple[Solver, Remark | None]:
        banned = with_bans(self.plain, wishes)
        if wishes.found is None:
            return banned, None
        known, remark = with_found(banned.knowledge, beside, wishes.found, FOUND_IN_ROUTE)
        return (Solver(known) if known.found else banned), remark

    def solved(
        self, passage: Passage, wishes: Wishes, progress: Progress | None = None
    ) -> tuple[Route, Ground]:
        """The route of a passage without limits and what it was searched on; the last ones are kept.

        Raises RequestError as `finger` does.
        """
        solver, passage = self.ready(passage, wishes)
        if self._last is None or self._last[:3] != (solver, passage, wishes):
            self._last = (solver, passage, wishes, *solver.solved(passage, wishes, progress))
        elif progress:
            progress(len(passage.notes), len(passage.notes))
        return self._last[3:]


Flute = Instrument | FlutePlayer
"""What a question is asked of: a flute, or one with its player."""


def flute_player(flute: Flute, player: Player = PLAIN_PLAYER) -> FlutePlayer:
    """A flute with its player. Raises RequestError for another player than a FlutePlayer's own."""
    if isinstance(flute, FlutePlayer):
        flute.wishes(Wishes(player=player))
        return flute
    return FlutePlayer(flute, player)


def passage_of(given: "Passage | ScoreReading") -> Passage:
    """A passage, or the one of a score that was read."""
    if isinstance(given, Passage):
        return given
    from gripway.score.reading.score_reading import ScoreReading

    check_kind(given, ScoreReading, "passage", "Give what notes(...) or read(...) gives")
    return given.passage


def asked_of(flute: Flute | None, wishes: Wishes | None) -> tuple[FlutePlayer, Wishes]:
    """A flute with its player and the wishes as that player's; None is their own, else the concert flute."""
    if wishes is not None:
        check_kind(wishes, Wishes, "set of wishes", 'Give what wishes(...) gives: wishes(pins="3=T 1 | Eb")')
    if isinstance(flute, FlutePlayer):
        return flute, flute.wishes(wishes)
    wishes = wishes or Wishes()
    if flute is None:
        flute = flute_called(wishes.player.instrument)
    return FlutePlayer(flute, wishes.player), wishes
