"""The passage itself at the end of every day: which bars, at a tempo that works, how often."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures, Way
from gripway.model.passage import Note, Passage, last_bar
from gripway.practice.drills.drill_minutes import in_half_minutes
from gripway.practice.drills.tempo_ladder import Ladder
from gripway.practice.ways.around import Around, Ends

NOT_THROUGH = ("breaths", "tone", "high", "soft", "starts", "listen")
"""Ways that do not go through their notes from the first to the last."""

OWN_ORDER = (*NOT_THROUGH, "sections")
"""Ways that are not played so many times through."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Notes of the passage (first and last index), `share` of their tempo, how often, and minutes in all.

    `quarters` is the tempo (quarters a minute) where the cell stands that the stretch was chosen for; both
    are 0 for notes held without a tempo. `way` is how it is worked on (tables/practice/ways.csv), empty
    for the passage as music; `cell` which cell of the plan (from 0) it is work on, None for the passage.
    `about` says more of what it is about. It is played at so many `tempos`, `stride` notches apart, up to
    its share, so often at each. `nearly`: it is for a change that is not hard, the next hardest, or the
    `hardest` where none is hard.
    `in_ways`: it is a run that is worked on in several ways, and its minutes are for these too. The
    passage is first played once `around` few hard bars, at a higher tempo, then so often whole, where
    there is time for it. `to_first`: of its last bar it has the first note alone. `lower`: its high bars are
    an octave lower but the last time.
    """

    first: int
    last: int
    bars: tuple[str, str]
    share: float
    quarters: int
    times: int
    minutes: float
    way: str = ""
    cell: int | None = None
    about: str = ""
    tempos: int = 1
    stride: int = 1
    nearly: bool = False
    hardest: bool = False
    in_ways: bool = False
    around: Around | None = None
    to_first: bool = False
    lower: bool = False

    @property
    def without(self) -> "Stretch | None":
        """The passage once without few hard bars, at the tempo of the others; None where it has all."""
        if self.around is None:
            return None
        return replace(self, share=self.around.share, quarters=self.around.quarters, times=1, around=None)

    def share_of(self, first: int, last: int) -> float:
        """The share of their tempo that some notes have: that of the others where none is left out there."""
        found = self.around
        return self.share if found is None or found.leaves_out(first, last) else found.share

    def climbs(self, tempo: float, figures: PracticeFigures) -> tuple[int, ...]:
        """The tempos it is played at, up to one of its own."""
        return tuple(
            max(1, round(tempo * (1 + figures.notch_share) ** -(down * self.stride)))
            for down in range(self.tempos - 1, -1, -1)
        )


@dataclass(frozen=True, slots=True)
class Working:
    """The notes played on a day for one of its cells: how long once through takes (s), and at which tempo.

    They are first played `around` few hard bars, which takes `around_s`.
    """

    first: int
    last: int
    share: float
    quarters: int
    once_s: float
    around: Around | None = None
    around_s: float = 0.0


def minutes_kept(minutes: float, figures: PracticeFigures) -> float:
    """Minutes of a day that are kept for the passage, in half minutes: no more than one item may take."""
    if minutes < figures.passage_least_min:
        return 0.0
    return max(1.0, min(figures.item_most_min, minutes * figures.passage_share * 2 // 1 / 2))


def share_of(ladders: Sequence[Ladder], climbed: Sequence[int]) -> float:
    """The share of its tempo at which the whole passage works: that of the cell furthest behind.

    `climbed` is how many notches each cell is above the start of its ladder. Without cells that is 1.
    """
    places = zip(ladders, climbed, strict=True)
    shares = (ladder.steps[min(up, len(ladder.steps) - 1)] / ladder.target for ladder, up in places)
    return min(shares, default=1.0)


def working_at(
    notes: Sequence[Note],
    place: int,
    share: float,
    quarters: float,
    most: float,
    figures: PracticeFigures,
) -> Working | None:
    """The whole passage, or as many bars around a note as go once in `most` minutes; None where none do.

    What a repeat plays again is left out. A note that is played again stands for its last time where more of
    the passage goes on from there.
    """

    def once_s(first: int, last: int) -> float:
        return seconds_of(notes, first, last, share, figures)

    again = max(at for at, note in enumerate(notes) if note.id == notes[place].id)
    places = dict.fromkeys((place, again))
    found = [_around(notes, at, lambda first, last: once_s(first, last) <= most * 60) for at in places]
    ends = max(filter(None, found), key=lambda each: each[1] - each[0], default=None)
    return Working(*ends, share, round(quarters * share), once_s(*ends)) if ends else None


def _around(notes: Sequence[Note], place: int, goes: Callable[[int, int], bool]) -> Ends | None:
    """First and last note of as many bars around a note, at this time through, as `goes` takes; or None."""
    first, last = bar_of(notes, place)
    if not goes(first, last):
        return None
    grows = True
    while grows:
        grows = False
        for to in (last + 1, first - 1):
            joint = (to, first) if to < first else (last, to)
            if 0 <= to < len(notes) and goes_on(notes, *joint):
                begin, end = bar_of(notes, to)
                wider = (min(first, begin), max(last, end))
                if goes(*wider):
                    (first, last), grows = wider, True
    return first, last


def is_long(notes: Sequence[Note], minutes: float, figures: PracticeFigures) -> bool:
    """Whether the passage, once at its tempo, takes much of a day of so many minutes."""
    once = seconds_of(notes, 0, len(notes) - 1, 1.0, figures) if notes else 0.0
    return once > figures.long_passage_share * minutes * 60


def seconds_of(notes: Sequence[Note], first: int, last: int, share: float, figures: PracticeFigures) -> float:
    """How long notes take once at a share of their tempo, with a breath; long rests are cut short."""
    rests = sum(
        max(0.0, after.onset_ms - note.onset_ms - note.length_ms - figures.rest_most_s * 1000)
        for note, after in pairwise(notes[first : last + 1])
    )
    end = notes[last]
    return (end.onset_ms + end.length_ms - notes[first].onset_ms - rests) / 1000 / share + figures.breath_s


def played(working: Working, times: int, notes: Sequence[Note]) -> Stretch:
    """A stretch so many times through, in half minutes."""
    return Stretch(
        working.first,
        working.last,
        (notes[working.first].bar, _end_bar(notes, working.last)),
        working.share,
        working.quarters,
        times,
        minutes_for(working, times),
        around=working.around,
        to_first=_is_to_first(notes, working.first, working.last),
    )


def taken_on(stretch: Stretch, passage: Passage) -> Stretch:
    """A stretch; one that ends with the passage goes on to the first note of the next bar if that does."""
    *graces, arrival = passage.on_to or passage.notes[-1:]
    ends = stretch.last + 1 == len(passage.notes) and stretch.way not in NOT_THROUGH
    first, last = stretch.bars
    begins_next = last.isdecimal() and arrival.bar == str(int(last) + 1) and not arrival.at
    if not (ends and begins_next and all(note.grace for note in graces)):
        return stretch
    return replace(stretch, bars=(first, arrival.bar), to_first=True)


def _end_bar(notes: Sequence[Note], last: int) -> str:
    """The bar in which a note ends; the one before where it is tied into that and others follow there."""
    label = last_bar(notes[last])
    follows = last + 1 < len(notes) and notes[last + 1].bar == label != notes[last].bar
    return str(int(label) - 1) if follows and label.isdecimal() else label


def _is_to_first(notes: Sequence[Note], first: int, last: int) -> bool:
    """Whether some notes have of their last bar the first note, and no more of it: none after a tied one."""
    begin, end = bar_of(notes, last)
    tied = begin > first and last_bar(notes[begin - 1]) == notes[last].bar
    return begin == last < end and not tied and "" != notes[first].bar != notes[last].bar


def minutes_for(working: Working, times: int) -> float:
    """Minutes that so many times through take, in half minutes."""
    return max(0.5, in_half_minutes(working.around_s + working.once_s * times))


def bars_of(notes: Sequence[Note], first: int, last: int) -> list[str]:
    """The bars of some notes, each once."""
    return list(dict.fromkeys(note.bar for note in notes[first : last + 1]))


def bar_of(notes: Sequence[Note], place: int) -> tuple[int, int]:
    """First and last note of the bar (without bars, of the passage) a note is in."""
    first = last = place
    while first > 0 and notes[first - 1].bar == notes[place].bar and goes_on(notes, first - 1, first):
        first -= 1
    while (
        last < len(notes) - 1 and notes[last + 1].bar == notes[place].bar and goes_on(notes, last, last + 1)
    ):
        last += 1
    return first, last


def rest_after(notes: Sequence[Note], place: int) -> float:
    """Milliseconds of rest between a note and the next."""
    note, after = notes[place : place + 2]
    return after.onset_ms - note.onset_ms - note.length_ms


def without_rests(
    notes: Sequence[Note], first: int, last: int, inner: tuple[int, int], figures: PracticeFigures
) -> tuple[int, int]:
    """Of some notes those around the `inner` ones up to the next long rest, or to a repeat."""
    begin, end = inner
    while begin > first and not is_apart(notes, begin - 1, figures):
        begin -= 1
    while end < last and not is_apart(notes, end, figures):
        end += 1
    return begin, end


def is_apart(notes: Sequence[Note], place: int, figures: PracticeFigures) -> bool:
    """Whether a note and the next are parted: by a long rest, or by a repeat."""
    long = rest_after(notes, place) >= figures.study_rest_ms
    return long or not goes_on(notes, place, place + 1)


def bar_of_change(notes: Sequence[Note], place: int, figures: PracticeFigures) -> tuple[int, int]:
    """First and last note of work on the change to a note, up to long rests.

    Both of its bars where it goes over a bar line; else its bar, on to the first note of the next where no
    breath comes before that.
    """
    first, last = bar_of(notes, place)
    over = place == first > 0 and not is_apart(notes, place - 1, figures)
    if over:
        first = bar_of(notes, place - 1)[0]
    elif last + 1 < len(notes) and rest_after(notes, last) < figures.breath_rest_ms:
        last += 1
    return without_rests(notes, first, last, (place - over, place), figures)


def fullest_places(
    notes: Sequence[Note], loads: Mapping[int, float], figures: PracticeFigures
) -> tuple[int, ...]:
    """Of each bar the note its hardest change leads to, the bars with most and hardest changes first.

    What is before a bar without a long rest counts with it; notes that come again come once, and what shares
    notes with fuller bars comes last. `loads` are by the note a change leads to.
    """
    found: dict[tuple[int, ...], tuple[float, int, range]] = {}
    for place in sorted(loads, key=lambda place: (-loads[place], place)):
        first, last = bar_of_change(notes, place, figures)
        if first and not is_apart(notes, first - 1, figures):
            begin, end = bar_of(notes, first - 1)
            first, _ = without_rests(notes, begin, end, (first - 1, first - 1), figures)
        within = tuple(note.pitch.number for note in notes[first : last + 1])
        effort = sum(loads.get(each, 0.0) for each in range(first + 1, last + 1))
        found.setdefault(within, (effort, place, range(first, last + 1)))
    apart: list[int] = []
    shared: list[int] = []
    taken: set[int] = set()
    for _, place, within_range in sorted(found.values(), key=lambda each: (-each[0], each[1])):
        (shared if taken & {*within_range} else apart).append(place)
        taken |= {*within_range}
    return (*apart, *shared)


def goes_on(notes: Sequence[Note], one: int, other: int) -> bool:
    """Whether two notes are played one after the other with no repeat between them.

    That is so the same time through, and where what follows a repeat comes after its last time.
    """
    times = notes[one].time_through, notes[other].time_through
    return times[0] == times[1] or (other == one + 1 and times[0] > times[1] == 1)


def passage_words(stretch: Stretch, tempo: str = "its tempo") -> str:
    """`The passage itself, bars 12 to 15, 3 times through, at 62 % of its tempo`."""
    return f"The passage itself{_bars(stretch)}, {_through(stretch)}, at {stretch.share:.0%} of {tempo}"


def around_words(stretch: Stretch, around: Around, fast: str = "", whole: str = "") -> str:
    """`The passage, bars 2 to 63: once at 138 without bar 4, then twice with it at 82`.

    The tempos where they are given.
    """
    begin = f"The passage{_bars(stretch)}: once{f' at {fast}' * bool(fast)} without {around.told}"
    if not stretch.times:
        return begin
    often = {1: "once", 2: "twice"}.get(stretch.times, f"{stretch.times} times")
    return f"{begin}, then {often} with {around.them}{f' at {whole}' * bool(whole)}"


def _through(stretch: Stretch) -> str:
    return "once through" if stretch.times == 1 else f"{stretch.times} times through"


def passage_how(day: int, last: int, times: int) -> str:
    """How the passage is played on a day, so many times: first for the ear, last as in the concert."""
    if day == last > 1:
        first = "the first time " * (times > 1)
        then = "; then listen and mend one thing each time" * (times > 1)
        return f"{first}as in the concert, recorded if you can: count a bar, breathe, do not stop{then}"
    return "with the sound you want in the end" if day == 1 else "as music, without stopping"


LOWER = "(high bars an octave lower, as written only the last time)"
"""What spares the lips."""

HARDEST, NEXT_HARDEST = "Hardest bar", "Next hardest bar"


def title_of_way(stretch: Stretch, ways: Mapping[str, Way]) -> str:
    """What work on the passage is called: a bar that is not hard is not called so."""
    if stretch.nearly:
        return HARDEST if stretch.hardest else NEXT_HARDEST
    return ways[stretch.way].title


RUN_BEGINS = " A run: "
"""How what is told of runs alone begins in the instruction of a way."""


def instruction_of(stretch: Stretch, ways: Mapping[str, Way]) -> str:
    """What to do in work on the passage: what is for runs only where there is time for it."""
    told = ways[stretch.way].instruction
    return told if stretch.in_ways else told.partition(RUN_BEGINS)[0]


def study_words(stretch: Stretch, titles: Sequence[str], ways: Mapping[str, Way]) -> str:
    """`Fingers alone, bars 10 to 12 (E6 F#6), 3 times through`; `titles` name the cells of the plan.

    How often is not said of notes held one by one, nor of what goes through the bars in its own order.
    """
    cell = "" if stretch.cell is None else f" ({titles[stretch.cell]})"
    way = title_of_way(stretch, ways)
    often = "" if stretch.way in OWN_ORDER else f", {_through(stretch)}"
    if stretch.tempos > 1:
        often = f", {stretch.times} clean times each"
    spared = f" {LOWER}" * stretch.lower
    if stretch.about.startswith("("):
        return f"{way}{_bars(stretch)} {stretch.about}{spared}{often}"
    return f"{way}{f' {stretch.about}' * bool(stretch.about)}{_bars(stretch)}{spared}{cell}{often}"


def _bars(stretch: Stretch) -> str:
    first, last = stretch.bars
    if stretch.to_first and stretch.way not in NOT_THROUGH and last.isdecimal():
        before = str(int(last) - 1)
        return f"{_bars_from(first, before)}, on to the first note of {last}"
    return _bars_from(first, last) if first else ""


def _bars_from(first: str, last: str) -> str:
    return f", bar{'s' * (first != last)} {first}{f' to {last}' * (first != last)}"
