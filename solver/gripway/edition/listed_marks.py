"""Our marks by the list beside their score, where another program has saved it."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from gripway.edition.places.decided_places import NO_PART, WHY_LOST, find_notes, place_of
from gripway.errors import ScoreError
from gripway.model.decision import DecisionPlace
from gripway.model.figures import written_notes
from gripway.model.listed_mark import LINE, ListedMark
from gripway.model.passage import Note, Remark
from gripway.score.marks_at_note import NoteSign, NoteSigns, without_signs
from gripway.score.own_marks import without_own
from gripway.score.reading.musicxml import OpenedScore, opened_score
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import Bare, ScoreReading, ScoreSource, read_part
from gripway.score.xml.splice import Document

Tempos = Mapping[str, float]
"""The tempo at notes, by their ids, in quarters a minute."""

NO_TEMPOS: Tempos = {}


@dataclass(frozen=True, slots=True)
class AlreadyRead:
    """A score that is open, and those of its parts that are read, each in the voice it has first."""

    opened: OpenedScore
    readings: Sequence[ScoreReading]


def listed_marks(
    source: ScoreSource,
    tempos: Tempos = NO_TEMPOS,
    before: Sequence[ListedMark] = (),
    already: AlreadyRead | None = None,
) -> tuple[ListedMark, ...]:
    """Every mark of ours in a score as we wrote it, in all its parts and voices.

    `tempos` are those the marks made now are for; marks at other notes have them of the list `before`.
    What is `already` read of the source is not read again.
    """
    document = Document(source.data, source.codec)
    spans = without_own(document).spans
    if not spans:
        return ()
    opened = already.opened if already else opened_score(source.data, source.name)
    known = {reading.part.index: reading for reading in already.readings} if already else {}
    found: list[ListedMark] = []
    for number, measures in enumerate(opened.measures, start=1):
        if not any(bar.start < start < bar.end for bar in measures for start, _ in spans):
            continue
        heard = (note.text_of("voice") or "1" for bar in measures for note in bar.all("note"))
        voices = dict.fromkeys(heard)
        for voice in voices:
            reading = known.get(number) if len(voices) == 1 else None
            if reading := reading or _read(source, opened, str(number), voice):
                found += _in_voice(reading, document, spans, str(number), voice, tempos)
    earlier = {_at(mark): mark.tempo for mark in before}
    return tuple(
        replace(mark, tempo=earlier.get(_at(mark))) if mark.tempo is None else mark for mark in found
    )


@dataclass(frozen=True, slots=True)
class ChangedMark:
    """What stood at a note and what stands there now; either is empty where there is nothing."""

    place: DecisionPlace
    before: tuple[str, ...]
    after: tuple[str, ...]


def changed_marks(before: Sequence[ListedMark], after: Sequence[ListedMark]) -> tuple[ChangedMark, ...]:
    """The notes of a score whose marks of ours are others now, first those that are marked now."""
    was, now = _texts(before), _texts(after)
    places = {_at(mark): mark.place for mark in (*before, *after)}
    return tuple(
        ChangedMark(places[key], was.get(key, ()), now.get(key, ()))
        for key in (*now, *(key for key in was if key not in now))
        if was.get(key, ()) != now.get(key, ())
    )


def _texts(marks: Sequence[ListedMark]) -> dict[Hashable, tuple[str, ...]]:
    return {_at(mark): tuple(text for _, text in mark.signs) for mark in marks}


def _at(mark: ListedMark) -> Hashable:
    place = mark.place
    return place.part, mark.voice, place.bar, place.beat, place.pitch.number


def _in_voice(
    reading: ScoreReading,
    document: Document,
    spans: Sequence[tuple[int, int]],
    part: str,
    voice: str,
    tempos: Tempos,
) -> Iterator[ListedMark]:
    """The marks in one voice of a part; only notes around which something of ours stands are looked at."""
    notes = written_notes(reading.passage.notes)
    signs = NoteSigns(document, reading.places)
    starts, ends = sorted(start for start, _ in spans), sorted(end for _, end in spans)
    for index, note in enumerate(notes):
        place = reading.places[note.id]
        first, last = signs.reach(place)
        if bisect_left(starts, last) == bisect_right(ends, first):  # all spans end before it or begin after
            continue
        ours = [
            (sign.kind, sign.text)
            for sign in signs.at(place)
            if any(start <= sign.element.start < end for start, end in spans)
        ]
        if ours:
            yield ListedMark(place_of(notes, index, part), voice, tuple(ours), tempo=tempos.get(note.id))


def _read(source: ScoreSource, opened: OpenedScore, part: str, voice: str) -> ScoreReading | None:
    """A voice of a part; None where the score has no such thing, or no note in it."""
    try:
        return read_part(source, ReadOptions(part=part, voice=voice), opened)
    except ScoreError:
        return None


def unmarked_by_list(source: ScoreSource, marks: Sequence[ListedMark]) -> Bare:
    """A score without the marks of a list, where they stand as exactly as they were written.

    What has no place, is not there any more, or stands there more than once is left and told.
    """
    return _Finding(source).without(marks)


@dataclass(slots=True)
class _Finding:
    """Looks for listed marks in a score; gathers what is found and what there is to say."""

    source: ScoreSource
    found: list[NoteSign] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)

    def without(self, marks: Sequence[ListedMark]) -> Bare:
        document = Document(self.source.data, self.source.codec)
        opened = opened_score(self.source.data, self.source.name)
        for (part, voice), some in groupby(marks, lambda mark: (mark.place.part, mark.voice)):
            listed = list(some)
            reading = _read(self.source, opened, part, voice)
            if reading is None:
                for mark in listed:
                    self._tell_lost(mark, NO_PART)
                continue
            notes = written_notes(reading.passage.notes)
            signs = NoteSigns(document, reading.places)
            for number, place in find_notes([mark.place for mark in listed], notes):
                if isinstance(place, str):
                    self._tell_lost(listed[number], place)
                else:
                    note = notes[place]
                    self._look_at(listed[number], list(signs.at(reading.places[note.id])), note)
        data = without_signs(document, self.found)
        return Bare(replace(self.source, data=data), len(self.found), tuple(self.remarks))

    def _look_at(self, mark: ListedMark, there: Sequence[NoteSign], note: Note) -> None:
        """Take what is as it was written, if it cannot be anybody else's."""
        for (kind, text), wanted in Counter(mark.signs).items():
            same = [sign for sign in there if (sign.kind, sign.text) == (kind, " ".join(text.split()))]
            if len(same) > wanted:
                why = f"stands there {len(same)} times, and which is ours cannot be told: all are left"
            elif len(same) < wanted:
                why = "is not there any more, or was changed"
            else:
                self.found += same
                continue
            self.remarks.append(Remark(f"{_name(kind, text)} at {note.pitch.name} {why}", note.bar, note.id))

    def _tell_lost(self, mark: ListedMark, why: str) -> None:
        names = ", ".join(_name(*sign) for sign in mark.signs)
        said = f"{mark.said_at}: {names} at {mark.place.pitch.name} has no place any more: {WHY_LOST[why]}"
        self.remarks.append(Remark(said, mark.place.bar))


def _name(kind: str, text: str) -> str:
    return f"the {text} of our line" if kind == LINE else f"our mark {text!r}"
