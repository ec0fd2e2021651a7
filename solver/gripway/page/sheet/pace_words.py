"""Tempos of a piece of work in words: its numbers, where no number is told, where the click stops."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.catalog.tables.practice_figures import practice_tables
from gripway.model.passage import Note, Passage, bar_at, last_bar, quarters_of
from gripway.model.tempo import tempo_words
from gripway.practice.plan.goal import gradual_bars, is_only_faster, untold_changes
from gripway.practice.plan.plan import Plan, TempoFrom, tempos_of_stretch
from gripway.practice.ways.whole_passage import Stretch
from gripway.score.reading.expression_words import PACE, STEMS, is_another_tempo, is_gradual
from gripway.score.reading.read_notes import FERMATA

MOST_WORDS = 6
"""Words named in the line."""

MOST_SHORTENED = 7
"""Signs of a word that is shortened, with its point."""

MOST_TEMPOS = 4
"""Tempos told of one piece of work."""

AS_SETTLED = "as settled"
"""The tempo of a section that the score tells nothing of."""

FROM_BAR = "from bar"
"""What begins the words of a tempo that holds from a bar on."""

NO_CLICK = "no click"
"""Bars that go slower or faster on the way."""


def stretch_tempo(plan: Plan, stretch: Stretch, one_beat: str = "") -> str:
    """`quarter = 128, bars 384-391 no click, from bar 392 half = 94`; empty where it is free.

    Of work at several tempos all of them, where its bars have one: it goes to the click all through. The beat
    is not named where it is `one_beat`, that of all tempos of the plan.
    """
    figures = practice_tables().figures
    tempos = tempos_of_stretch(plan, stretch, figures)
    climbed = stretch.climbs(tempos[0].quarters, figures) if len(tempos) == 1 else ()
    if len(climbed) > 1 and tempos[0].faster:
        steps = stretch.climbs(100 * stretch.share, figures)
        told = f"{' '.join(f'{step}%' for step in steps)} of the settled tempo"
    elif len(climbed) > 1:
        told = f"{about_words(tempos[0])}{tempo_words(tempos[0].beat, *climbed)}"
    else:
        told = tempos_words(without_click(plan, stretch, tempos), stretch.share)
    return told.replace(f"{one_beat} = ", "") if one_beat and ", " not in told else told


def around_tempos(plan: Plan, stretch: Stretch, without: Stretch, one_beat: str = "") -> str:
    """`116, then 98`: the passage without its hardest bars, then whole; of several tempos a share of them."""
    fast = stretch_tempo(plan, without, one_beat)
    if not stretch.times:
        return fast
    several = ", " in fast
    whole = (
        f"{stretch.share / without.share:.0%} of that" if several else stretch_tempo(plan, stretch, one_beat)
    )
    return f"{fast}, then {whole}"


def without_click(plan: Plan, stretch: Stretch, tempos: Sequence[TempoFrom]) -> tuple[TempoFrom, ...]:
    """The tempos of a stretch, with the bars of it that go slower or faster on the way: those have none."""
    notes = plan.route.passage.notes
    begin, end = notes[stretch.first].bar, last_bar(notes[stretch.last])
    if not (tempos and begin.isdecimal() and end.isdecimal()):
        return tuple(tempos)
    found = [each if each.bar.isdecimal() else TempoFrom(begin, *_told_in(each)) for each in tempos]
    for bars in gradual_bars(plan.route.passage, practice_tables().figures):
        first, last = bars.first, bars.last
        if last < int(begin) or first > int(end):
            continue
        held = [each for each in found if int(each.bar) <= last + 1][-1:]
        found = [each for each in found if not first <= int(each.bar) <= last]
        stop = TempoFrom(str(max(first, int(begin))), held[0].beat, 0, until=str(min(last, int(end))))
        later = (TempoFrom(str(last + 1), *_told_in(held[0])),) * (last < int(end))
        found = sorted(
            [*(each for each in found if int(each.bar) != last + 1), stop, *later],
            key=lambda each: int(each.bar),
        )
    return tuple(found)


def _told_in(tempo: TempoFrom) -> tuple[Fraction, int, bool, str, bool]:
    return tempo.beat, tempo.quarters, tempo.about, tempo.until, tempo.faster


def settled_words(plan: Plan, stretch: Stretch) -> str:
    """`from bar 209 as settled`: where nothing tells whether the tempo of a section is another.

    `as settled` where all of a piece of work lies there, or `80% of the settled tempo`: such bars climb like
    the others. Empty where nothing lies there.
    """
    if not stretch.quarters:
        return ""
    changes = untold_changes(plan.route.passage, practice_tables().figures)
    for each in changes:
        if each.another_key and each.first <= stretch.last and stretch.first <= each.last:
            told = _share_settled(stretch)
            told += "".join(
                f", from bar {other.bar} as before"
                for other in changes
                if each.last < other.first <= stretch.last
            )
            return told if each.first <= stretch.first else f"{FROM_BAR} {each.bar} {told}"
    return ""


def _share_settled(stretch: Stretch) -> str:
    """`80%, then 50% of the settled tempo`: the shares a stretch is played at; `as settled` for the whole."""
    both = (stretch.without, stretch) if stretch.around and stretch.times else (stretch.without or stretch,)
    shares = [f"{each.share:.0%}" for each in both if each]
    return AS_SETTLED if {*shares} == {f"{1:.0%}"} else f"{', then '.join(shares)} of the settled tempo"


def with_settled(told: str, settled: str) -> str:
    """Tempos, and from where on or instead of which they may be settled: `131, or as settled`."""
    alone = settled and not settled.startswith(FROM_BAR)
    return ", ".join(filter(None, (told, f"or {settled}" if told and alone else settled)))


def about_words(tempo: TempoFrom) -> str:
    """What stands before a tempo that no number tells."""
    return "about " * tempo.about


def tempos_words(tempos: Sequence[TempoFrom], share: float = 1.0) -> str:
    """`quarter = 35, from bar 63 about half = 52`: the tempos of a piece of work; empty if free.

    One that only a word of faster tells has no number: `faster, as settled`, or a `share` of that.
    """
    told = [_told(each, share, later=place > 0, alone=len(tempos) == 1) for place, each in enumerate(tempos)]
    return ", ".join((*told[:MOST_TEMPOS], *(["then as the marks have it"] * (len(told) > MOST_TEMPOS))))


def _told(tempo: TempoFrom, share: float, *, later: bool, alone: bool) -> str:
    """One of the tempos of a piece of work, with its bar where it is not that of the beginning."""
    if tempo.until:
        bars = f"bar {tempo.bar}" if tempo.bar == tempo.until else f"bars {tempo.bar}-{tempo.until}"
        return NO_CLICK if alone else f"{bars} {NO_CLICK}"
    number = f"{about_words(tempo)}{tempo_words(tempo.beat, tempo.quarters)}"
    if tempo.faster:
        at_goal = f"{share:.0%}" == f"{1:.0%}"
        number = f"faster, {AS_SETTLED}" if at_goal else f"{share:.0%} of the settled tempo"
    return f"{f'from bar {tempo.bar} ' * (later and bool(tempo.bar))}{number}"


def pace_words(passage: Passage, ranges: Sequence[tuple[int, int]]) -> str:
    """`Bar 221 Sempre più tranquillo: no number is printed, follow the conductor.`; empty without such words.

    Those at the notes in some ranges; of another tempo only where no mark makes it a number.
    """
    notes = passage.notes
    told: dict[str, None] = {}
    for at, note in enumerate(notes):
        if note.time_through > 1 or not any(first <= at <= last for first, last in ranges):
            continue
        known = _has_number(notes, at) and not is_only_faster(passage, note.bar)
        words = (
            each
            for each in _said_at(note)
            if is_gradual(each[1]) or (is_another_tempo(each[1]) and not known)
        )
        told |= dict.fromkeys(f"{where} {text}" for where, text in words)
    line = _listed([*told])
    told_of = f"{line[0].upper()}{line[1:]}: no number is printed, follow the conductor." if line else ""
    return " ".join(filter(None, (told_of, *_pushed(passage, ranges), _held(passage, ranges))))


def _held(passage: Passage, ranges: Sequence[tuple[int, int]]) -> str:
    """`Bars 93, 119: fermata, hold it and begin again without the click.`; empty where there is none."""
    bars = [*_rests_held(passage, ranges)]
    bars += [
        last_bar(note)
        for at, note in enumerate(passage.notes)
        if note.bar and note.time_through == 1 and FERMATA in note.articulations
        if any(first <= at <= last for first, last in ranges)
    ]
    named = list(dict.fromkeys(bars))
    if all(bar.isdecimal() for bar in named):
        named.sort(key=int)
    if not named:
        return ""
    return (
        f"Bar{'s' * (len(named) > 1)} {_listed(named)}: fermata, hold it and begin again without the click."
    )


def _listed(named: Sequence[str]) -> str:
    """`93, 119, more`: so many of what is named in the line."""
    return ", ".join((*named[:MOST_WORDS], *["more"] * (len(named) > MOST_WORDS)))


def _rests_held(passage: Passage, ranges: Sequence[tuple[int, int]]) -> Iterator[str]:
    """The bars with a fermata on a rest that lie within some ranges."""
    for first, last in ranges:
        begin, end = passage.notes[first].bar, last_bar(passage.notes[last])
        if begin.isdecimal() and end.isdecimal():
            within = range(int(begin), int(end) + 1)
            yield from (bar for bar in passage.held_rests if bar.isdecimal() and int(bar) in within)


def _pushed(passage: Passage, ranges: Sequence[tuple[int, int]]) -> Iterator[str]:
    """How bars that go faster on the way are played, of those that some ranges have notes in."""
    there = {
        int(note.bar)
        for first, last in ranges
        for note in passage.notes[first : last + 1]
        if note.bar.isdecimal()
    }
    for bars in gradual_bars(passage, practice_tables().figures):
        if bars.faster and there.intersection(range(bars.first, bars.last + 1)):
            named = "-".join(dict.fromkeys((str(bars.first), str(bars.last))))
            many = "s" * (bars.first < bars.last)
            yield f"Bar{many} {named}: first steadily with the click, then push on evenly without it."


def _has_number(notes: Sequence[Note], at: int) -> bool:
    """Whether a note is in another tempo than the one before it: a mark made a number of the words there."""
    return at > 0 and round(quarters_of(notes[at - 1])) != round(quarters_of(notes[at]))


def _said_at(note: Note) -> Iterator[tuple[str, str]]:
    """The place of each word at a note or under it, and the word; one that stands over rests is before it."""
    if not note.bar:
        return
    for word in note.words:
        waited = word.startswith("[")
        yield f"{'before ' * waited}bar {note.bar}", _bare(word.strip("[]"))
    for after, word in note.during:
        yield f"bar {bar_at(note, after)}", _bare(word)


def _bare(word: str) -> str:
    """Words without the point that ends them, unless it shortens them, as in rit."""
    last = word.rpartition(" ")[2].lower()
    shortened = len(last) <= MOST_SHORTENED and last.startswith(STEMS[PACE])
    return word if shortened else word.removesuffix(".")
