"""Passages as MusicXML 4.0: one part, bars filled, with headings, words, lyrics and fingerings."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from html import escape
from math import lcm

from gripway.errors import RequestError
from gripway.model.passage import Note, Passage
from gripway.model.tempo import Metre, beat_name, written_beat
from gripway.score.notation_values import DEFAULT_DYNAMIC
from gripway.score.reading.dynamics import ACCENTED, level_of
from gripway.score.spelling import BarSpelling, fifths_alters
from gripway.score.write_notation import slur_ends
from gripway.score.writing.bar_filling import THREE_EIGHTHS, PrintedNote, fill_bars
from gripway.score.writing.note_groups import TIED, beams, beat_of, tuplets
from gripway.score.writing.write_hairpins import HairpinEnd, hairpin_ends
from gripway.score.writing.write_note import NoteSurroundings, write_note

COMMON_TIME = (4, 4)

HEAD = """\
<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"\
 "http://www.musicxml.org/dtds/partwise.dtd">
"""
_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Section:
    """A passage on a sheet, beginning with a bar of its own.

    `heading` stands over its first bar, `tempo` (quarters a minute) as a mark. `fingerings`,
    `lyrics` and `words` are texts at notes, by their index in the passage; the words of a note itself stand
    over it as well. `new_system` begins a new line of music, `first_bar` numbers the first bar (None: the
    next number), and it `ends` with a double bar line; bars of a part do not, and keep slurs over rests.
    Empty bars stand at its end (`rests_after`); one without notes is nothing else. Where it `goes_on` from
    the section before, slurs go over the bar line between them, and a last note that is the first one here
    (the same id) is tied over it. A last bar that is `short`, as an upbeat is, has this length.
    """

    passage: Passage
    heading: str = ""
    metre: tuple[int, int] = COMMON_TIME
    tempo: float | None = None
    new_system: bool = False
    fingerings: Mapping[int, str] = field(default_factory=dict)
    lyrics: Mapping[int, str] = field(default_factory=dict)
    words: Mapping[int, str] = field(default_factory=dict)
    first_bar: int | None = None
    ends: bool = True
    rests_after: int = 0
    goes_on: bool = False
    short: Fraction | None = None


@dataclass(frozen=True, slots=True)
class WrittenScore:
    """A score, and for every note of every section the id of the note element it begins at."""

    data: bytes
    ids: tuple[tuple[str, ...], ...]


def write_passage(passage: Passage, *, tempo: float | None = None, title: str = "") -> WrittenScore:
    """A passage alone on a sheet, in common time, from its first bar line on."""
    return write_score([Section(passage, tempo=tempo)], title=title or passage.title)


def write_score(sections: Sequence[Section], *, title: str = "", part: str = "Flute") -> WrittenScore:
    """Sections one after another as one part, as UTF-8 bytes valid under the W3C schema.

    Reading it again gives the same notes. Trills, mordents and turns are written; a tremolo
    between two notes is written as the plain notes. Raises RequestError for what has no
    written form: lengths beyond tuplets, pitches beyond octave 9.
    """
    filled = [
        fill_bars(
            section.passage.notes,
            Fraction(*section.metre),
            in_threes=beat_of(section.metre) == THREE_EIGHTHS,
            rests_after=section.rests_after,
            short=section.short,
        )
        for section in sections
    ]
    around = [_around(sections, place) for place in range(len(sections))]
    filled = [[[*_tied(bar, ends)] for bar in bars] for bars, ends in zip(filled, around, strict=True)]
    times = [printed.length for bars in filled for bar in bars for printed in bar]
    times += [each.at for section in sections for each in hairpin_ends(section.passage.notes)]
    writer = _Writer(lcm(4, *(time.denominator for time in times)))
    measures = [
        line
        for section, bars, ends in zip(sections, filled, around, strict=True)
        for line in writer.section(section, bars, ends)
    ]
    text = "\n".join(
        [
            '<score-partwise version="4.0">',
            *([f"<work><work-title>{plain(title)}</work-title></work>"] if title.strip() else []),
            f'<part-list><score-part id="P1"><part-name>{plain(part)}</part-name></score-part></part-list>',
            '<part id="P1">',
            *measures,
            "</part>",
            "</score-partwise>",
            "",
        ]
    )
    return WrittenScore((HEAD + text).encode(), tuple(writer.ids))


def plain(text: str) -> str:
    """A text on one line, escaped, without characters XML cannot hold."""
    return escape(_UNWRITABLE.sub("", " ".join(text.split())), quote=False)


@dataclass(frozen=True, slots=True)
class _Around:
    """The last note before a section and the first after it, where the music goes on over the bar line.

    Their onsets are counted as those of the section are; `held` and `holds`: its first and its last note are
    tied to them.
    """

    before: tuple[Note, ...]
    after: tuple[Note, ...]
    held: bool = False
    holds: int | None = None


def _around(sections: Sequence[Section], place: int) -> _Around:
    """What stands on both sides of a section that it goes on from, or that goes on from it."""
    own, notes = sections[place], sections[place].passage.notes
    before = sections[place - 1].passage.notes[-1:] if place and own.goes_on else ()
    before = tuple(replace(note, onset=-note.length) for note in before)
    after = sections[place + 1].passage.notes[:1] if place + 1 < len(sections) else ()
    after = after if after and sections[place + 1].goes_on else ()
    after = tuple(replace(note, onset=_bar_after(own) + note.onset) for note in after)
    held = bool(before and notes) and before[0].id == notes[0].id
    holds = len(notes) - 1 if after and notes and after[0].id == notes[-1].id else None
    return _Around(before, after, held, holds)


def _bar_after(section: Section) -> Fraction:
    """Where the bar after a section begins, in its own onsets."""
    bar = Fraction(*section.metre)
    if not section.passage.notes:
        return section.short or section.rests_after * bar
    last = section.passage.notes[-1]
    if section.short is not None:
        return (-(-(last.onset + last.length) // bar) - 1) * bar + section.short
    return (-(-(last.onset + last.length) // bar) + section.rests_after) * bar


def _tied(bar: Sequence[PrintedNote], around: _Around) -> Iterator[PrintedNote]:
    """A bar whose first or last note of all is tied over the bar line of its section."""
    for printed in bar:
        first = printed.first and not (around.held and printed.index == 0)
        holds = around.holds is not None and printed.index == around.holds
        yield replace(printed, first=first, last=printed.last and not holds)


class _Writer:
    """What is carried from bar to bar: numbers, key, dynamic, metre."""

    def __init__(self, per_whole: int) -> None:
        self.per_whole = per_whole
        self.measure = 0
        self.ordinal = 0
        self.ids: list[tuple[str, ...]] = []
        self.spelling = BarSpelling()
        self.dynamic = DEFAULT_DYNAMIC
        self.metre: tuple[int, int] | None = None
        self.key: int | None = None
        self.hairpins: list[HairpinEnd] = []
        self.during: list[tuple[Fraction, str]] = []
        self.at = Fraction(0)
        self.around = _Around((), ())

    def section(
        self, section: Section, bars: Sequence[Sequence[PrintedNote]], around: "_Around"
    ) -> Iterator[str]:
        """The measures of a section, line by line."""
        self.around = around
        ids = [""] * len(section.passage.notes)
        notes = section.passage.notes
        self.hairpins, self.at = hairpin_ends(notes), Fraction(0)
        self.during = [(note.onset + after, text) for note in notes for after, text in note.during]
        if notes and not notes[0].dynamic_mark:
            if notes[0].stress:
                self.dynamic = notes[0].stress.level
            elif not notes[0].dynamic_sure:
                self.dynamic = notes[0].dynamic
            elif not section.ends and not section.goes_on:
                self.dynamic = ""
        before = self.measure if section.first_bar is None else section.first_bar - 1
        for number, bar in enumerate(bars):
            self.measure += 1
            short = section.short is not None and number == len(bars) - 1
            implicit = ' implicit="yes"' * short
            yield f'<measure number="{before + number + 1}"{implicit}>'
            if number == 0:
                yield from self._opening(section)
            self.spelling.met.clear()
            yield from self._bar(section, bar, ids)
            yield from self._hairpins(lambda each: each.kind == "stop" and each.at <= self.at)
            if number == len(bars) - 1 and section.ends:
                yield '<barline location="right"><bar-style>light-heavy</bar-style></barline>'
            yield "</measure>"
        self.ids.append(tuple(ids))

    def _opening(self, section: Section) -> Iterator[str]:
        """What stands at the head of a section: break, key, time, clef, heading, tempo."""
        first = self.measure == 1
        if section.new_system and not first:
            yield '<print new-system="yes"/>'
        notes = section.passage.notes
        fifths = notes[0].fifths if notes else self.key or 0
        parts = [f"<divisions>{self.per_whole // 4}</divisions>"] if first else []
        parts += [self._key(fifths)] if fifths != self.key else []
        if section.metre != self.metre:
            parts.append("<time><beats>{}</beats><beat-type>{}</beat-type></time>".format(*section.metre))
        parts += ["<clef><sign>G</sign><line>2</line></clef>"] if first else []
        self.metre = section.metre
        if parts:
            yield f"<attributes>{''.join(parts)}</attributes>"
        if section.heading.strip():
            yield _direction(f'<words font-weight="bold">{plain(section.heading)}</words>', "above")
        if section.tempo is not None:
            yield _tempo(section.tempo, section.metre)

    def _key(self, fifths: int) -> str:
        self.key = fifths
        self.spelling.fifths, self.spelling.key = fifths, fifths_alters(fifths)
        return f"<key><fifths>{fifths}</fifths></key>"

    def _bar(self, section: Section, bar: Sequence[PrintedNote], ids: list[str]) -> Iterator[str]:
        notes = section.passage.notes
        beamed, tupled = beams(bar, beat_of(section.metre), _own_beams(notes)), tuplets(bar)
        for place, printed in enumerate(bar):
            self.ordinal += 1
            note = None if printed.index is None else notes[printed.index]
            if note is not None and printed.index is not None and printed.first:
                ids[printed.index] = f"P1-n{self.ordinal}"
                words = " ".join((section.words.get(printed.index, ""), *note.words))
                crowded = _has_mark_beside(notes, printed.index)
                yield from self._before(note, words, "above" if crowded else "below", given=section.ends)
            end = self.at + printed.length
            yield from self._hairpins(lambda each, end=end: each.at < end)  # type: ignore[misc]
            yield from self._while_held(end)
            yield write_note(
                printed,
                note,
                NoteSurroundings(
                    duration=int(printed.length * self.per_whole),
                    slurs=_slurs(notes, printed, self.around, over_rests=not section.ends),
                    beams=beamed.get(place, ()),
                    tuplets=tupled.get(place, ()),
                    fingering=_at(section.fingerings, printed),
                    lyric=_at(section.lyrics, printed),
                ),
                self.spelling,
            )
            self.at = end

    def _hairpins(self, due: Callable[[HairpinEnd], bool]) -> Iterator[str]:
        """The next ends of hairpins that are due, each as far on as it is from the place reached."""
        while self.hairpins and due(self.hairpins[0]):
            each = self.hairpins.pop(0)
            offset = int((each.at - self.at) * self.per_whole)
            yield _direction(f'<wedge type="{each.kind}" number="{each.number}"/>', "below", offset)

    def _while_held(self, end: Fraction) -> Iterator[str]:
        """The marks and words under a held note that come before an end."""
        while self.during and self.during[0][0] < end:
            at, text = self.during.pop(0)
            offset = int((at - self.at) * self.per_whole)
            if level := level_of(text.split()[-1]):
                self.dynamic = ACCENTED.get(level, ("", level))[1] or self.dynamic
                yield _direction(_dynamics(text), "below", offset)
            else:
                yield _direction(f"<words>{plain(text)}</words>", "above", offset)

    def _before(self, note: Note, words: str, placement: str, *, given: bool) -> Iterator[str]:
        """Directions before a note: a new key, a new dynamic with its placement, words over it.

        A dynamic that is not `given` there, as it only holds on in bars of a part, stands in brackets, over
        the staff where a hairpin begins below it.
        """
        if note.fifths != self.key:
            yield f"<attributes>{self._key(note.fifths)}</attributes>"
        if note.stress:
            if ACCENTED.get(note.stress.mark, ("", ""))[1]:
                self.dynamic = note.stress.level
            yield _direction(_dynamics(note.stress.mark), "below")
        if note.dynamic_mark or (not note.stress and note.dynamic != self.dynamic):
            self.dynamic = note.stress.level if note.stress else note.dynamic
            in_brackets = not (note.dynamic_mark or given or note.stress)
            if in_brackets and any(hairpin.begins >= 0 for hairpin in note.hairpins):
                placement = "above"
            held_on = f"( {note.dynamic} )" if in_brackets else note.dynamic
            yield _direction(_dynamics(note.dynamic_mark or held_on), placement)
        if note.tempo_words:
            yield _direction(f'<words font-weight="bold">{plain(note.tempo_words)}</words>', "above")
        if words.strip():
            yield _direction(f"<words>{plain(words)}</words>", "above")


def _has_mark_beside(notes: Sequence[Note], at: int) -> bool:
    """Whether a dynamic has words, as sempre ff has, and the note after it a mark: no room for both below."""
    after = notes[at + 1] if at + 1 < len(notes) else None
    return " " in notes[at].dynamic_mark and after is not None and bool(after.stress or after.dynamic_mark)


def _own_beams(notes: Sequence[Note]) -> Sequence[int]:
    """The groups in which notes of a score stand under beams; empty where none does."""
    groups = [TIED if note.held_over else note.beam for note in notes]
    return groups if max(groups, default=0) > 0 else ()


def _dynamics(printed: str) -> str:
    """A dynamic mark as it is printed: `f`, `poco f`."""
    if level_of(printed):
        return f"<dynamics><{printed}/></dynamics>"
    return f"<dynamics><other-dynamics>{plain(printed)}</other-dynamics></dynamics>"


def _at(texts: Mapping[int, str], printed: PrintedNote) -> str:
    """The text at a printed note: only where its note begins."""
    return plain(texts.get(printed.index, "")) if printed.index is not None and printed.first else ""


def _slurs(
    notes: tuple[Note, ...], printed: PrintedNote, around: "_Around", *, over_rests: bool
) -> tuple[str, ...]:
    """The ends of slurs at a printed note: a tied note is under the slur with all it is printed as.

    But for that of grace notes, which ends at the first it is printed as.
    """
    if printed.index is None:
        return ()
    line = (*around.before, *notes, *around.after)
    place = printed.index + len(around.before)
    opens, closes = slur_ends(line, place, over_rests=over_rests)
    there = printed.first if closes and _only_graces_lead(line, place) else printed.last
    return tuple(["stop"] * (closes and there) + ["start"] * (opens and printed.first))


def _only_graces_lead(line: Sequence[Note], place: int) -> bool:
    """Whether the slur that ends at a note has only grace notes before it: it ends where these lead to."""
    while place and line[place].slurred:
        place -= 1
        if not line[place].grace:
            return False
    return True


def _direction(inner: str, placement: str, offset: int = 0) -> str:
    moved = f"<offset>{offset}</offset>" * (offset != 0)
    return f'<direction placement="{placement}"><direction-type>{inner}</direction-type>{moved}</direction>'


def _tempo(quarters: float, metre: Metre) -> str:
    if not 0 < quarters < 100_000:
        raise RequestError(f"{quarters:g} is no tempo", next_step="Give quarter notes a minute, such as 96")
    *dotted, unit = beat_name(written_beat(metre)).split()
    told = f"{quarters / float(written_beat(metre)):.4g}"
    dot = "<beat-unit-dot/>" * len(dotted)
    mark = f"<metronome><beat-unit>{unit}</beat-unit>{dot}<per-minute>{told}</per-minute></metronome>"
    sound = f'<sound tempo="{quarters:.12g}"/>'
    return f'<direction placement="above"><direction-type>{mark}</direction-type>{sound}</direction>'
