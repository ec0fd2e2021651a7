"""The changes between the grips of a route: their times, movers and ledgers, and which are the hardest."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from gripway.acoustics.unsafe_ways import Crossings
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.candidate import Candidate
from gripway.effort.costs import EffortModel
from gripway.effort.ledger import NO_COST
from gripway.effort.own_time_tables import counting
from gripway.effort.setting import Link
from gripway.model.pitch import plain_name
from gripway.model.player import OwnTimes
from gripway.model.survey import HIGHEST_CLAIM
from gripway.route.result import NO_ADVICE, Advice, RouteChange, RouteNote


class RouteChanges:
    """Makes changes for one player on one flute; equal ones are worked out once."""

    def __init__(self, model: EffortModel, crossings: Crossings | None) -> None:
        self.model = model
        self.crossings = crossings
        self.own_times: OwnTimes | None = counting(model.player)
        self._by_tables: EffortModel | None = None
        self._made: dict[tuple[int, int, Link], tuple[Candidate, Candidate, RouteChange]] = {}

    def forget(self) -> None:
        """Forget what was made."""
        self._made.clear()

    def of(self, notes: tuple[RouteNote, ...], between: tuple[Link, ...]) -> Iterator[RouteChange]:
        """The changes between the grips of a route's notes, in order; none beside a note without a grip."""
        for before, after in pairwise(notes):
            if before.candidate is None or after.candidate is None:
                continue
            yield self.between(before.candidate, after.candidate, between[after.index], after.index)

    def between(self, before: Candidate, after: Candidate, link: Link, to: int = 1) -> RouteChange:
        """The change between two grips in a link, into note `to`; equal ones are worked out once."""
        key = (id(before), id(after), link)
        if key not in self._made:
            self._made[key] = before, after, self._change(before, after, link, to)
        made = self._made[key][2]
        return made if made.to == to else replace(made, to=to)

    def _change(self, before: Candidate, after: Candidate, link: Link, to: int) -> RouteChange:
        step = self.model.step(before, after)
        after = after.entry or after
        hands = self.model.times.hands(before.position, after.position)
        return RouteChange(
            to=to,
            change_ms=self.model.change_ms(step, link),
            available_ms=link.available_ms,
            load=self.model.load(step, link),
            movers=hands[0].movers + hands[1].movers,
            moving=self.model.moving(step, link) or NO_COST,
            tables_ms=self._tables_ms(before, after, link),
            advice=self._advice(before, after),
        )

    def _tables_ms(self, before: Candidate, after: Candidate, link: Link) -> float | None:
        """The time of a change by the tables, where the player's own finger times stand in their place."""
        if self.own_times is None:
            return None
        if self._by_tables is None:
            player = replace(self.model.player, own_times=None)
            self._by_tables = EffortModel(effort_tables(), player)
        return self._by_tables.change_ms(self._by_tables.step(before, after), link)

    def _advice(self, before: Candidate, after: Candidate) -> Advice:
        """Which finger should lead, and what may sound on the way."""
        silent = max(before.pitch, after.pitch) > HIGHEST_CLAIM
        if self.crossings is None or silent or before.pitch == after.pitch:
            return NO_ADVICE
        places = (before.position.places, after.position.places)
        crossing = self.crossings.crossing(*places, before.pitch, after.pitch)
        if not crossing.counted:
            return NO_ADVICE
        return Advice(crossing.lead, tuple(map(plain_name, crossing.strays)), round(crossing.share, 3))


def hardest_changes(
    notes: tuple[RouteNote, ...], changes: tuple[RouteChange, ...], most: int = 5
) -> tuple[int, ...]:
    """The `to` of the changes with the highest load, worst first; ties in playing order.

    A change that comes again between the same grips is named once, where it is worst.
    """
    moving = [change for change in changes if change.movers]
    worst = sorted(moving, key=lambda change: (-change.load, change.to))
    distinct: dict[tuple[str, ...], int] = {}
    for change in worst:
        distinct.setdefault(_same_work(notes[change.to - 1], notes[change.to]), change.to)
        if len(distinct) == most:
            break
    return tuple(distinct.values())


def _same_work(before: RouteNote, after: RouteNote) -> tuple[str, ...]:
    """What makes two changes the same: their pitches and grips."""
    grips = (note.candidate.grip.text if note.candidate else "" for note in (before, after))
    return before.note.pitch.plain, after.note.pitch.plain, *grips
