"""Where one can breathe in a passage, so that no stretch is longer than a breath lasts."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from gripway.catalog.tables.practice_figures import PracticeFigures
from gripway.model.passage import Note
from gripway.practice.ways.sequences import is_seam
from gripway.practice.ways.whole_passage import bar_of, goes_on, rest_after

REST, LONG, SEAM, LEAP, SLUR_END, PLAIN = "rest", "long", "seam", "leap", "slur end", "plain"
"""What makes a place one to breathe at: a rest, a long note, the end of a figure that came or comes again, a
leap, the end of a slur; plain: none of these, between two tongued notes."""


SEAM_MS = 220
"""A note before a seam that is shorter is no place to name (judgement)."""

EVENLY = 0.3
"""What the longest stretch allowed costs; shorter ones less, by their square (judgement)."""

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


@dataclass(frozen=True, slots=True)
class Breath:
    """A breath after a note (index), what makes that a place for it, and where the line goes on."""

    after: int
    kind: str
    bar: str
    at_bar_line: bool


@dataclass(frozen=True, slots=True)
class Breathing:
    """The breaths of a passage, those in its rests among them, with the longest stretch without a rest (s).

    `longest_s` is the longest stretch between two of the breaths: above `breath_most_s` where there is no
    place to breathe.
    """

    breaths: tuple[Breath, ...]
    without_rest_s: float
    longest_s: float

    @property
    def to_mark(self) -> tuple[Breath, ...]:
        """The breaths that no rest gives."""
        return tuple(breath for breath in self.breaths if breath.kind != REST)

    @property
    def is_asked(self) -> bool:
        """Whether breath is a question of the passage: there is more than one to mark."""
        return len(self.to_mark) > 1


NO_BREATHING = Breathing((), 0.0, 0.0)
"""That of no notes."""


def breathing_of(notes: Sequence[Note], figures: PracticeFigures) -> Breathing:
    """The cheapest breaths at the tempo of the part with which no stretch is longer than `breath_most_s`.

    A breath costs the share of its note that it takes (2 at most), and `breath_plain_cost` more at a plain
    place; of equal ones those that part the line more evenly. Where places are lacking, as few seconds more
    as there need be. Rests are breaths that cost nothing.
    """
    if not notes:
        return NO_BREATHING
    places = [_place(notes, place, figures) for place in range(len(notes) - 1)]
    breaths: list[Breath] = []
    first, longest_s, without_rest_s = 0, 0.0, 0.0
    for last in range(len(notes)):
        rests = last + 1 < len(notes) and places[last] == REST
        if not rests and last + 1 < len(notes):
            continue
        found = _line(notes, places, first, last, figures)
        ends = [first - 1, *found, last]
        breaths += [_breath(notes, place, places[place]) for place in (*found, *((last,) if rests else ()))]
        without_rest_s = max(without_rest_s, _lasts_s(notes, first, last))
        longest_s = max(longest_s, *(_lasts_s(notes, one + 1, other) for one, other in pairwise(ends)))
        first = last + 1
    return Breathing(tuple(breaths), without_rest_s, longest_s)


def breath_words(found: Breathing, notes: Sequence[Note], most: int) -> str:
    """`no rest for 17 s: try after E6 in bar 182, before bar 205`, no more than so many places.

    Only places are named that a line shows by itself: after a long note, and where a figure comes again.
    """
    told = list(dict.fromkeys(_told(each, notes) for each in found.to_mark if _is_sure(each, notes)))
    more = ", and so on" * (len(told) > most)
    places = f": try {', '.join(told[:most])}{more}" if told else ""
    return f"no rest for {found.without_rest_s:.0f} s{places}"


def _is_sure(breath: Breath, notes: Sequence[Note]) -> bool:
    """Whether the line shows a place by itself; others are for the player to find."""
    return breath.kind == LONG or (breath.kind == SEAM and notes[breath.after].length_ms >= SEAM_MS)


def _told(breath: Breath, notes: Sequence[Note]) -> str:
    """`before bar 205`, `after E6 in bar 182`; which E6 where the bar has more."""
    note = notes[breath.after]
    after = notes[breath.after + 1].bar
    if not breath.at_bar_line and after != note.bar and note.bar:
        return f"after the tied {note.pitch.name} in bar {after}"
    if breath.at_bar_line or not note.bar:
        return f"before bar {breath.bar}" if note.bar else f"after {note.pitch.name}"
    first, last = bar_of(notes, breath.after)
    alike = [at for at in range(first, last + 1) if notes[at].pitch.number == note.pitch.number]
    number = alike.index(breath.after)
    which = ORDINALS[number] if number < len(ORDINALS) else f"{number + 1}th"
    return f"after {f'the {which} ' * (len(alike) > 1)}{note.pitch.name} in bar {note.bar}"


def _line(
    notes: Sequence[Note], places: Sequence[str], first: int, last: int, figures: PracticeFigures
) -> list[int]:
    """After which notes of a line without rests to breathe: the least longest stretch that is allowed."""
    most_s = figures.breath_most_s
    while (found := _least(notes, places, first, last, most_s, figures)) is None:
        most_s += 1
    return found


def _least(
    notes: Sequence[Note],
    places: Sequence[str],
    first: int,
    last: int,
    most_s: float,
    figures: PracticeFigures,
) -> list[int] | None:
    """The breaths that cost least with no stretch longer than so many seconds; None where there are none."""
    far = [
        place
        for place in range(first, last)
        if min(_lasts_s(notes, first, place), _lasts_s(notes, place + 1, last)) >= figures.breath_least_s
    ]
    ends = [place for place in far if places[place]] + [last]
    best: dict[int, tuple[float, int]] = {first - 1: (0.0, first - 1)}
    for end in ends:
        cost = 0.0 if end == last else _cost(notes[end], places[end], figures)
        found: tuple[float, int] | None = None
        for begin in reversed(best):
            lasts_s = _lasts_s(notes, begin + 1, end)
            if lasts_s > most_s:
                break
            total = best[begin][0] + cost + EVENLY * (lasts_s / most_s) ** 2
            found = min(found or (total, begin), (total, begin))
        if found:
            best[end] = found
    if last not in best:
        return None
    path = [best[last][1]]
    while path[-1] >= first:
        path.append(best[path[-1]][1])
    return path[-2::-1]


def _cost(note: Note, kind: str, figures: PracticeFigures) -> float:
    taken = min(2.0, figures.breath_takes_ms / note.length_ms) if note.length_ms else 2.0
    return taken + figures.breath_plain_cost * (kind == PLAIN)


def _place(notes: Sequence[Note], place: int, figures: PracticeFigures) -> str:
    """What makes the place after a note one to breathe at; empty in a slur, after a grace or an ornament.

    Empty, too, before a longer note that a quick one leads to: a line goes on to its goal.
    """
    note, after = notes[place : place + 2]
    if not goes_on(notes, place, place + 1) or rest_after(notes, place) >= figures.breath_rest_ms:
        return REST
    if after.slurred or note.grace or note.ornament:
        return ""
    if note.length_ms < figures.breath_takes_ms and note.length * 2 <= after.length:
        return ""
    if note.length_ms >= figures.breath_long_ms:
        return LONG
    if is_seam(notes, place):
        return SEAM
    if abs(after.pitch.number - note.pitch.number) >= figures.breath_leap_semitones:
        return LEAP
    return SLUR_END if note.slurred else PLAIN


def _breath(notes: Sequence[Note], place: int, kind: str) -> Breath:
    after = notes[place + 1]
    at_line = not after.at and after.bar != notes[place].bar
    return Breath(place, kind, after.bar if at_line else notes[place].bar, at_line)


def _lasts_s(notes: Sequence[Note], first: int, last: int) -> float:
    return (notes[last].onset_ms + notes[last].length_ms - notes[first].onset_ms) / 1000
