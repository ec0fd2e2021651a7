"""A practice plan as values: cells with all that belongs to them, and the days."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.display import Shown, brief, counted
from gripway.model.passage import Passage, bars_held, is_about, quarters_of, tempo_bar
from gripway.model.tempo import DOTTED, HALF, QUARTER
from gripway.practice.cells.cells import Cell
from gripway.practice.cells.counted_beat import counted_beat
from gripway.practice.cells.hardness import STANDARD, is_familiar, is_new
from gripway.practice.cells.trills_apart import apart_of
from gripway.practice.cells.worth_learning import CellWorth
from gripway.practice.drills.drills import IN_THE_PART, LEARN, Drill
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.plan.balance import BalanceSpot
from gripway.practice.plan.course import OPENING, PLACE
from gripway.practice.plan.exposure import SoundLevel
from gripway.practice.plan.goal import is_only_faster
from gripway.practice.plan.log_reading import Reached
from gripway.practice.ways.spots import HardPlace
from gripway.practice.ways.whole_passage import Stretch, bar_of
from gripway.route.result import Route, RouteNote
from gripway.score.notation_values import DEFAULT_TEMPO


@dataclass(frozen=True, slots=True)
class PlannedCell:
    """A cell with why it is hard, its drills, its ladder, whether other grips pay, and what was reached.

    `met` is how many of its drills were on days that are over; `missed`: it was on the last of them, and
    nothing of it was done. `of_ornament`: it is hardest in grace notes or the ending of a trill, and the
    passage is played without them as long as they are slower; `plain` is its ladder elsewhere, None where it
    is hard in these only. `order` has the places of its drills from the simplest on, where they are numbered
    in another order.
    """

    cell: Cell
    why: str
    drills: tuple[Drill, ...]
    ladder: Ladder
    worth: CellWorth
    reached: tuple[Reached, ...] = ()
    met: int = 0
    missed: bool = False
    of_ornament: bool = False
    plain: Ladder | None = None
    order: tuple[int, ...] = ()

    @property
    def holds_back(self) -> bool:
        """Whether the passage goes no faster than it: not where trills or grace notes alone are hard."""
        return not (self.cell.trill or self.of_ornament) or self.plain is not None

    @property
    def days_at_goal(self) -> int:
        """On how many days that the log knows it was at its goal."""
        last = {entry.when[:10]: entry.quarters for entry in self.reached}
        return sum(quarters >= self.ladder.goal for quarters in last.values())

    @property
    def learns(self) -> bool:
        """Whether one of its drills teaches a new grip."""
        return any(drill.kind == LEARN for drill in self.drills)

    def __repr__(self) -> str:
        return brief(
            self,
            " ".join(self.cell.pitches),
            f"load {self.cell.load:.2f}",
            counted(len(self.drills), "drill"),
        )


def is_familiar_cell(cell: Cell, figures: PracticeFigures) -> bool:
    """Whether every pupil has the worst change of a cell by the second year, and it is in time; no trill."""
    before, after = cell.candidates[cell.worst - 1 : cell.worst + 1]
    return not cell.trill and is_familiar(cell.change, before, after, figures)


def is_one_finger(cell: Cell, figures: PracticeFigures) -> bool:
    """Whether one finger alone moves in the worst change of a cell, with standard grips and in time."""
    standard = all(each.case == STANDARD for each in cell.candidates)
    return standard and not cell.trill and len(cell.change.movers) == 1 and cell.load <= figures.familiar_load


@dataclass(frozen=True, slots=True)
class Item:
    """A drill on a day: which cell (from 0), which of its drills, minutes, and the tempos it is played at."""

    cell: int
    drill: int
    minutes: float
    steps: tuple[int, ...]

    @property
    def start(self) -> int:
        """The tempo it begins at."""
        return self.steps[0]

    @property
    def end(self) -> int:
        """The tempo it ends at."""
        return self.steps[-1]


@dataclass(frozen=True, slots=True)
class Day:
    """One day: long notes to open it, its drills, work on the passage in other ways, the passage itself.

    `studies` are the long notes and the other ways. Between two things are `rest_s` seconds of rest, after
    these (from 0) a long one.
    """

    day: int
    items: tuple[Item, ...]
    rest_s: float
    long_rests: tuple[int, ...]
    long_rest: int
    passage: Stretch | None = None
    studies: tuple[Stretch, ...] = ()

    @property
    def opening(self) -> tuple[Stretch, ...]:
        """What a day begins with: the breaths are marked, long notes."""
        return tuple(study for study in self.studies if study.way in OPENING)

    @property
    def works(self) -> tuple[Item | Stretch, ...]:
        """All that is done on the day in the order in which it is done."""
        others = (study for study in self.studies if study not in self.opening)
        last = (self.passage,) if self.passage else ()
        return (*self.opening, *self.items, *others, *last)

    @property
    def lasting(self) -> tuple[float, ...]:
        """Minutes of all that is done, in the order in which it is done."""
        return tuple(each.minutes for each in self.works)

    @property
    def playing(self) -> float:
        """Minutes of drills, studies and passage, without the rests."""
        return sum(self.lasting)

    @property
    def minutes(self) -> float:
        """What the day takes, rests and all."""
        rests = max(0, len(self.lasting) - 1 - len(self.long_rests)) * self.rest_s / 60
        return self.playing + rests + len(self.long_rests) * self.long_rest


@dataclass(frozen=True, slots=True)
class Plan(Shown):
    """Cells, days and cautions for a passage.

    `gain` is what the days are worth to the scheduling model, `bound` what no plan exceeds.
    `line` is the route as its drills have it: without the trills that are practised apart.
    `left_ornaments` are those of the cells `left` that are hard in grace notes only, `run` the bars of others
    that lead, as so many hard changes stand there. `likelier_trills` are those wider than any, as they
    are likelier meant.
    `days_before` counts the days the log knows already. Without cells nothing is hard, and the
    days are work on the music: `hardest` is then the highest load there is (None: no change at all).
    """

    route: Route
    cells: tuple[PlannedCell, ...]
    days: tuple[Day, ...]
    order: str
    minutes: int
    gain: int
    bound: int
    balance: tuple[BalanceSpot, ...]
    sound: tuple[SoundLevel, ...]
    cautions: tuple[str, ...]
    hardest: float | None
    line: Route
    days_before: int = 0
    left: tuple[Cell, ...] = ()
    left_ornaments: tuple[Cell, ...] = ()
    run: HardPlace | None = None
    likelier_trills: tuple[RouteNote, ...] = ()

    @property
    def cells_left(self) -> int:
        """How many cells are hard and have no drills in the plan."""
        return len(self.left)

    @property
    def ornaments(self) -> tuple[Cell, ...]:
        """The cells that are hard in grace notes only."""
        return (*(planned.cell for planned in self.cells if planned.of_ornament), *self.left_ornaments)

    @property
    def trills_apart(self) -> tuple[RouteNote, ...]:
        """The notes whose trills are left out of the line and practised by themselves."""
        return apart_of(self.route, self.line)

    @property
    def untouched(self) -> tuple[Cell, ...]:
        """Those of them that no day works on in their bar, nor has in it with the drill of another cell."""
        there = [(each.first, each.last) for day in self.days for each in day.studies if each.way == PLACE]
        notes = self.route.passage.notes
        there += [
            bar_of(notes, planned.cell.place)
            for planned, drill in self._drilled()
            if drill.kind == IN_THE_PART and not drill.bar and notes[planned.cell.place].bar
        ]
        return tuple(
            cell for cell in self.left if not any(first <= cell.place <= last for first, last in there)
        )

    def _drilled(self) -> Iterator[tuple[PlannedCell, Drill]]:
        """The drills that days have, with their cells."""
        for cell, drill in {(item.cell, item.drill) for day in self.days for item in day.items}:
            yield self.cells[cell], self.cells[cell].drills[drill]

    @property
    def no_grip(self) -> tuple[str, ...]:
        """The notes without a grip and why, each pitch once: `F7: beyond the flute`."""
        lost = [note for note in self.route.notes if note.candidate is None]
        told = {note.note.pitch.name: note.flags[0] if note.flags else "no grip" for note in lost}
        return tuple(f"{name}: {why}" for name, why in told.items())

    @property
    def unusual_grips(self) -> frozenset[tuple[int, str]]:
        """The grips of the route that are neither standard nor known to the player, with their pitches."""
        kept = (note.candidate for note in self.route.notes if note.candidate)
        return frozenset((each.pitch, each.grip.short) for each in kept if is_new(each))

    @property
    def titles(self) -> tuple[str, ...]:
        """The notes of each cell."""
        return tuple(planned.cell.title for planned in self.cells)

    @property
    def proved(self) -> bool:
        """Whether no plan of these drills is worth more."""
        return self.gain >= self.bound

    def __repr__(self) -> str:
        return brief(
            self,
            counted(len(self.cells), "cell"),
            counted(len(self.days), "day"),
            f"{self.minutes} minutes a day",
        )


@dataclass(frozen=True, slots=True)
class TempoFrom:
    """A tempo (quarters a minute) from a bar on, and the beat it is told in; `about` if no number tells.

    `until` is the last of the bars that go slower or faster on the way: those have no tempo. One that only a
    word of `faster` tells is told without a number.
    """

    bar: str
    beat: Fraction
    quarters: int
    about: bool = False
    until: str = ""
    faster: bool = False


def tempos_of_stretch(plan: Plan, stretch: Stretch, figures: PracticeFigures) -> tuple[TempoFrom, ...]:
    """The tempos of a stretch one after another: its share of what the part has, each in its own beat.

    Empty where it is free. Where the part has one tempo there, that of the stretch, told in the beat of its
    first note; where the whole passage has one pulse, told in one beat through all its metres.
    """
    if not stretch.quarters:
        return ()
    notes = plan.route.passage.notes
    passage = plan.route.passage
    parts = _parts(passage, stretch.first, stretch.last, figures)
    pulse = _pulse(_parts(passage, 0, len(notes) - 1, figures), figures)
    if len(parts) > 1 and not pulse:
        return tuple(replace(each, quarters=max(1, round(each.quarters * stretch.share))) for each in parts)
    at_goal = stretch.quarters / stretch.share if stretch.share else DEFAULT_TEMPO
    beat = parts[0].beat if parts else counted_beat(notes[stretch.first].metre, at_goal, figures)
    own = round(parts[0].quarters * stretch.share) if parts else stretch.quarters
    near = _near(parts[0].quarters * stretch.share, stretch.quarters) if parts else True
    about, faster = (parts[0].about, parts[0].faster) if parts else (False, False)
    return (TempoFrom("", pulse or beat, stretch.quarters if near else max(1, own), about, faster=faster),)


def _parts(passage: Passage, first: int, last: int, figures: PracticeFigures) -> list[TempoFrom]:
    """The tempos of some notes, and from which bar on each of them holds."""
    found: list[TempoFrom] = []
    notes = passage.notes
    metre = notes[first].metre
    for place in range(first, last + 1):
        note, metre = notes[place], notes[place].metre or metre
        quarters = quarters_of(note)
        if not quarters or note.ornament or any(each.grace for each in notes[place : place + 2]):
            continue  # what is played shorter than written says nothing of the tempo
        if found and bars_held(note) > 1:
            continue  # nor does what is held into bars that may have another
        bar = tempo_bar(passage, place) if place > first else note.bar
        beat = counted_beat(metre, quarters, figures)
        about = is_about(passage, note.bar)
        part = TempoFrom(
            bar, beat, round(quarters), about, faster=about and is_only_faster(passage, note.bar)
        )
        if not found or (part.beat, part.quarters) != (found[-1].beat, found[-1].quarters):
            found.append(part)
    return found


def _pulse(parts: Sequence[TempoFrom], figures: PracticeFigures) -> Fraction | None:
    """The beat to tell tempos in that are one, though their beats are halves of one another; else None."""
    tempos, beats = ({each.quarters for each in parts}, {each.beat for each in parts})
    if len(tempos) != 1 or len(beats) < 2 or DOTTED in beats:
        return None
    return HALF if tempos.pop() > figures.most_beats_a_minute else QUARTER


def _near(one: float, other: float) -> bool:
    """Whether two tempos are the same but for rounding."""
    return abs(one - other) <= 1
