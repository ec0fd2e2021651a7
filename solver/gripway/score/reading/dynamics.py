"""Dynamic marks and hairpins: what each means for the note it stands at and for those that follow."""

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from gripway.model.passage import CRESCENDO, DIMINUENDO, DYNAMICS, Hairpin, Stress
from gripway.score.reading.bar_positions import PlacedBar
from gripway.score.reading.expression_words import COURSE, LEADS, kind_of
from gripway.score.xml.xml_tree import Element

NEAR = 1e-6
"""Whole notes that decide nothing about a hairpin before it is looked at exactly."""

START = "mf"
"""Dynamic before the first mark (judgement: the middle of the range)."""

ACCENTED = {
    "sf": ("f", ""),
    "sfz": ("f", ""),
    "fz": ("f", ""),
    "rf": ("f", ""),
    "rfz": ("f", ""),
    "sffz": ("ff", ""),
    "fp": ("f", "p"),
    "sfp": ("f", "p"),
    "sfzp": ("f", "p"),
    "sfpp": ("f", "pp"),
    "pf": ("p", "f"),
}
"""Marks for one note: (its dynamic, what holds afterwards; empty where the old one returns)."""


FADES, OTHERS, LEADING = "fades", "others", "leading"
"""What else is no level. The dynamic that holds ends where it grows or fades from there on, and where other
players come in or leave; a word by itself may lead one."""

LEADS_WHAT_HOLDS = ("più", "piu", "meno", "sempre")
"""Words that by themselves lead the dynamic that holds: più after f is più f (common practice, no source)."""

AT_ONCE = "sub"
"""How a word begins that stands after a mark, as in p sub.; it is kept before it."""

PLAYERS = re.compile(r"(\d\.?|[aà] ?\d|(\d\.? ?)?sol[oi]|tutti|unis\.?|div\.?)", re.IGNORECASE)
"""Words for how many play: the dynamic of several is not that of one (common practice, no source)."""


SILENT_BARS = 2
"""Over more silent bars than these it is not sure that a dynamic still holds (judgement)."""


class DynamicMark(NamedTuple):
    """A mark at (bar index, time in the bar in whole notes), as it is printed (`poco f`).

    `mark` is its dynamic, or FADES, OTHERS or LEADING where something else stands.
    """

    bar: int
    at: Fraction
    mark: str
    printed: str = ""


BESIDE = Fraction(1, 16)
"""So long (whole notes) after a mark in brackets another stands for the same note (judgement)."""

BRACKETS = ("[", "(")
"""What a mark begins with that the editor added."""


class Heard(NamedTuple):
    """The dynamic of a note and its stress; the mark printed there; whether the dynamic holds for sure.

    It does where nothing grew or faded since its mark, no more than `SILENT_BARS` were silent and no other
    players came in.
    """

    level: str
    stress: Stress | None
    printed: str
    sure: bool


def read_dynamics(element: Element) -> tuple[str, str]:
    """The mark in a <dynamics> element, and as it is printed (`poco f`); both empty for nothing known."""
    led: list[str] = []
    mark = printed = ""
    for child in element.children:
        *words, name = child.text.split() or [""] if child.name == "other-dynamics" else [child.name]
        level = level_of(name)
        said = (*words, *(() if level else (name,)))
        led += [word for word in said if word.startswith(AT_ONCE) or (not mark and word.lower() in LEADS)]
        if level and not mark:
            mark, printed = level, level if name == "n" else name
    return mark, " ".join((*led, printed)) if mark else ""


def level_of(name: str) -> str:
    """The mark that a name means; empty for none. What is louder than ff is ff, softer than pp is pp."""
    if name in DYNAMICS or name in ACCENTED:
        return name
    if name == "n" or (name and set(name) == {"p"}):
        return "pp"
    return "ff" if name and set(name) == {"f"} else ""


def dynamic_marks(bars: Sequence[PlacedBar]) -> list[DynamicMark]:
    """The marks written as directions in the bars of a part, and where else their dynamics end."""
    found: list[DynamicMark] = []
    for index, bar in enumerate(bars):
        placed = [
            (at, kind, element.attributes.get("placement") == "above")
            for element, at, _ in bar.elements
            if element.name == "direction"
            for kind in element.inside("direction-type")
        ]
        plain = [at for at, kind, _ in placed if kind.name == "dynamics" and not _is_added(kind)]
        here = [
            DynamicMark(index, at, *_meant(kind, above=above))
            for at, kind, above in placed
            if not (_is_added(kind) and any(at <= other <= at + BESIDE for other in plain))
        ]
        found += _led(here) if any(mark.mark == LEADING for mark in here) else here
    return [mark for mark in found if mark.mark]


def _is_added(kind: Element) -> bool:
    """Whether a dynamic mark stands in brackets, as what an editor added."""
    return kind.name == "dynamics" and kind.text_of("other-dynamics").strip().startswith(BRACKETS)


def _led(marks: Sequence[DynamicMark]) -> Iterator[DynamicMark]:
    """The marks of a bar, each with the word that leads it; of words alone those that lead what holds.

    Such a one may stand behind its mark, too: f più is più f.
    """
    for place, mark in enumerate(marks):
        before, after = marks[place - 1] if place else None, next(iter(marks[place + 1 :]), None)
        if mark.mark == LEADING:
            others = [each for each in marks if each.at == mark.at and each is not mark]
            if not others and mark.printed.lower() in LEADS_WHAT_HOLDS:
                yield mark
        elif before and (before.mark, before.at) == (LEADING, mark.at) and mark.mark in DYNAMICS:
            yield mark._replace(printed=f"{before.printed} {mark.printed}")
        elif after and mark.mark in DYNAMICS and (after.mark, after.at) == (LEADING, mark.at):
            compared = after.printed.lower() in LEADS_WHAT_HOLDS
            yield mark._replace(printed=f"{after.printed} {mark.printed}") if compared else mark
        else:
            yield mark


def _meant(kind: Element, *, above: bool) -> tuple[str, str]:
    """What a direction is for the dynamics: a mark, FADES, OTHERS, LEADING unless `above` it, or nothing."""
    if kind.name == "dynamics":
        return read_dynamics(kind)
    if kind.name == "wedge" and kind.attributes.get("type") in (CRESCENDO, DIMINUENDO):
        return FADES, ""
    if kind.name == "words":
        if PLAYERS.fullmatch(" ".join(kind.text.split())):
            return OTHERS, ""
        led = kind.text.split()
        if led and not above and all(word.lower() in LEADS for word in led):
            return LEADING, " ".join(led)
        return (FADES, "") if kind_of(kind.text) == COURSE else ("", "")
    return "", ""


class DynamicLine:
    """The dynamics of a part, asked in written order."""

    def __init__(self, marks: list[DynamicMark]) -> None:
        self._marks = sorted(marks, key=lambda mark: (mark.bar, mark.at, mark.mark != OTHERS))
        self._next = 0
        self._held = START
        self._here: tuple[int, Fraction, str] | None = None
        self._sure = False
        self._bar = 0
        self._holds = Heard(START, None, "", sure=False)

    def at(self, bar: int, at: Fraction, own: tuple[str, str] = ("", "")) -> Heard:
        """What is heard at a note at this place; `own` is a mark written on the note itself.

        Calls come in written order. A sforzato counts for the note it stands at only.
        """
        near, self._bar = bar - self._bar <= 1 + SILENT_BARS, bar
        if near and not own[0] and self._is_plain(bar, at):
            return self._holds
        self._sure = self._sure and near
        printed, fades = "", False
        while self._next < len(self._marks):
            mark = self._marks[self._next]
            if (mark.bar, mark.at) > (bar, at):
                break
            self._next += 1
            if mark.mark == LEADING:
                printed = f"{mark.printed} {self._held}" if self._sure else printed
                continue
            if mark.mark in (FADES, OTHERS):
                at_note = mark.mark == FADES and (mark.bar, mark.at) == (bar, at)
                fades, self._sure = fades or at_note, self._sure and at_note
                continue
            printed = self._meet(mark.mark, mark.printed) or printed
            stressed = self._here is not None and self._here[:2] == (mark.bar, mark.at)
            if mark.mark in ACCENTED or not stressed:
                self._here = (mark.bar, mark.at, mark.mark)
        here = self._here[2] if self._here is not None and self._here[:2] == (bar, at) else ""
        if own[0]:
            printed = self._meet(*own) or printed
            here = own[0] if own[0] in ACCENTED or here not in ACCENTED else here
        sure, self._sure = self._sure, self._sure and not fades
        self._holds = Heard(self._held, None, "", self._sure)
        if here in ACCENTED:
            return Heard(ACCENTED[here][0], Stress(here, self._held), printed, sure)
        return Heard(self._held, None, printed, sure)

    def _is_plain(self, bar: int, at: Fraction) -> bool:
        """Whether nothing stands at a place or before it that was not met yet, nor a stress at it."""
        if self._here is not None and self._here[0] == bar and self._here[1] == at:
            return False
        if self._next == len(self._marks):
            return True
        mark = self._marks[self._next]
        return mark.bar > bar or (mark.bar == bar and mark.at > at)

    def _meet(self, mark: str, printed: str) -> str:
        """Take a mark in; what of it is printed for what follows, nothing of one for its note alone."""
        after = ACCENTED[mark][1] if mark in ACCENTED else mark
        if after:
            self._held, self._sure = after, True
        return "" if mark in ACCENTED else printed


@dataclass(frozen=True, slots=True)
class WrittenHairpin:
    """A hairpin of a part from one time to another, in whole notes of written music from its first bar on."""

    begins: Fraction
    ends: Fraction
    kind: str


def written_hairpins(bars: Sequence[PlacedBar], starts: Sequence[Fraction]) -> list[WrittenHairpin]:
    """The hairpins of a part in the order in which they begin; `starts` says when each bar does.

    One that is never closed, or closed where it began, is left out.
    """
    opened: dict[str, tuple[str, Fraction]] = {}
    found = []
    for start, bar in zip(starts, bars, strict=True):
        for kind, number, at in _wedges(bar):
            if kind in (CRESCENDO, DIMINUENDO):
                opened[number] = kind, start + at
            elif kind == "stop" and number in opened:
                opening, begins = opened.pop(number)
                if begins < start + at:
                    found.append(WrittenHairpin(begins, start + at, opening))
    return sorted(found, key=lambda each: each.begins)


def _wedges(bar: PlacedBar) -> Iterator[tuple[str, str, Fraction]]:
    """Type, number and place of each end of a hairpin in a bar, in the order of the file."""
    for element, at, _ in bar.elements:
        if element.name == "direction":
            for kind in element.inside("direction-type"):
                if kind.name == "wedge":
                    yield kind.attributes.get("type", ""), kind.attributes.get("number", "1"), at


class Hairpins:
    """The hairpins of a part, for looking up those over a note; `starts` says when each bar begins."""

    def __init__(self, bars: Sequence[PlacedBar], starts: Sequence[Fraction]) -> None:
        self.starts = starts
        self.written = written_hairpins(bars, starts)
        self._begins = [float(each.begins) for each in self.written]
        self._ends = [float(each.ends) for each in self.written]
        self._starts = [float(start) for start in starts] if self.written else []

    def over(self, bar: int, at: Fraction, length: Fraction) -> tuple[Hairpin, ...]:
        """Those that are open while a note of a bar (index) sounds, of nested ones the last to begin."""
        if not self.written:
            return ()
        onset = self._starts[bar] + float(at)
        last = bisect_left(self._begins, onset + float(length) + NEAR)
        if last == 0 or self._ends[last - 1] < onset - NEAR:  # no doubt, and that is most notes
            return ()
        return hairpins_over(self.written, self.starts[bar] + at, length)


def hairpins_over(
    hairpins: Sequence[WrittenHairpin], onset: Fraction, length: Fraction
) -> tuple[Hairpin, ...]:
    """Those that are open while a note sounds, both in written time; of nested ones the last to begin."""
    place = bisect_left(hairpins, onset + length, key=lambda each: each.begins)
    found = []
    while place and hairpins[place - 1].ends > onset:
        place -= 1
        each = hairpins[place]
        found.append(Hairpin(each.kind, each.begins - onset, each.ends - onset))
    return tuple(reversed(found))
