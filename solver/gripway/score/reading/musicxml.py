"""MusicXML to a passage: the reader that puts the pieces of this room together."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, takewhile
from math import lcm

from gripway.errors import ScoreError, TacetError
from gripway.model.passage import ASKED, ASSUMED, PRINTED, BarMetre, Note, Passage, Remark, Upbeat, rest_from
from gripway.score.reading.bar_choice import chosen_bars
from gripway.score.reading.bar_positions import FINEST, ZERO, PlacedBar, place_bars
from gripway.score.reading.dynamics import START, DynamicLine, Hairpins, Heard, dynamic_marks
from gripway.score.reading.jump_signs import read_jumps, unfollowed
from gripway.score.reading.measure_repeats import read_measure_repeats
from gripway.score.reading.parts import PartInfo, choose_part, score_parts, title_of
from gripway.score.reading.performance import PlayedNote, bar_lengths_of, perform
from gripway.score.reading.phrasing import slurred_notes, with_long_trills, with_tremolos
from gripway.score.reading.played_order import played_order
from gripway.score.reading.read_notes import NotePlace, WrittenNote, WrittenPart, as_remarks, read_written
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.tempo_marks import (
    ASSUMED_TEMPO,
    FASTEST,
    SLOWEST,
    WORDS,
    TempoMap,
    TempoMark,
    about_bars,
    asked_marks,
    heading_mark,
    mark_beside,
    mark_of,
    merge_marks,
    printed_of,
    read_tempo_marks,
    source_of,
    words_at_notes,
)
from gripway.score.reading.voices import choose_voice
from gripway.score.xml.xml_tree import Element, parse_tree

ROOTS = ("score-partwise", "score-timewise")

MOST_PLAYED_NOTES = 500_000
"""More notes than any flute part plays; beyond it the repeats of the file are a slip (judgement)."""

SLURRED_ON_BARS = 2
"""A slur that goes on over the last bar asked for is read to its end in so many bars after it (judgement)."""

SHORT = Fraction(1, 4)
"""A last note shorter than this (whole notes) leads to the next beat (judgement)."""


@dataclass(frozen=True, slots=True)
class PartReading:
    """A passage, where each of its written notes stands in the bytes (by note id), the parts, the tempos.

    `tempi` has each note (id) from which another tempo holds, with its quarters a minute.
    """

    passage: Passage
    places: dict[str, NotePlace]
    parts: tuple[PartInfo, ...]
    tempi: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class OpenedScore:
    """The root of a score, its parts (none of them chosen), and the measures of each."""

    root: Element
    parts: list[PartInfo]
    measures: list[list[Element]]


def read_musicxml(opened: OpenedScore, name: str, options: ReadOptions) -> PartReading:
    """Read one part of a MusicXML document; `name` is what errors and remarks call the file.

    Raises ScoreError with place and next step when it is not as asked.
    """
    return _PartTask(opened, name, options).read()


def opened_score(data: bytes, name: str) -> OpenedScore:
    """A MusicXML document as a tree, for all of its parts. Raises ScoreError when it is no score."""
    root = parse_tree(data, name)
    if root.name not in ROOTS:
        raise ScoreError(
            f"this XML is no MusicXML score (its root element is <{root.name}>)",
            place=name,
            next_step="Export the score as MusicXML",
        )
    infos, measures = score_parts(root)
    if not any(measures):
        raise ScoreError("the score has no bars", place=name, next_step="Export it again as MusicXML")
    return OpenedScore(root, infos, measures)


class _PartTask:
    """One reading: the chosen part, its bars, and the remarks that gather on the way."""

    def __init__(self, opened: OpenedScore, name: str, options: ReadOptions) -> None:
        self.root = opened.root
        self.name = name
        self.options = options
        self.infos = opened.parts
        self.measures = opened.measures
        self.remarks: list[Remark] = []
        self.tempo_by = ""
        self.tempo_marks: list[TempoMark] = []
        self.tempos: list[TempoMark] = []
        self.tempo_words: Mapping[int, str] = {}
        self.slurred: Collection[int] = ()
        self.heard: Sequence[Heard] = ()
        self.part, why = choose_part(self.infos, options.part, name)
        if why:
            self.remarks.append(Remark(why))
        self.bars = tuple(place_bars(self.measures[self.part.index - 1], name))
        self.prefix = f"P{self.part.index}-n"
        self.ids: dict[int, str] = {}
        self.hairpins = Hairpins((), ())

    def read(self) -> PartReading:
        """Read the part from its bars to the finished passage."""
        wanted = chosen_bars(self.options.bars, [bar.number for bar in self.bars], self.name)
        written = read_written(self.bars, self.options.abbreviations)
        self.ids = {ordinal: f"{self.prefix}{ordinal}" for ordinal in written.places}
        self.remarks += as_remarks(written, self.bars, self.prefix)
        notes = self._one_voice(written)
        order = self._order()
        others = [tuple(place_bars(m, self.name)) for m in self._other_measures()]
        lengths = self._bar_lengths(others)
        self._check_size(notes, order, lengths)
        places = [(note.bar, note.at) for note in notes]
        onsets = [place for place in places if place[0] in wanted]
        tempo = self._tempo(others, places, onsets)
        played = perform(notes, order, lengths, tempo)
        self.hairpins = Hairpins(self.bars, list(accumulate(lengths, initial=ZERO))[:-1])
        mark = mark_of(self.tempo_marks, onsets)
        self.slurred, self.heard = slurred_notes(notes), self._heard(notes)
        passage = Passage(
            notes=self._some(tuple(self._notes(notes, played, wanted))),
            title=self._title(),
            part=title_of(self.part),
            remarks=tuple(self._remarks_within(wanted)),
            tempo_by=self.tempo_by,
            composer=self._composer(),
            work=" ".join(self.root.text_of("work", "work-title").split()),
            opus=" ".join(self.root.text_of("work", "work-number").split()),
            movement=" ".join(self.root.text_of("movement-number").split()),
            tempo_from=self._tempo_from(mark),
            printed=self._printed(mark_beside(self.tempo_marks, onsets, self.bars), onsets),
            silent_bars=tuple(self._silent(notes, wanted)),
            held_over=self._held_over(played, wanted, lengths),
            tempo_bars=tuple(dict.fromkeys(self._number(mark.bar) for mark in self.tempo_marks)),
            about_bars=self._about_bars(mark),
            upbeat=self._upbeat(played, wanted),
            on_to=tuple(self._on_to(played, wanted)),
            metres=tuple(self._metres(lengths)),
            held_rests=tuple(self._number(bar) for bar in written.held_rests if bar in wanted),
        )
        marked = {self.ids[ordinal]: place for ordinal, place in written.places.items()}
        parts = tuple(replace(info, chosen=info.index == self.part.index) for info in self.infos)
        return PartReading(passage, marked, parts, tuple(self._tempi(notes, wanted, tempo)))

    def _metres(self, lengths: Sequence[Fraction]) -> Iterator[BarMetre]:
        """The bars from which another metre holds, or another length of bars."""
        before = None
        for bar, length in zip(self.bars, lengths, strict=True):
            if bar.metre and (bar.metre, length) != before:
                before = (bar.metre, length)
                yield BarMetre(bar.number, bar.metre, length)

    def _silent(self, notes: Iterable[WrittenNote], wanted: range) -> Iterator[str]:
        """The numbers of bars asked for, before the first note in them and after the last."""
        begun = [note.bar for note in notes if note.bar in wanted]
        if self.options.bars and begun:
            ends = (*range(wanted.start, min(begun)), *range(max(begun) + 1, wanted.stop))
            yield from (self._number(bar) for bar in ends)

    def _tempo_from(self, mark: TempoMark | None) -> tuple[str, str]:
        """Where the tempo of the bars comes from, at most of whose notes this mark holds."""
        if self.options.tempo is not None or self.options.tempo_percent != 100:
            return (ASKED, "")
        return source_of(mark, self.options.tempo_words)

    def _about_bars(self, mark: TempoMark | None) -> tuple[str, ...]:
        """The bars from which no number tells the tempo; none where that of most notes is not told either."""
        if self._tempo_from(mark)[0] not in (ASKED, PRINTED):
            return ()
        options = self.options
        asked = [] if options.tempo is None else [options.tempo * options.tempo_percent / 100]
        return tuple(self._number(bar) for bar in about_bars(self.tempo_marks, self.tempos, asked))

    def _printed(self, mark: TempoMark | None, onsets: Sequence[tuple[int, Fraction]]) -> tuple[float, str]:
        """The tempo printed for the bars (quarters a minute) and its mark; a word in its own metre only."""
        if mark is None:
            return (0.0, "")
        metre, count = Counter(self.bars[bar].metre for bar, _ in onsets).most_common(1)[0]
        same = count == len(onsets) and metre == self.bars[mark.bar].metre
        return printed_of(mark, self.bars[mark.bar].metre, self.options.tempo_words if same else {})

    def _tempi(
        self, notes: Iterable[WrittenNote], wanted: range, tempo: TempoMap
    ) -> Iterator[tuple[str, float]]:
        before = None
        for note in notes:
            if note.bar in wanted and (quarters := round(tempo.quarters_at(note.bar, note.at), 3)) != before:
                before = quarters
                yield self.ids[note.ordinal], quarters

    def _order(self) -> list[int]:
        """Bar indices as played; bars that only repeat others are replaced by those."""
        jumps, repeated = read_jumps(self.bars), read_measure_repeats(self.bars)
        for bar, text in (*unfollowed(jumps), *repeated.remarks):
            self.remarks.append(Remark(text, self._number(bar)))
        order = played_order(jumps, self.name, [bar.number for bar in self.bars])
        return [repeated.sources.get(bar, bar) for bar in order]

    def _check_size(
        self, notes: Sequence[WrittenNote], order: Sequence[int], lengths: Sequence[Fraction]
    ) -> None:
        """Refuse what no machine can count with: too many notes as played, lengths without a common unit."""
        in_bar = Counter(note.bar for note in notes)
        played, unit = 0, 1
        for bar in order:
            played, unit = played + in_bar[bar], lcm(unit, lengths[bar].denominator)
            if played > MOST_PLAYED_NOTES or unit > FINEST:
                many = f"the repeats make more than {MOST_PLAYED_NOTES} notes"
                raise ScoreError(
                    many if unit <= FINEST else "the lengths of the bars have no common unit",
                    place=f"{self.name}, bar {self._number(bar)}",
                    next_step="Check the repeats and durations of the score, or export it again",
                )

    def _some(self, notes: tuple[Note, ...]) -> tuple[Note, ...]:
        """The notes, of which there must be some."""
        if not notes:
            where = f" in bars {self.options.bars}" if self.options.bars else ""
            error = ScoreError if where or self.options.voice else TacetError
            raise error(
                f"part {title_of(self.part)} has no notes{where}",
                place=self.name,
                next_step="Choose other bars" if where else "Choose another part or voice",
            )
        return notes

    def _one_voice(self, written: WrittenPart) -> list[WrittenNote]:
        """The notes of the voice asked for, with what spans several of them worked out."""
        if not written.notes and written.unpitched:
            raise ScoreError(
                f"part {title_of(self.part)} has only unpitched notes (percussion)",
                place=self.name,
                next_step="Choose another part",
            )
        if written.unpitched:
            self.remarks.append(Remark(f"unpitched notes left out: {written.unpitched}"))
        if written.cues:
            self.remarks.append(Remark(f"cue notes left out: {written.cues}"))
        notes, remark = choose_voice(written.notes, self.options.voice, self.name)
        if remark:
            self.remarks.append(Remark(remark))
        return with_long_trills(with_tremolos(notes))

    def _other_measures(self) -> Iterator[list[Element]]:
        return (m for place, m in enumerate(self.measures, start=1) if place != self.part.index)

    def _bar_lengths(self, others: Sequence[Sequence[PlacedBar]]) -> list[Fraction]:
        longest: dict[int, Fraction] = {}
        for part in others:
            for index, bar in enumerate(part):
                longest[index] = max(longest.get(index, Fraction(0)), bar.length)
        metres = [Fraction(*bar.metre) if bar.metre else Fraction(0) for bar in self.bars]
        return bar_lengths_of([bar.length for bar in self.bars], longest, metres)

    def _tempo(
        self,
        others: Sequence[Sequence[PlacedBar]],
        places: Sequence[tuple[int, Fraction]],
        onsets: Sequence[tuple[int, Fraction]],
    ) -> TempoMap:
        """The tempo asked for, else the marks of this part, then of the others, else an assumption.

        `places` are those of all notes. What is asked for is the tempo of most of some (`onsets`); other
        printed ones keep their proportion to it. Of each so many percent as are asked for.
        """
        times, words = self.options.tempo_percent / 100, self.options.tempo_words
        asked = self.options.tempo
        odd = self._odd_tempo if asked is None else lambda _bar: None
        marks = merge_marks(read_tempo_marks(part, words, odd) for part in (self.bars, *others))
        self.tempo_words = words_at_notes(marks, places, words)
        if not marks and (heading := heading_mark(self._headings(), self.bars[0].metre, words)):
            marks = [heading]
        self.tempo_marks = marks
        if asked is not None:
            self.tempos = asked_marks(marks, asked * times, onsets, words)
            return TempoMap(self.tempos)
        for mark in marks:
            if mark.rank == WORDS:
                text = f"tempo {mark.quarters_per_minute:g} quarters a minute taken from {mark.text!r}"
                self.remarks.append(Remark(text, self._number(mark.bar)))
        self.tempo_by = (marks[0].text if marks[0].rank == WORDS else "") if marks else ASSUMED
        if not marks:
            self.remarks.append(Remark(f"no tempo mark: {ASSUMED_TEMPO:g} quarters a minute assumed"))
        elif (marks[0].bar, marks[0].at) > (0, 0):
            text = f"the first tempo mark ({marks[0].quarters_per_minute:g}) counts from the beginning"
            self.remarks.append(Remark(text, self._number(marks[0].bar)))
        if times != 1 and self.tempo_by not in ("", ASSUMED):
            self.tempo_by = f"{self.options.tempo_percent:g} % of {self.tempo_by}"
        self.tempos = [replace(mark, quarters_per_minute=mark.quarters_per_minute * times) for mark in marks]
        return TempoMap(self.tempos, ASSUMED_TEMPO * times)

    def _odd_tempo(self, bar: int) -> None:
        text = f"a tempo that is none ({SLOWEST:g} to {FASTEST:g} quarters a minute) was left out"
        remark = Remark(text, self._number(bar))
        if remark not in self.remarks:
            self.remarks.append(remark)

    def _number(self, bar: int) -> str:
        return self.bars[bar].number if bar < len(self.bars) else ""

    def _heard(self, written: Iterable[WrittenNote]) -> list[Heard]:
        """How loud each written note is."""
        line = DynamicLine(dynamic_marks(self.bars))
        return [line.at(note.bar, note.at, note.dynamic) for note in written]

    def _notes(self, written: list[WrittenNote], played: list[PlayedNote], wanted: range) -> Iterator[Note]:
        """The played notes that begin in the bars asked for, the first of them at time 0."""
        heard, slurred = self.heard, self.slurred
        start: tuple[Fraction, float] | None = None
        previous = -2
        for note in played:
            if note.written.bar in wanted:
                start = start or (note.onset, note.onset_ms)
                yield self._note(
                    note,
                    start,
                    heard[note.index],
                    _during(note, heard, written, self.tempo_words) if note.held else (),
                    slurred=note.index in slurred and 0 <= previous < note.index,
                )
                previous = note.index
            else:
                previous = -2

    def _held_over(
        self, played: Sequence[PlayedNote], wanted: range, lengths: Sequence[Fraction]
    ) -> Note | None:
        """What is left of a note from before where the first bar asked for begins; None without one.

        Where the metre changes before the first note: where the bar of that begins.
        """
        first = next(place for place, note in enumerate(played) if note.written.bar in wanted)
        head, before = played[first], played[max(0, first - 1)]
        own = self.bars[head.written.bar].metre
        asked = range(wanted.start, head.written.bar)
        alike = own and all(self.bars[n].metre == own and lengths[n] == Fraction(*own) for n in asked)
        bar = self.bars[wanted.start if alike else head.written.bar]
        begin = head.onset - head.written.at - sum(lengths[n] for n in asked if alike)
        left = before.onset + before.length - begin
        if not first or before.grace or left <= 0 or before.onset >= begin:
            return None
        sounds = Heard(START, None, "", sure=False)
        note = self._note(before, (begin, before.onset_ms), sounds, (), slurred=False)
        return replace(rest_from(note, ZERO, bar.number, bar.metre), held_over=True)

    def _upbeat(self, played: Sequence[PlayedNote], wanted: range) -> Upbeat | None:
        """The upbeat to the first bar, in the bar before it after a rest; None without one."""
        first = next(place for place, note in enumerate(played) if note.written.bar in wanted)
        head, begin = played[first], first
        for before in reversed(played[:first]):
            if before.onset + before.length < played[begin].onset or before.written.bar > head.written.bar:
                break
            if before.written.bar < head.written.bar - 1:
                return None
            begin -= 1
        start = played[begin]
        if begin == first or not start.written.at or head.written.at:
            return None
        notes = tuple(
            self._note(
                note,
                (start.onset, start.onset_ms),
                self.heard[note.index],
                (),
                slurred=note is not start and note.index in self.slurred,
            )
            for note in played[begin:first]
        )
        return Upbeat(notes, head.onset - start.onset, slurred_on=head.index in self.slurred)

    def _on_to(self, played: Sequence[PlayedNote], wanted: range) -> Iterator[Note]:
        """The notes after the bars asked for to which the music goes on.

        To the end of a slur, one where that is far; a run or an upbeat to the first note of the next bar.
        """
        inside = [note for note in played if note.written.bar in wanted]
        last = inside[-1]
        after = [note for note in played if note.onset >= last.onset and note.index > last.index]
        under = [*takewhile(lambda note: note.index in self.slurred, after)]
        far = under and under[-1].written.bar > wanted.stop - 1 + SLURRED_ON_BARS
        for note in under[:1] if far else under or _arrival(last, after, wanted.stop):
            start = (inside[0].onset, inside[0].onset_ms)
            slurred = note.index in self.slurred
            yield self._note(note, start, self.heard[note.index], (), slurred=slurred)

    def _note(
        self,
        played: PlayedNote,
        start: tuple[Fraction, float],
        heard: Heard,
        during: tuple[tuple[Fraction, str], ...],
        *,
        slurred: bool,
    ) -> Note:
        written = played.written
        return Note(
            id=self.ids[written.ordinal],
            bar=self.bars[written.bar].number,
            pitch=written.pitch,
            onset=played.onset if start[0] is ZERO else played.onset - start[0],
            length=played.length,
            onset_ms=played.onset_ms - start[1],
            length_ms=played.length_ms,
            dynamic=heard.level,
            slurred=slurred,
            fifths=written.fifths,
            ornament=written.ornament,
            grace=written.grace,
            time_through=played.time_through,
            articulations=written.articulations,
            fingering=written.fingering,
            problem=written.problem,
            at=written.at,
            beam=written.beam,
            metre=self.bars[written.bar].metre,
            words=written.words,
            manner=written.manner,
            stress=heard.stress,
            strokes=written.strokes,
            dynamic_mark=heard.printed,
            dynamic_sure=heard.sure,
            during=during,
            tempo_words=self.tempo_words.get(played.index, ""),
            hairpins=() if written.grace else self.hairpins.over(written.bar, written.at, played.length),
        )

    def _title(self) -> str:
        return self.root.text_of("movement-title") or self.root.text_of("work", "work-title")

    def _composer(self) -> str:
        """Who is named as the composer, as one line; empty where nobody is."""
        identification = self.root.find("identification")
        creators = identification.all("creator") if identification else ()
        named = (each.text for each in creators if each.attributes.get("type", "composer") == "composer")
        return next((" ".join(name.split()) for name in named if name.strip()), "")

    def _headings(self) -> Iterator[str]:
        """What stands above the music: title of the movement and of the work, and the words of the page."""
        yield self.root.text_of("movement-title")
        yield self.root.text_of("work", "work-title")
        for credit in self.root.all("credit"):
            yield from (" ".join(words.text.split()) for words in credit.all("credit-words"))

    def _remarks_within(self, wanted: range) -> Iterator[Remark]:
        """Remarks on the bars asked for, and those on no bar."""
        numbers = {self.bars[index].number for index in wanted}
        return (remark for remark in self.remarks if not remark.bar or remark.bar in numbers)


def _arrival(last: PlayedNote, after: Sequence[PlayedNote], bar: int) -> list[PlayedNote]:
    """The first note of a bar, with its grace notes, where one shorter than a quarter leads to it."""
    graces = [*takewhile(lambda note: note.grace, after)]
    first = next(iter(after[len(graces) :]), None)
    leads = first and not first.written.at and first.onset == last.onset + last.length
    if first is None or not leads or first.written.bar != bar or last.length >= SHORT:
        return []
    return [*graces, first]


def _during(
    note: PlayedNote, heard: Sequence[Heard], written: Sequence[WrittenNote], tempo_words: Mapping[int, str]
) -> tuple[tuple[Fraction, str], ...]:
    """The marks and words under the notes tied to one, each with its time from the onset on."""
    return tuple(
        (after, text)
        for after, index in note.held
        for text in (
            _stress_of(heard[index]),
            heard[index].printed,
            tempo_words.get(index, ""),
            *written[index].words,
        )
        if text
    )


def _stress_of(heard: Heard) -> str:
    """The mark for one note alone where it is heard, such as sf; empty for none."""
    return heard.stress.mark if heard.stress else ""
