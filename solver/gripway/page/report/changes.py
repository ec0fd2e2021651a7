"""The hard changes of a route: which are shown, and how they are called."""

from dataclasses import dataclass

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.effort.load import LATE
from gripway.route.result import Route, RouteChange
from gripway.route.words.reasons import TERM_WORDS

MOVES = {"up": "up", "down": "down", "slide": "slides", "across": "across"}
LEAST_TOLD = 0.005


@dataclass(frozen=True, slots=True)
class HardChange:
    """A change between two written notes, by their ids; `rank` from 1 for the worst ones, else 0."""

    before: str
    after: str
    change: RouteChange
    rank: int

    @property
    def load(self) -> str:
        """Its load as a text."""
        return f"{self.change.load:.2f}×"


def hard_changes(route: Route) -> list[HardChange]:
    """Late changes, and the worst from `called_hard_load` on; a pair of written notes at its highest load."""
    least_load = effort_tables().figures.called_hard_load
    loads = {change.to: change.load for change in route.changes}
    ranks = {to: rank for rank, to in enumerate(route.hardest, start=1) if loads[to] >= least_load}
    found: dict[tuple[str, str], HardChange] = {}
    for change in route.changes:
        rank = ranks.get(change.to, 0)
        if change.load <= LATE and not rank:
            continue
        pair = (route.notes[change.to - 1].note.id, route.notes[change.to].note.id)
        known = found.get(pair)
        if known is None or (known.change.load < change.load and not known.rank) or (rank and not known.rank):
            found[pair] = HardChange(*pair, change, rank)
    return list(found.values())


def fingers_words(change: RouteChange) -> str:
    """The movers in words: `L1 up, L2 down`."""
    return ", ".join(f"{finger} {MOVES[how]}" for finger, how in change.movers) or "no finger moves"


def why_hard(change: RouteChange) -> str:
    """What makes a change hard: the parts of its effort, largest first, and what sounds on the way."""
    parts = sorted(change.moving.as_efforts().items(), key=lambda part: (-part[1], part[0]))
    told = [f"{TERM_WORDS.get(name, name)} {size:.2f}" for name, size in parts if size >= LEAST_TOLD]
    strays = f"may sound on the way: {', '.join(change.advice.strays)}" if change.advice.strays else ""
    return "; ".join(filter(None, [", ".join(told), strays]))


def place_name(route: Route, index: int) -> str:
    """`bar 3`, or the note's number where there are no bars."""
    bar = route.notes[index].note.bar
    return f"bar {bar}" if bar else f"note {index + 1}"
