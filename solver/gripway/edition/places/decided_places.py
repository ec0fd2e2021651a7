"""Decisions found again in a part, also after bars or notes were put in, taken out or changed.

Decisions and notes are laid beside each other in their order. Every note of the right pitch gets points for
the beat and for each neighbour that is as it was; a place whose bar is as far from the old one as that
of the decision before it is preferred, since bars put in move everything after them alike. What
has two places as good, or none with enough points, is told and never guessed. Places said without
neighbours are found by their bars, all together (see `moved_bars`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import groupby

from gripway.edition.places.moved_bars import (
    beat_of,
    by_bars,
    distance_of_all,
    is_beat,
    number_of,
)
from gripway.model.decision import MOST_NEIGHBOURS, Decision, DecisionPlace
from gripway.model.passage import Note
from gripway.model.pitch import Pitch

BEAT_POINTS = 3
NEIGHBOUR_POINTS = (4, 2, 1)
MOVED_POINTS, MOVED_UNIQUE_POINTS = 20, 5
"""Points for the beat, for neighbours from the nearest outwards, and against another distance in bars: a
place whose surroundings come again elsewhere may not leave those beside it for a better fit."""

FAR_NEIGHBOURS = 2
"""So many neighbours further off at least, all as they were on the same beat, tell a place whose next
notes were both changed."""

GONE, TWICE, DOUBLE, NO_PART, OFF = "gone", "twice", "double", "no-part", "off"
WHY_LOST = {
    GONE: "nothing there is as it was",
    TWICE: "several places are as good",
    DOUBLE: "decided twice: another decision has that note",
    NO_PART: "the score has no such part",
    OFF: "its note is there, but the decisions around it do not fit their bars",
}
"""Why a decision has no place, in words."""

OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Lost:
    """A decision without a place, and why: of WHY_LOST, or a fault with its grip that `what` tells."""

    decision: Decision
    why: str
    what: str = ""

    @property
    def words(self) -> str:
        """Why, in words."""
        return self.what or WHY_LOST[self.why]


@dataclass(frozen=True, slots=True)
class Decided:
    """The decisions of a part by note id, and those that have no place.

    `moved` are those without neighbours that were found so many bars later than they say (earlier: below 0);
    `all_fit` is by how many bars all of those without would be moved to fit, where some now do not.
    """

    by_note: Mapping[str, Decision] = field(default_factory=dict)
    lost: tuple[Lost, ...] = ()
    moved: Mapping[str, int] = field(default_factory=dict)
    all_fit: int = 0


NOTHING_DECIDED = Decided()


def place_of(notes: Sequence[Note], index: int, part: str) -> DecisionPlace:
    """The place of a note of a part, given as written: each note once, in its order."""
    note = notes[index]
    before = notes[max(0, index - MOST_NEIGHBOURS) : index]
    after = notes[index + 1 : index + 1 + MOST_NEIGHBOURS]
    pitches = (tuple(each.pitch for each in some) for some in (before, after))
    return DecisionPlace(note.bar, note.pitch, part, beat_of(note), *pitches)


def find_places(decisions: Sequence[Decision], notes: Sequence[Note]) -> Decided:
    """The notes that decisions of one part are about; `notes` as written, each once, in their order."""
    by_note: dict[str, Decision] = {}
    missed: list[tuple[Decision, str]] = []
    moved: dict[str, int] = {}
    around: dict[int, int] = {}
    for number, found in find_notes([decision.place for decision in decisions], notes):
        decision = decisions[number]
        if isinstance(found, str):
            missed.append((decision, found))
            continue
        note = notes[found]
        around[number_of(decision.place.bar)] = number_of(note.bar) - number_of(decision.place.bar)
        by_note[note.id] = decision
        if _is_bare(decision.place) and note.bar != decision.place.bar:
            moved[note.id] = number_of(note.bar) - number_of(decision.place.bar)
    if _restarts(notes):  # bars have no number of their own there
        around = {}
    lost = [Lost(each, why, _told_by(each.place, why, notes, around)) for each, why in missed]
    bare = [decision.place for decision in decisions if _is_bare(decision.place)]
    is_open = any(_is_bare(each.decision.place) for each in lost) and not moved
    return Decided(by_note, tuple(lost), moved, distance_of_all(bare, notes) if is_open else 0)


def _told_by(place: DecisionPlace, why: str, notes: Sequence[Note], around: Mapping[int, int]) -> str:
    """What is at a lost place now: by the bars that the decisions around it have moved, else by its own.

    `around` is by how many bars, by the bars the others say.
    """
    number = number_of(place.bar)
    sides = (
        max((bar for bar in around if bar <= number), default=None),
        min((bar for bar in around if bar >= number), default=None),
    )
    far = {around[bar] for bar in sides if bar is not None}
    if why != GONE or place.beat is None or len(far) != 1 or far == {0}:
        return _there_is(place, why, notes)
    bar = number + far.pop()
    there = [note for note in notes if number_of(note.bar) == bar and is_beat(place.beat, note)]
    has = f"has {there[0].pitch.name}" if there else "has no note on it"
    return f"by the others it would be bar {bar}, beat {beat_words(place.beat)}, which now {has}"


def _is_bare(place: DecisionPlace) -> bool:
    """Whether a place is said by bar, pitch and beat only."""
    return not (place.before or place.after)


def _there_is(place: DecisionPlace, why: str, notes: Sequence[Note]) -> str:
    """Of a place that is said by bar, pitch and beat only: where its bar has that pitch."""
    if not _is_bare(place) or why not in (GONE, TWICE):
        return ""
    in_bar = [note for note in notes if note.bar == place.bar]
    there = [note for note in in_bar if note.pitch.number == place.pitch.number]
    name = place.pitch.name
    if there:
        beats = ", ".join(beat_words(beat_of(note)) for note in there)
        if place.beat is None or why == TWICE:
            return f"bar {place.bar} has {name} on beat {beats}: say which with beat"
        return f"bar {place.bar} has {name} on beat {beats}, none on {beat_words(place.beat)}"
    octaves = [
        note.pitch.name
        for note in in_bar
        if is_beat(place.beat, note) and (note.pitch.number - place.pitch.number) % OCTAVE == 0
    ]
    if octaves:
        return f"bar {place.bar} has no {name}, but {octaves[0]}: under an 8va line write what sounds"
    return f"bar {place.bar} has no {name}"


def beat_words(beat: Fraction) -> str:
    """A beat as a decision may say it: `2`, `3.75`, `3 2/3`."""
    if (beat * 1000).denominator == 1:
        return f"{float(beat):g}"
    whole = beat.numerator // beat.denominator
    return f"{whole} {beat - whole}"


def find_notes(places: Sequence[DecisionPlace], notes: Sequence[Note]) -> Iterator[tuple[int, int | str]]:
    """The number of each place with the index of its note or one of WHY_LOST.

    `places` are of one part, `notes` its notes as written, each once, in their order.
    """
    search = _PlaceSearch(notes)
    numbers = list(range(len(places)))
    if _restarts(notes):  # bars of several movements have one number, and the file's order counts
        yield from _in_order(numbers, places, search)
        return
    numbers.sort(key=lambda number: search.order_of(places[number]))
    told = [number for number in numbers if not _is_bare(places[number])]
    known: dict[int, tuple[DecisionPlace, int]] = {}
    taken: set[int] = set()
    for number, found in _in_order(told, places, search):
        if not isinstance(found, str):
            taken.add(found)
            place = places[number]
            known[number] = place, number_of(notes[found].bar) - number_of(place.bar)
        yield number, found
    bare = {number: places[number] for number in numbers if _is_bare(places[number])}
    for number, by_bar in (by_bars(bare, known, notes) if bare else {}).items():
        if not isinstance(by_bar, int):
            yield number, TWICE if by_bar.several else OFF if by_bar.around else GONE
        elif by_bar in taken:
            yield number, DOUBLE
        else:
            taken.add(by_bar)
            yield number, by_bar


def _in_order(
    numbers: Sequence[int], places: Sequence[DecisionPlace], search: "_PlaceSearch"
) -> Iterator[tuple[int, int | str]]:
    """Places found beside each other in their order, by what stands around them."""
    options = [search.options(places[number]) for number in numbers]
    chosen = _best_in_order(options)
    had = {option.index for option in chosen if option is not None}
    taken: set[int] = set()
    for at, (number, option) in enumerate(zip(numbers, chosen, strict=True)):
        if option is None:
            is_had = len(options[at]) == 1 and options[at][0].whole and options[at][0].index in had
            yield number, DOUBLE if is_had else TWICE if _has_equals(options[at]) else GONE
        elif _has_rival(options[at], option, chosen, at):
            yield number, TWICE
        elif search.has_changed(places[number], option.moved, _beside(chosen, at)):
            yield number, GONE
        elif option.index in taken:
            yield number, DOUBLE
        else:
            taken.add(option.index)
            yield number, option.index


@dataclass(frozen=True, slots=True)
class _Option:
    """A note a decision may be about: its index, how many bars it moved, its points, whether all fits.

    `beat` is whether the beat is as it was, None where none is said; `unique` whether it is the only
    one with all these neighbours.
    """

    index: int
    moved: int
    points: int
    whole: bool
    beat: bool | None = None
    unique: bool = False

    @property
    def against(self) -> int:
        """The points against another distance in bars than those beside it."""
        return MOVED_UNIQUE_POINTS if self.unique else MOVED_POINTS


def _restarts(notes: Sequence[Note]) -> bool:
    """Whether the numbers of the bars begin anew, as in several movements."""
    bars = [bar for bar, _ in groupby(note.bar for note in notes)]
    return len(bars) > len(set(bars))


class _PlaceSearch:
    """The notes of a part by pitch."""

    def __init__(self, notes: Sequence[Note]) -> None:
        self.notes = notes
        self.by_pitch: dict[int, list[int]] = {}
        for index, note in enumerate(notes):
            self.by_pitch.setdefault(note.pitch.number, []).append(index)

    def order_of(self, place: DecisionPlace) -> tuple[int, Fraction]:
        """Where a place stood, to put decisions in order."""
        return number_of(place.bar), place.beat if place.beat is not None else Fraction(1)

    def options(self, place: DecisionPlace) -> tuple[_Option, ...]:
        """Every note that fits well enough to be asked about.

        One on another beat has to be the only one in the part with all these neighbours.
        """
        found = [
            option
            for index in self.by_pitch.get(place.pitch.number, ())
            if (option := self._weighed(place, index)) is not None
        ]
        alone = sum(option.whole for option in found) == 1
        asked = (replace(option, unique=alone and option.whole) for option in found)
        return tuple(option for option in asked if option.beat is not False or option.unique)

    def has_changed(self, place: DecisionPlace, moved: int, beside: set[int]) -> bool:
        """Whether a note of another pitch stands where the decisions beside it say the place is now.

        It is asked of a place that moved alone: the note itself was changed, and its like is elsewhere.
        """
        if moved in beside or place.beat is None or not (place.before and place.after):
            return False
        bars = {number_of(place.bar) + each for each in beside}
        near = [place.before[-1].number, place.after[0].number]
        return any(
            number_of(note.bar) in bars
            and beat_of(note) == place.beat
            and [each.pitch.number for each in (self.notes[i - 1], self.notes[i + 1])] == near
            for i, note in enumerate(self.notes[1:-1], start=1)
        )

    def _weighed(self, place: DecisionPlace, index: int) -> _Option | None:
        """The points of a note; None where too little is as it was."""
        note = self.notes[index]
        moved, same_bar = number_of(note.bar) - number_of(place.bar), note.bar == place.bar
        beat = None if place.beat is None else is_beat(place.beat, note)
        before = _equal(place.before[::-1], [each.pitch for each in self.notes[:index][-1:-4:-1]])
        after = _equal(place.after, [each.pitch for each in self.notes[index + 1 : index + 4]])
        said = [*before, *after]
        points = (BEAT_POINTS if beat else 0) + sum(
            NEIGHBOUR_POINTS[far] for side in (before, after) for far, same in enumerate(side) if same
        )
        if not said:  # only bar and beat are there to go by
            return _Option(index, 0, points + 1, True, beat) if same_bar and beat is not False else None
        if moved == 0 and not same_bar:  # bar 12a of another ending
            return None
        near = [side[0] for side in (before, after) if side]
        far = [*before[1:], *after[1:]]
        known = any(near) or (beat is True and len(far) >= FAR_NEIGHBOURS and all(far))
        return _Option(index, moved, points, all(said), beat) if known else None


def _equal(said: Sequence[Pitch], there: Sequence[Pitch]) -> list[bool]:
    """Which of the neighbours, from the nearest outwards, are as they were."""
    found = [pitch.number for pitch in there]
    return [
        far < len(found) and found[far] == pitch.number for far, pitch in enumerate(said[:MOST_NEIGHBOURS])
    ]


@dataclass(frozen=True, slots=True)
class _Step:
    """The best way so far to this option: points, the note and the bars moved, and the step before."""

    points: int
    last: int
    moved: int
    option: _Option | None
    before: "_Step | None"
    number: int


def _best_in_order(options: Sequence[Sequence[_Option]]) -> list[_Option | None]:
    """An option for each decision, or None, so that order is kept and points are most."""
    start = _Step(0, -1, 0, None, None, -1)
    ways: dict[int, _Step] = {0: start}
    for number, found in enumerate(options):
        new: list[_Step] = []
        best = max(ways.values(), key=lambda way: way.points)
        for option in found:
            before = [way for way in (ways.get(option.moved), best) if way is not None]
            fitting = [way for way in before if way.last < option.index]
            reached = [
                _Step(
                    way.points + option.points - (option.against if way.moved != option.moved else 0),
                    option.index,
                    option.moved,
                    option,
                    way,
                    number,
                )
                for way in fitting
            ]
            if reached:
                new.append(max(reached, key=lambda way: way.points))
        for way in new:
            if way.moved not in ways or way.points > ways[way.moved].points:
                ways[way.moved] = way
    chosen: list[_Option | None] = [None] * len(options)
    at: _Step | None = max(ways.values(), key=lambda way: way.points)
    while at is not None and at.option is not None:
        chosen[at.number] = at.option
        at = at.before
    return chosen


def _around(chosen: Sequence[_Option | None], number: int) -> tuple[_Option | None, _Option | None]:
    """What was chosen for the next decisions on both sides that have something."""
    before = next((each for each in reversed(chosen[:number]) if each is not None), None)
    return before, next((each for each in chosen[number + 1 :] if each is not None), None)


def _beside(chosen: Sequence[_Option | None], number: int) -> set[int]:
    """By how many bars those have moved."""
    return {each.moved for each in _around(chosen, number) if each is not None} or {0}


def _has_equals(options: Sequence[_Option]) -> bool:
    """Whether several options share the most points."""
    most = max((option.points for option in options), default=0)
    return sum(option.points == most for option in options) > 1


def _has_rival(
    options: Sequence[_Option], chosen: _Option, all_chosen: Sequence[_Option | None], number: int
) -> bool:
    """Whether another option, between the same two decisions, is as good; or what is chosen is too weak.

    A place that moved by other bars than the decisions beside it has to fit in everything, alone.
    """
    before, after = _around(all_chosen, number)
    beside = _beside(all_chosen, number)
    if chosen.moved not in beside and not chosen.unique:
        return True

    def worth(option: _Option) -> int:
        return option.points - (0 if option.moved in beside else option.against)

    return any(
        option.index != chosen.index
        and (before is None or option.index > before.index)
        and (after is None or option.index < after.index)
        and worth(option) >= worth(chosen)
        for option in options
    )
