"""How many marks a part gets: the best gains first, up to a number per 100 notes.

Marks that only make sense together (a figure with its *simile*, the two ends of what is held) are one
unit: all of them stand, or none. Units of nearly the same gain are taken in the order of how often the
part uses their sign, so that a player has fewer different ones to read.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from math import floor, inf

from gripway.catalog.tables.effort_figures import effort_tables
from gripway.model.house_style import FIGURES, NEEDED, HouseStyle
from gripway.model.mark_text import MarkSign
from gripway.route.result import RouteNote

PER_NOTES = 100
"""Marks are counted per so many notes; a shorter passage counts as one of this length."""


DECIDED = "decided"
"""The unit of what an editor has decided: it stands, and leaves so much less room for the others."""

Rulings = Mapping[str, str]
"""By note id, what an editor wants marked there: GRIP, TRILL (with what moves), THUMB (its place), or "".
"""

NO_RULINGS: Rulings = {}


@dataclass(frozen=True, slots=True)
class Drafted:
    """One sign at one note; `unit` names what it stands or goes with, `gain` is the effort it saves.

    A grip that also tells the thumb where to go is written out `whole`. `until` is the id of the note to
    which a line leads from it, empty where none does.
    """

    note: RouteNote
    sign: MarkSign
    unit: Hashable
    gain: float
    until: str = ""
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Draft:
    """Signs in playing order, and the ids of the notes whose grip is told by them or by the source.

    `quiet` are those of figures that an editor's decision leaves without marks.
    """

    signs: tuple[Drafted, ...]
    told: frozenset[str]
    quiet: frozenset[str] = frozenset()


Drafting = Callable[[frozenset[Hashable]], Draft]
"""The signs of a part without those of some units."""


def least_gain_of(house: HouseStyle) -> float:
    """What a mark must save: as the house says, else mark_least_gain_effort where marks go by need."""
    if house.least_gain is not None:
        return house.least_gain
    return effort_tables().figures.mark_least_gain_effort if house.which in (NEEDED, FIGURES) else 0.0


def most_marks(house: HouseStyle, notes: int) -> float:
    """How many marks so many written notes get at most; without end where every change is asked for."""
    per_hundred = house.at_most
    if per_hundred is None:
        per_hundred = (
            effort_tables().figures.most_marks_per_100_notes if house.which in (NEEDED, FIGURES) else inf
        )
    return inf if per_hundred == inf else floor(per_hundred * max(notes, PER_NOTES) / PER_NOTES)


def within(drafting: Drafting, most: float, step: float) -> Draft:
    """The draft that keeps to `most` signs; gains less than `step` apart count as equal.

    What is decided stands beyond that, and so does what a unit must still say though it is left out: where
    a decision gave a figure another grip at one of its places, the next place says which it has.
    """
    left: frozenset[Hashable] = frozenset()
    while True:
        draft = drafting(left)
        others = [each for each in draft.signs if each.unit != DECIDED and each.unit not in left]
        room = max(most - (len(draft.signs) - len(others)), 0)
        if len(others) <= room:
            return draft
        left |= _too_many(others, room, step)


def _too_many(signs: Sequence[Drafted], room: float, step: float) -> frozenset[Hashable]:
    """The units for which there is no room; at least one of them."""
    size = Counter(each.unit for each in signs)
    uses = Counter(each.sign for each in signs)
    gain: dict[Hashable, float] = {}
    used: dict[Hashable, int] = {}
    for each in signs:
        gain[each.unit] = max(gain.get(each.unit, 0.0), each.gain)
        used[each.unit] = max(used.get(each.unit, 0), uses[each.sign])
    places = {unit: place for place, unit in enumerate(size)}

    def rank(unit: Hashable) -> tuple[float, int, int]:
        steps = gain[unit] / step if step > 0.0 else gain[unit]
        return -(floor(steps) if step > 0.0 and steps < inf else steps), -used[unit], places[unit]

    left = set()
    for unit in sorted(size, key=rank):
        if size[unit] <= room:
            room -= size[unit]
        else:
            left.add(unit)
    return frozenset(left)
