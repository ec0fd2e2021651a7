"""The bars of the part that a practice page prints under its lines, where it has room for them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gripway.model.passage import Passage, last_bar
from gripway.page.sheet.outlook_words import excerpt_words
from gripway.page.sheet.sheet_model import SheetDrill
from gripway.practice.drills.excerpts import Excerpt, excerpts, whole_bars, with_held
from gripway.practice.plan.course import OPENING, PLACE
from gripway.practice.plan.plan import Day, Item, Plan
from gripway.practice.ways.whole_passage import Stretch


def printed_ranges(plan: Plan, day: Day) -> dict[int, tuple[int, int]]:
    """By the place of a piece of work: first and last note of what is printed of it where there is room.

    Whole bars. Not long notes, work on the whole passage, and bars that an earlier piece of work has; hard
    bars that overlap are printed as one, below the first of them.
    """
    whole = (day.passage.first, day.passage.last) if day.passage else None
    found: dict[int, tuple[int, int]] = {}
    hard: set[int] = set()
    for place, work in enumerate(day.works):
        if isinstance(work, Item) or work.way in OPENING or (work.way and (work.first, work.last) == whole):
            continue
        first, last = whole_bars(plan.route.passage.notes, work.first, work.last)
        if work.way and any(one <= first and last <= other for one, other in found.values()):
            continue
        if work.way == PLACE:
            for other in [each for each in hard if found[each][0] <= last and first <= found[each][1]]:
                first, last = min(first, found[other][0]), max(last, found[other][1])
                del found[other]
                hard.discard(other)
                place = min(place, other)
            hard.add(place)
        found[place] = (first, last)
    return found


def bars_to_print(plan: Plan, ends: tuple[int, int], least: int) -> Iterator[tuple[SheetDrill, ...]]:
    """Bars of a piece of work from its beginning, from all to the fewest that are worth printing."""
    passage = plan.route.passage
    on = passage.on_to if ends[1] + 1 == len(passage.notes) else ()
    line, last = (*passage.notes, *on), ends[1] + len(on)
    rests = not on and _rests_follow(passage)
    for found in excerpts(line, ends[0], last, ends[0], passage.metres, rests_follow=rests):
        runs = [each.bars for each in found]
        left_out = _leaves_out(plan, ends, found)
        if left_out and sum(len({note.bar for note in each.passage.notes}) for each in found) < least:
            return
        words = excerpt_words(runs) if left_out else ""
        if held := passage.held_over:
            found = with_held(held, found)
        drawn = [_excerpt(plan, each, words * (each is found[0])) for each in found]
        if all(drawn):
            yield tuple(_with_upbeat(plan, [*_joined(found, [each for each in drawn if each])]))


def _rests_follow(passage: Passage) -> bool:
    """Whether the bar in which the last note ends is one asked for: no other note begins there."""
    end = last_bar(passage.notes[-1])
    silent = [int(bar) for bar in passage.silent_bars if bar.isdecimal()]
    return end.isdecimal() and max(silent, default=0) > int(end)


def _with_upbeat(plan: Plan, drawn: Sequence[SheetDrill]) -> Iterator[SheetDrill]:
    """Bars of the part; those that begin with the first bar after the upbeat to it."""
    upbeat = plan.route.passage.upbeat
    for each in drawn:
        own = each.passage.notes[0].id == plan.route.passage.notes[0].id
        if not (upbeat and own and upbeat.notes[0].metre and upbeat.notes[0].bar.isdecimal()):
            yield each
            continue
        first, *others = each.passage.notes
        begun = replace(first, slurred=upbeat.slurred_on)
        yield replace(
            each,
            passage=Passage(upbeat.notes),
            grips=[*each.grips[:1]] * len(upbeat.notes),  # none is drawn
            metre=upbeat.notes[0].metre,
            first_bar=int(upbeat.notes[0].bar),
            rests_after=0,
            short=upbeat.length,
            joined=(
                replace(each, passage=Passage((begun, *others)), words="", goes_on=True, joined=()),
                *each.joined,
            ),
        )


def _joined(found: Sequence[Excerpt], drawn: Sequence[SheetDrill]) -> Iterator[SheetDrill]:
    """Bars that go on past a change of metre on the same line of music, with the empty ones between."""
    runs: list[list[SheetDrill]] = []
    for each, drill in zip(found, drawn, strict=True):
        if each.follows and runs:
            runs[-1] += (*_empty_bars(each, drill), drill)
        else:
            runs.append([drill])
    return (replace(first, joined=tuple(others)) for first, *others in runs)


def _empty_bars(found: Excerpt, drill: SheetDrill) -> Iterator[SheetDrill]:
    """The empty bars before an excerpt that are in the metre of neither side."""
    first = (drill.first_bar or 0) - sum(each.count for each in found.between)
    for each in found.between:
        yield replace(
            drill,
            passage=Passage(()),
            grips=(),
            metre=each.metre,
            first_bar=first,
            rests_after=each.count,
            short=each.short,
            words="",
        )
        first += each.count


def is_whole(plan: Plan, stretch: Stretch, music: Sequence[Sequence[SheetDrill]]) -> bool:
    """Whether the first excerpt of the passage has all its bars."""
    if stretch.way or not music:
        return False
    shown = {note.id for each in music[0] for part in each.parts for note in part.passage.notes}
    return all(note.id in shown for note in plan.route.passage.notes[stretch.first : stretch.last + 1])


def _leaves_out(plan: Plan, ends: tuple[int, int], found: Sequence[Excerpt]) -> bool:
    """Whether some note of a range stands in none of the excerpts."""
    shown = {note.id for each in found for note in each.passage.notes}
    return any(note.id not in shown for note in plan.route.passage.notes[ends[0] : ends[1] + 1])


def _excerpt(plan: Plan, found: Excerpt, words: str) -> SheetDrill | None:
    """Bars to be drawn; None where a note has no grip."""
    first, count = found.bars[0], len(found.passage.notes)
    notes = plan.route.notes[found.first : found.first + count - found.has_held]
    if not all(note.candidate for note in notes) or not first.isdecimal():
        return None
    grips = [note.candidate.grip for note in plan.route.notes if note.candidate][:1] * count  # none is drawn
    return SheetDrill(
        label="bars",
        title=" to ".join(found.bars),
        passage=found.passage,
        grips=grips,
        metre=found.metre,
        shown=(),
        words=words,
        first_bar=int(first) - found.rests_before,
        rests_after=found.rests_after,
        goes_on=found.follows,
        short=found.short,
    )
