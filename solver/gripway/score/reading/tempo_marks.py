"""Tempo: marks read from sound, metronome and words, and the milliseconds they make."""

import re
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import inf

from gripway.model.passage import ASSUMED, PLAYBACK, PRINTED, WORD
from gripway.model.tempo import written_beat
from gripway.score.reading.bar_positions import ZERO, PlacedBar
from gripway.score.reading.expression_words import CHARACTER, TEMPO, expression_of, kind_of, pace_against
from gripway.score.xml.numerals import decimal
from gripway.score.xml.xml_tree import Element
from gripway.units import quarter_ms

ASSUMED_TEMPO = 96.0
"""Quarters per minute where the score says nothing (judgement: a middling walk)."""

SLOWEST, FASTEST = 5.0, 1000.0
"""Quarters per minute taken for a tempo; anything else is a slip of the file (judgement)."""

BEAT_UNITS = {
    "breve": Fraction(2),
    "whole": Fraction(1),
    "half": Fraction(1, 2),
    "quarter": Fraction(1, 4),
    "eighth": Fraction(1, 8),
    "16th": Fraction(1, 16),
    "32nd": Fraction(1, 32),
}
"""MusicXML beat units in whole notes."""

SAME = 2.0
"""Quarters a minute by which the sound of a file may differ from the printed number it stands for."""

SOUND, METRONOME, WORDS = 0, 1, 2
_FIRST_TEMPO = re.compile(r"tempo\s+(i|1|primo|1mo)\b", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{0,18})?(?![0-9])")
MOST_DOTS = 3
"""More dots than any beat has."""

MOST_SIGNS = 1000
"""In so many signs of a text a tempo word is looked for (judgement: a heading has fifty)."""


@dataclass(frozen=True, slots=True)
class TempoMark:
    """Quarters per minute from (bar index, time in whole notes) on; `rank` how sure it is.

    `text` is what was read where it was not a plain number. Rank is SOUND, METRONOME or WORDS. `numbered`
    says whether a number is printed there, `words` what else is, `shown` the mark as it is printed.
    """

    bar: int
    at: Fraction
    quarters_per_minute: float
    rank: int
    text: str = ""
    numbered: bool = False
    words: str = ""
    shown: str = ""


def read_tempo_marks(
    bars: Sequence[PlacedBar], words: Mapping[str, float], odd: Callable[[int], None] = lambda _bar: None
) -> list[TempoMark]:
    """The tempo marks of one part in written order; `odd` is told the bar (index) of each that is no tempo.

    `words` gives beats per minute for a tempo word in lower case; a beat is a quarter, in
    compound metres (6/8, 9/8, 12/8) a dotted quarter, in x/2 metres a half.
    """
    marks: list[TempoMark] = []
    for index, bar in enumerate(bars):
        for element, at, _ in bar.elements:
            if element.name not in ("direction", "sound"):
                continue
            mark = _read(element, index, at, bar.metre, words, marks)
            if mark is None:
                continue
            if SLOWEST <= mark.quarters_per_minute <= FASTEST:
                marks.append(mark)
            else:
                odd(index)
    return marks


def _read(
    element: Element,
    bar: int,
    at: Fraction,
    metre: tuple[int, int] | None,
    words: Mapping[str, float],
    before: Sequence[TempoMark],
) -> TempoMark | None:
    sound = element if element.name == "sound" else element.find("sound")
    tempo = sound.attributes.get("tempo", "") if sound is not None else ""
    kinds = list(element.inside("direction-type"))
    if tempo:
        sounds = float(decimal(tempo) or 0)
        shown = [child for child in kinds if child.attributes.get("print-object") != "no"]
        rates = [(_metronome(child, before), child) for child in shown if child.name == "metronome"]
        told = [_as_printed(each) for rate, each in rates if rate is not None and abs(rate - sounds) <= SAME]
        printed = " ".join(child.text.strip() for child in shown if child.name == "words")
        return TempoMark(bar, at, sounds, SOUND, "", bool(told), printed, "".join(told[:1]))
    for child in kinds:
        if child.name == "metronome" and (rate := _metronome(child, before)) is not None:
            return TempoMark(bar, at, rate, METRONOME, "", numbered=True, shown=_as_printed(child))
    text = " ".join(child.text.strip() for child in kinds if child.name == "words")
    if not text:
        return None
    if _FIRST_TEMPO.search(text) and before:
        return TempoMark(bar, at, before[0].quarters_per_minute, WORDS, text)
    beats = _beats_of(text, words)
    if beats is None:
        return None
    share = pace_against(text) if before else None
    rate = beats * float(written_beat(metre)) if share is None else share * before[-1].quarters_per_minute
    return TempoMark(bar, at, rate, WORDS, text)


def _metronome(element: Element, before: Sequence[TempoMark]) -> float | None:
    """Quarters per minute of a <metronome>: note = number, or note = note (the old = the new)."""
    units: list[Fraction] = []
    dots: list[int] = []
    for child in element.children:
        if child.name == "beat-unit":
            units.append(BEAT_UNITS.get(child.text.strip(), Fraction(0)))
            dots.append(0)
        elif child.name == "beat-unit-dot" and units:
            dots[-1] += 1
    if not units or 0 in units or max(dots) > MOST_DOTS:
        return None
    lengths = [unit * (2 - Fraction(1, 2**count)) for unit, count in zip(units, dots, strict=True)]
    if len(lengths) == 2:
        return before[-1].quarters_per_minute * float(lengths[1] / lengths[0]) if before else None
    number = _NUMBER.search(element.text_of("per-minute"))
    return float(number[0]) * float(lengths[0] * 4) if number else None


def _as_printed(element: Element) -> str:
    """A <metronome> of one note value and a number in words: `dotted quarter = 104`; else empty."""
    units = [child.text.strip() for child in element.children if child.name == "beat-unit"]
    number = _NUMBER.search(element.text_of("per-minute"))
    dotted = any(child.name == "beat-unit-dot" for child in element.children)
    return f"{'dotted ' * dotted}{units[0]} = {number[0]}" if len(units) == 1 and number else ""


def _beats_of(text: str, words: Mapping[str, float]) -> float | None:
    """Beats per minute of the longest known tempo word at a word boundary of the text."""
    found = _any_of(tuple(words)).findall(text[:MOST_SIGNS].lower()) if words else []
    return words[max(found, key=len)] if found else None


@lru_cache(maxsize=8)
def _any_of(words: tuple[str, ...]) -> re.Pattern[str]:
    """Finds at every beginning of a word the longest of some words or phrases."""
    longest_first = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?=({longest_first})(?!\w))")


def source_of(mark: TempoMark | None, words: Mapping[str, float]) -> tuple[str, str]:
    """Where the tempo of a mark comes from, as Passage has it; it is assumed where there is none."""
    if mark is None:
        return (ASSUMED, "")
    if mark.rank == WORDS:
        return (WORD, mark.text)
    if mark.numbered:
        return (PRINTED, mark.shown)
    return (PLAYBACK, mark.words if _beats_of(mark.words, words) else "")


def mark_of(marks: Sequence[TempoMark], places: Iterable[tuple[int, Fraction]]) -> TempoMark | None:
    """The mark that holds at most of some places (bar index, time in it); None without marks."""
    found = Counter(_holding(marks, places))
    return marks[found.most_common(1)[0][0] if found else 0] if marks else None


def mark_beside(
    marks: Sequence[TempoMark], places: Iterable[tuple[int, Fraction]], bars: Sequence[PlacedBar]
) -> TempoMark | None:
    """The mark beside which a player asks for a tempo: one with a number first, then that of most places."""
    held: Counter[TempoMark] = Counter()
    for at in _holding(marks, places if marks else ()):
        held[_numbered_before(marks[at], marks, bars)] += 1
    return max(held, key=lambda mark: (mark.numbered, held[mark])) if held else next(iter(marks), None)


def _numbered_before(mark: TempoMark, marks: Iterable[TempoMark], bars: Sequence[PlacedBar]) -> TempoMark:
    """The last mark with a number to whose tempo a mark without one goes back in the same metre; else itself.

    A tempo and Tempo I print no number: the one that holds again is printed before.
    """
    numbered = [
        each
        for each in marks
        if each.numbered
        and (each.bar, each.at) < (mark.bar, mark.at)
        and abs(each.quarters_per_minute - mark.quarters_per_minute) <= SAME
        and bars[each.bar].metre == bars[mark.bar].metre
    ]
    return (
        numbered[-1] if numbered and not mark.numbered and kind_of(mark.text or mark.words) == TEMPO else mark
    )


def _holding(marks: Sequence[TempoMark], places: Iterable[tuple[int, Fraction]]) -> Iterator[int]:
    """Which mark holds at each of some places; the first of all before it, too."""
    keys = [(mark.bar, mark.at) for mark in marks]
    return (max(0, bisect_right(keys, place) - 1) for place in places)


ASKED_NEAR = 0.05
"""Share by which a printed tempo may differ from the main one and be the number asked for (judgement)."""


MILD = (0.75, 1.33)
"""Shares of the tempo before in which the sound of a file is taken for a word of character (judgement)."""


def _told_apart(marks: Sequence[TempoMark], words: Mapping[str, float]) -> list[TempoMark]:
    """Marks that set a tempo; that of a word of slower or faster alone is so against what was before.

    As the file sounds it after the one before, whatever that is, where that fits the word (and is mild where
    it is one of character); più tranquillo after tranquillo is slower again.
    """
    own: list[TempoMark] = []
    told: list[TempoMark] = []
    for before, mark in pairwise((None, *marks)):
        if mark is None or not _sets(mark, words):
            continue
        text = mark.text or mark.words
        share = None if mark.numbered else pace_against(text)
        if before and told and share is not None:
            sounds = mark.quarters_per_minute / before.quarters_per_minute
            mild = MILD if kind_of(text) == CHARACTER else (0.0, inf)
            fits = mild[0] <= sounds <= 1 - ASKED_NEAR if share < 1 else 1 + ASKED_NEAR <= sounds <= mild[1]
            rate = mark.quarters_per_minute / own[-1].quarters_per_minute if fits else share
            told.append(replace(mark, quarters_per_minute=rate * told[-1].quarters_per_minute))
        else:
            told.append(mark)
        own.append(mark)
    return told


def asked_marks(
    marks: Sequence[TempoMark],
    asked: float,
    places: Iterable[tuple[int, Fraction]],
    words: Mapping[str, float],
) -> list[TempoMark]:
    """The marks where a tempo was asked for: that of most of some places has it, others in proportion.

    One that is nearly the same (`ASKED_NEAR`) is no other tempo to whoever asks for one number.
    Of those that hold there one with a printed number comes first, as a player asks beside that.
    Only marks that print a tempo or a character (Tranquillo) count; what a file only sounds, and its ways of
    slowing down, do not. What it sounds at a word of character counts where it is near that word.
    """
    printed = _told_apart(marks, words)
    if not printed:
        return [TempoMark(0, ZERO, asked, SOUND)]
    held = Counter(_holding(printed, places))
    main, _ = max(held.items(), key=lambda each: (printed[each[0]].numbered, each[1])) if held else (0, 0)
    own = printed[main].quarters_per_minute
    rates = [mark.quarters_per_minute / own for mark in printed]
    rates = [1.0 if abs(rate - 1) <= ASKED_NEAR else rate for rate in rates]
    return [
        replace(mark, quarters_per_minute=asked * rate) for mark, rate in zip(printed, rates, strict=True)
    ]


def about_bars(
    marks: Iterable[TempoMark], used: Iterable[TempoMark], asked: Sequence[float]
) -> tuple[int, ...]:
    """The bars (indices) of marks from which a tempo holds that no number tells.

    `used` are the marks that are kept to. A number tells the tempo where it is printed there, or elsewhere
    with the same tempo (Tempo I), or was asked for; without any number no bar is one.
    """
    kept = {(mark.bar, mark.at): mark for mark in used}
    numbers = [*asked, *(mark.quarters_per_minute for mark in kept.values() if mark.numbered)]
    about: dict[int, bool] = {}
    holds = False
    for mark in marks:
        if own := kept.get((mark.bar, mark.at)):
            holds = not own.numbered and all(abs(own.quarters_per_minute - n) > SAME for n in numbers)
        about[mark.bar] = holds
    return tuple(bar for bar, is_so in about.items() if is_so and numbers)


def _sets(mark: TempoMark, words: Mapping[str, float]) -> bool:
    """Whether a mark prints a tempo of its own."""
    text = mark.text or mark.words
    return mark.numbered or _beats_of(text, words) is not None or kind_of(text) in (TEMPO, CHARACTER)


def words_at_notes(
    marks: Iterable[TempoMark], places: Sequence[tuple[int, Fraction]], words: Mapping[str, float]
) -> dict[int, str]:
    """The words of tempo at notes, by the index of the first note at or after each; `places` are in order.

    Not those that a note has as it is, such as a tempo, nor brackets around a number alone; of several before
    one note the last. Words in a bar before are in brackets.
    """
    found: dict[int, str] = {}
    for mark in marks:
        text = " ".join((mark.text or mark.words).split())
        at = bisect_left(places, (mark.bar, mark.at))
        if any(map(str.isalpha, text)) and at < len(places) and _sets(mark, words):
            here = text if places[at][0] == mark.bar else f"[{text}]"
            found[at] = "" if expression_of(text) else here
    return found


def printed_of(
    mark: TempoMark, metre: tuple[int, int] | None, words: Mapping[str, float]
) -> tuple[float, str]:
    """The tempo a mark prints, in quarters a minute, and how; of a word what `words` have for it; else 0."""
    if mark.numbered:
        return (mark.quarters_per_minute, mark.shown)
    text = mark.text if mark.rank == WORDS else mark.words
    if mark.rank == WORDS and pace_against(text) is not None:
        return (mark.quarters_per_minute, " ".join(text.split()))
    beats = _beats_of(text, words)
    return (0.0, "") if beats is None else (beats * float(written_beat(metre)), " ".join(text.split()))


def heading_mark(
    texts: Iterable[str], metre: tuple[int, int] | None, words: Mapping[str, float]
) -> TempoMark | None:
    """The tempo that the heading of a score gives: of its texts the first that has a tempo word."""
    for text in texts:
        if (beats := _beats_of(text, words)) is not None:
            return TempoMark(0, Fraction(0), beats * float(written_beat(metre)), WORDS, text)
    return None


def merge_marks(parts: Iterable[Sequence[TempoMark]]) -> list[TempoMark]:
    """One line of marks from several parts, the most trusted part first.

    At one place the surer kind wins (sound, metronome, words), then a printed number of the same tempo, then
    the earlier part.
    """
    chosen: dict[tuple[int, Fraction], TempoMark] = {}
    for marks in parts:
        for mark in marks:
            held = chosen.get((mark.bar, mark.at))
            if held is None or mark.rank < held.rank or _prints(mark, held):
                chosen[mark.bar, mark.at] = mark
    return [chosen[key] for key in sorted(chosen)]


def _prints(mark: TempoMark, held: TempoMark) -> bool:
    """Whether a mark prints the number that one as sure at the same place only sounds."""
    near = abs(mark.quarters_per_minute - held.quarters_per_minute) <= SAME
    return mark.rank == held.rank and mark.numbered and not held.numbered and near


class TempoMap:
    """Milliseconds of any stretch of a bar, from the marks in written order."""

    def __init__(self, marks: Sequence[TempoMark], assumed: float = ASSUMED_TEMPO) -> None:
        self._marks = sorted(marks, key=lambda mark: (mark.bar, mark.at))
        self._keys = [(mark.bar, mark.at) for mark in self._marks]
        self._before = self._marks[0].quarters_per_minute if self._marks else assumed
        self._segments: dict[int, list[tuple[Fraction, float, float]]] = {}
        self._floats: dict[int, tuple[Fraction, float]] = {}  # by their ids: most times come again and again

    def quarters_at(self, bar: int, at: Fraction) -> float:
        """Quarters a minute that hold at a time of a bar (index); `at` in whole notes."""
        return 240_000.0 / self._segment(bar, at)[2]

    def even_ms(self, bar: int) -> float:
        """Milliseconds a whole note lasts in a bar (index) that is even throughout; 0 in any other."""
        _, _, per_whole = self._segment(bar, ZERO)
        return per_whole if len(self._segments[bar]) == 1 else 0.0

    def at_ms(self, bar: int, at: Fraction) -> float:
        """Milliseconds from the start of the bar (index) to a time in it (whole notes)."""
        start, start_ms, per_whole = self._segment(bar, at)
        if start is not ZERO:
            return start_ms + float(at - start) * per_whole
        if (known := self._floats.get(id(at))) is None:
            known = self._floats[id(at)] = at, float(at)
        return known[1] * per_whole

    def _segment(self, bar: int, at: Fraction) -> tuple[Fraction, float, float]:
        segments = self._segments.get(bar)
        if segments is None:
            segments = self._segments[bar] = self._build(bar)
        if len(segments) == 1:
            return segments[0]
        return segments[bisect_right(segments, at, key=lambda segment: segment[0]) - 1]

    def _build(self, bar: int) -> list[tuple[Fraction, float, float]]:
        """(start, its milliseconds, milliseconds a whole note) of each stretch of even tempo."""
        place = bisect_right(self._keys, (bar, Fraction(0)))
        tempo = self._marks[place - 1].quarters_per_minute if place else self._before
        segments = [(ZERO, 0.0, 4 * quarter_ms(tempo))]
        while place < len(self._marks) and self._marks[place].bar == bar:
            start, start_ms, per_whole = segments[-1]
            mark = self._marks[place]
            here_ms = start_ms + float(mark.at - start) * per_whole
            segments.append((mark.at, here_ms, 4 * quarter_ms(mark.quarters_per_minute)))
            place += 1
        return segments
