"""What a course has had: which way of working on which day, up to where, and which hard places."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from gripway.catalog.tables.practice_figures import PracticeTables
from gripway.practice.ways.fitting_bars import TONGUES
from gripway.practice.ways.whole_passage import Stretch

WAYS_A_DAY = 3
"""Ways that a day of twenty minutes usually has."""


TONE, HIGH, PLACE = "tone", "high", "place"
"""The ways of long notes, of long notes that are high, and of a hard change without drills: in its bar."""

SOFT, STARTS = "soft", "starts"
"""Long notes of a part that is soft throughout; notes for their beginnings."""

LONG = (TONE, HIGH, SOFT, STARTS)
"""Notes one by one: of these ways a day has one."""

SWELLS = "swells"
"""What grows and fades."""

GROWS, FADES = "crescendo", "diminuendo"
"""The same where it only grows, or only fades."""

RHYTHM, THREES = "rhythm", "threes"
"""What is uneven, and the same where it goes over from twos to threes."""

_KINDS = dict.fromkeys(LONG, TONE) | dict.fromkeys((GROWS, FADES), SWELLS) | {THREES: RHYTHM}


def kind_of_way(way: str) -> str:
    """The way that one stands in the place of, or itself."""
    return _KINDS.get(way, way)


SECTIONS = "sections"
"""The way that goes through all bars, two and four at a time."""

BREATHS = "breaths"
"""The breaths are marked in the part."""

OPENING = (BREATHS, *LONG)
"""What a day begins with, before its drills."""

LISTEN = "listen"
"""The part is listened to, flute down."""

NO_BARS = (*OPENING, LISTEN)
"""Ways that are no work on the bars they name."""


class Section(NamedTuple):
    """Bars worked on in sections: first and last note, the share of their tempo, the day."""

    first: int
    last: int
    share: float
    day: int


@dataclass(frozen=True, slots=True)
class Course:
    """The day each way was taken last, the sections there were, the hard places met.

    `sections` has the first and last note of each, with its share and day, `often` on how many days each way
    was taken. `met` has the first notes of the bars of hard changes without drills,
    with the day they were worked on last, `worked` the highest share of its tempo each has been at (none
    where only a log knows of it), `sure` on how many days it was at its tempo, `held` is how often notes were
    held, those of cells not counted, `tongued` the highest share of their tempo of tongued notes. `rows` are
    the first and last notes of all that was worked on, `done` has each way with its first and last note.
    """

    used: Mapping[str, int] = field(default_factory=dict)
    sections: tuple[Section, ...] = ()
    often: Mapping[str, int] = field(default_factory=dict)
    met: Mapping[int, int] = field(default_factory=dict)
    held: int = 0
    worked: Mapping[int, float] = field(default_factory=dict)
    sure: Mapping[int, int] = field(default_factory=dict)
    tongued: float = 0.0
    rows: tuple[tuple[int, int], ...] = ()
    done: tuple[tuple[str, int, int], ...] = ()

    def times(self, way: str, first: int, last: int) -> int:
        """On how many days a way was taken on some notes, or on half of them and more."""
        return sum(way == kind_of_way(known) and mostly_in((first, last), ends) for known, *ends in self.done)

    def after(
        self, day: int, studies: Sequence[Stretch], rebuilt: Mapping[tuple[int, int], float] | None = None
    ) -> "Course":
        """The course after a day with these studies; `rebuilt` are bars that drills had, with their share."""
        ways = {kind_of_way(study.way): day for study in studies}
        often = {**self.often, **{way: self.often.get(way, 0) + 1 for way in ways}}
        new = (Section(each.first, each.last, each.share, day) for each in studies if each.way == SECTIONS)
        there = [study for study in studies if study.way == PLACE]
        met = {**self.met, **{study.first: day for study in there}}
        worked, sure = dict(self.worked), dict(self.sure)
        for study in there:
            worked[study.first] = max(study.share, worked.get(study.first, 0.0))
            sure[study.first] = sure.get(study.first, 0) + (study.share >= 1)
        for (first, _), share in (rebuilt or {}).items():
            if first in met:
                worked[first], met[first] = max(share, worked.get(first, 0.0)), day
        tongued = max((study.share for study in studies if study.way in TONGUES), default=0.0)
        held = self.held + any(study.way in LONG and study.cell is None for study in studies)
        return Course(
            {**self.used, **ways},
            (*self.sections, *new),
            often,
            met,
            held,
            worked,
            sure,
            max(tongued, self.tongued),
            (*self.rows, *((each.first, each.last) for each in studies if each.way not in NO_BARS)),
            (*self.done, *((study.way, study.first, study.last) for study in studies)),
        )

    def behind(self, wanted: Mapping[int, float]) -> dict[int, float]:
        """Of some places those worked on, but never at the share wanted there, with what they were at."""
        known = {place: self.worked[place] for place in wanted if place in self.worked}
        return {place: at for place, at in known.items() if at < wanted[place] - 1e-9}


def mostly_in(one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether half of a stretch (first and last note) and more lies in another."""
    shared = min(one[1], other[1]) - max(one[0], other[0]) + 1
    return 2 * shared >= one[1] - one[0] + 1


def course_before(day: int, places: Iterable[int], tables: PracticeTables) -> Course:
    """The course before a day, as a plan usually has it: a log has only the tempos.

    `places` are the first notes of the bars of hard changes without drills; the first day has met them all.
    Notes were held on two days of three.
    """
    used: dict[str, int] = {}
    for number in range(1, day):
        there = [
            way.id
            for way in tables.ways.values()
            if way.from_day <= number and not way.of_place and way.id in {kind_of_way(way.id)} - {BREATHS}
        ]
        used |= dict.fromkeys(sorted(there, key=lambda way: used.get(way, 0))[:WAYS_A_DAY], number)
    held = sum(number % 3 > 0 for number in range(1, day))
    return Course(used, met=dict.fromkeys(places, 0) if day > 1 else {}, held=held)
