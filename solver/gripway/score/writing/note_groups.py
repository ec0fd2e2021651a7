"""Groups of printed notes: which are beamed together, and which stand under one tuplet sign."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from gripway.score.writing.bar_filling import PrintedNote
from gripway.score.writing.note_values import is_plain

TIED = -1
"""In the place of a group: the note is tied from one that is not written."""


def beat_of(metre: tuple[int, int]) -> Fraction:
    """The stretch notes are beamed over: three units of 3/8, 6/8, 9/8, 12/8, else one quarter.

    >>> beat_of((6, 8)), beat_of((3, 8)), beat_of((4, 4))
    (Fraction(3, 8), Fraction(3, 8), Fraction(1, 4))
    """
    beats, unit = metre
    return Fraction(3, unit) if unit >= 8 and beats % 3 == 0 else Fraction(1, 4)


def beams(bar: Sequence[PrintedNote], beat: Fraction, own: Sequence[int] = ()) -> dict[int, tuple[str, ...]]:
    """The beams of each note of a bar by its place in it, level by level.

    By the beat, or where the notes have groups of their `own` (numbers by index, 0 for none) by these; a
    note that is tied from one before (TIED where that is not written) then goes with the next of its beat.
    """
    found = {}
    for group in _grouped(bar, beat, own) if own else _beamed(bar, beat):
        flags = [bar[place].value.flags for place in group]
        for order, place in enumerate(group):
            before = flags[order - 1] if order else 0
            after = flags[order + 1] if order + 1 < len(group) else 0
            found[place] = tuple(
                _beam(level <= before, level <= after, first=order == 0)
                for level in range(1, flags[order] + 1)
            )
    return found


def _beamed(bar: Sequence[PrintedNote], beat: Fraction) -> Iterator[list[int]]:
    """Places of neighbouring short notes of one beat or tuplet; groups of one are left out."""
    within = {place for tuplet in tupled(bar) for place in tuplet[1:]}
    group: list[int] = []
    for place, printed in enumerate(bar):
        short = printed.index is not None and not printed.grace and printed.value.flags > 0
        parted = place not in within and bool(group) and printed.at // beat != bar[group[0]].at // beat
        if group and (not short or parted):
            if len(group) > 1:
                yield group
            group = []
        if short:
            group.append(place)
    if len(group) > 1:
        yield group


def _grouped(bar: Sequence[PrintedNote], beat: Fraction, own: Sequence[int]) -> Iterator[list[int]]:
    """Places of neighbouring short notes that have one group of their own."""
    group: list[int] = []
    held = 0
    for place, printed in reversed([*enumerate(bar)]):
        if printed.grace:
            continue
        there = 0
        if printed.index is not None and printed.value.flags > 0:
            same = bool(group) and printed.at // beat == bar[group[0]].at // beat
            tied = not printed.first or own[printed.index] == TIED
            there = (held if same else 0) if tied else own[printed.index]
        if group and there != held:
            yield group
            group = []
        group, held = ([place, *group], there) if there else ([], 0)
    if group:
        yield group


def _beam(before: bool, after: bool, *, first: bool) -> str:
    if before and after:
        return "continue"
    if before:
        return "end"
    if after:
        return "begin"
    return "forward hook" if first else "backward hook"


def tuplets(bar: Sequence[PrintedNote]) -> dict[int, tuple[str, ...]]:
    """Where tuplet signs start and stop, by place in the bar.

    A group ends as soon as it lasts a plain length, or where another kind of value follows.
    """
    ends: dict[int, list[str]] = {}
    for group in tupled(bar):
        ends.setdefault(group[0], []).append("start")
        ends.setdefault(group[-1], []).append("stop")
    return {place: tuple(kinds) for place, kinds in ends.items()}


def tupled(bar: Sequence[PrintedNote]) -> Iterator[list[int]]:
    """The places of each tuplet of a bar: it ends with a plain length, or before another kind of value."""
    group: list[int] = []
    lasted = Fraction(0)
    for place, printed in enumerate(bar):
        if printed.grace:
            continue
        if group and printed.value.actual != bar[group[0]].value.actual:
            yield group
            group, lasted = [], Fraction(0)
        if printed.value.actual > 1:
            group.append(place)
            lasted += printed.length
            if is_plain(lasted):
                yield group
                group, lasted = [], Fraction(0)
    if group:
        yield group
