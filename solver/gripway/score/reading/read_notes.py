"""The notes of one part as written: bar by bar, chords reduced to their highest note."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from gripway.model.difference import is_short_sign_over_staff
from gripway.model.mark_text import is_sign_over_staff
from gripway.model.passage import Ornament, Remark
from gripway.model.picture_name import picture_text
from gripway.model.pitch import Pitch
from gripway.score.reading.bar_positions import Placed, PlacedBar
from gripway.score.reading.beams import BeamGroups
from gripway.score.reading.dynamics import ACCENTED, read_dynamics
from gripway.score.reading.expression_words import WordLine, words_at, words_in
from gripway.score.reading.ornaments import read_ornament
from gripway.score.spelling import BarSpelling, key_alters, read_pitch
from gripway.score.xml.numerals import whole
from gripway.score.xml.xml_tree import Element

NOT_READ = {
    "harmonic": "the sign for a harmonic",
    "open-string": "the circle (open string, or a harmonic)",
    "hole": "the picture of holes",
}
"""Signs of a player's technique that say too little for a grip."""

FERMATA = "fermata"
"""Held longer than written: kept beside the articulations, as it is printed, and changes no time."""

STROKES = frozenset("12345678")
"""Strokes through one stem that MusicXML 4.0 has (type tremolo-marks)."""

SECTION_ENDS = frozenset({"light-light", "light-heavy", "heavy-light", "heavy-heavy"})
"""Bar lines that end a section."""

MOST_SILENT = 2
"""A word that says how to play holds no longer once more bars than so many have passed (judgement)."""

NONE: Mapping[str, str] = {}

EVERY_TIME: frozenset[int] = frozenset()
"""The passes of a note that names none."""


class NotePlace(NamedTuple):
    """Where a note stands in the bytes of the score.

    `start` and `end` are byte offsets of its start and end tag; `head` is the start of the
    first note of its chord (its own where it is in none), `lead` the start of whatever
    stands between the note before and `head` in the same bar (`head` where nothing does).
    """

    start: int
    end: int
    head: int
    lead: int


def chord_ends(places: Iterable[NotePlace]) -> dict[int, int]:
    """Where the last note of each chord ends, by the head of the chord."""
    ends: dict[int, int] = {}
    for place in places:
        ends[place.head] = max(ends.get(place.head, 0), place.end)
    return ends


class WrittenNote(NamedTuple):
    """One written note, not yet tied, slurred or played. `at` and `length` in whole notes.

    `slurs`, `wavy` and `tremolo` are the ends written on it, as (type, number); `spelling` is
    the bar's spelling up to this note, kept where an ornament may need it.
    """

    ordinal: int
    bar: int
    at: Fraction
    length: Fraction
    pitch: Pitch
    problem: str
    voice: str
    grace: bool
    tie_start: bool
    tie_stop: bool
    fifths: int
    dynamic: tuple[str, str]
    slurs: tuple[tuple[str, str], ...]
    wavy: tuple[str, ...]
    tremolo: str
    ornament: Ornament | None
    articulations: tuple[str, ...]
    fingering: tuple[str, ...]
    times: frozenset[int]
    beam: int = 0
    words: tuple[str, ...] = ()
    manner: tuple[str, ...] = ()
    strokes: int = 0


@dataclass(slots=True)
class WrittenPart:
    """All written notes of a part, their places in the bytes, and what was assumed or left out.

    `held_rests` are the bars in which a rest has a fermata.
    """

    notes: list[WrittenNote]
    places: dict[int, NotePlace]
    remarks: list[tuple[int, int, str]]
    unpitched: int = 0
    cues: int = 0
    held_rests: list[int] = field(default_factory=list)


class _Member(NamedTuple):
    """A note of a chord (mostly alone): its number, its element in place, its first child of each name.

    And the ends of ties it has as it sounds.
    """

    ordinal: int
    placed: Placed
    first: Mapping[str, Element]
    ties: Sequence[str | None]


class _Signs(NamedTuple):
    """What the notations of a note say; most notes have none."""

    tied: Sequence[str | None] = ()
    dynamic: tuple[str, str] = ("", "")
    slurs: tuple[tuple[str, str], ...] = ()
    wavy: tuple[str, ...] = ()
    tremolo: str = ""
    strokes: int = 0
    ornament: Ornament | None = None
    articulations: tuple[str, ...] = ()
    fingerings: Sequence[Element] = ()


NO_SIGNS = _Signs()


class _PartReader:
    """Walks the placed bars of a part; counts every note element."""

    def __init__(self, abbreviations: Mapping[str, str]) -> None:
        self.abbreviations = abbreviations
        self.part = WrittenPart([], {}, [])
        self.ordinal = 0
        self.bar = self.sounded = 0
        self.spelling = BarSpelling()
        self.chord: list[_Member] = []
        self.head = self.start_of_lead = 0
        self.lead = -1
        self.words: list[str] = []
        self.said = WordLine()
        self.chord_said: list[tuple[int, str]] = []
        self.manner: tuple[str, ...] = ()
        self.beams = BeamGroups()
        self.chord_words: list[str] = []

    def read_bar(self, bar: PlacedBar) -> None:
        self.spelling.met.clear()
        self.lead = -1
        self.words.clear()
        for placed in bar.elements:
            element = placed.element
            if element.name == "note":
                self._meet_note(placed)
            else:
                if self.lead < 0:
                    self.lead = element.start
                if element.name == "direction":
                    self.words += self._signs_in(element)
                    self.said.meet(element, (self.bar, placed.at), level=_has_level(element))
                elif element.name == "barline":
                    if element.text_of("bar-style") in SECTION_ENDS:
                        self._finish_chord()
                        self.said.end()
                elif element.name == "attributes":
                    self._finish_chord()
                    if (key := element.find("key")) is not None:
                        self._meet_key(key)
        self._finish_chord()
        self.bar += 1

    def _meet_key(self, key: Element) -> None:
        alters = key_alters(key)
        if alters is None:
            self._remark(self.ordinal + 1, "a key signature that no music has was left out")
        else:
            self.spelling.fifths, self.spelling.key = alters

    def _meet_note(self, placed: Placed) -> None:
        element = placed.element
        self.ordinal += 1
        first = {child.name: child for child in reversed(element.children)}
        if "chord" not in first or not self.chord:
            self._finish_chord()
            self.head = element.start
            self.start_of_lead = element.start if self.lead < 0 else self.lead
            self.chord_words = self.words
            self.chord_said, self.said.waiting = self.said.waiting, []
            if self.bar - self.sounded > MOST_SILENT:
                self.said.rest(self.sounded)
            self.manner = self.said.holding
        self.lead = -1
        self.words = []
        self.part.places[self.ordinal] = NotePlace(element.start, element.end, self.head, self.start_of_lead)
        self.chord.append(_Member(self.ordinal, placed, first, _ties(element) if "tie" in first else ()))

    def _finish_chord(self) -> None:
        """Turn the collected chord (mostly one note) into one written note."""
        members, self.chord = self.chord, []
        sounding = [(each, *read) for each in members if (read := self._sounding(each)) is not None]
        if not sounding:
            self.said.waiting = [*self.chord_said * bool(members), *self.said.waiting]
            return
        top, pitch, problem = sounding[0]
        if len(sounding) > 1:
            top, pitch, problem = max(sounding, key=lambda each: each[1].number)
            names = ", ".join(pitch.name for _, pitch, _ in sounding)
            self._remark(top.ordinal, f"chord of {names}: the highest note, {pitch.name}, was taken")
        if problem:
            self._remark(top.ordinal, f"{problem}: no grip is looked for")
        self.sounded = self.bar
        self.part.notes.append(self._written(top, pitch, problem, [member for member, _, _ in sounding]))
        for member, member_pitch, _ in sounding:
            if "accidental" in member.first or "stop" not in member.ties:
                self.spelling.meet(member_pitch)

    def _sounding(self, member: _Member) -> tuple[Pitch, str] | None:
        """Pitch and problem of a note that sounds; None for rests, cues and what has no pitch."""
        pitch_element = member.first.get("pitch")
        if "cue" in member.first:
            self.part.cues += pitch_element is not None
            return None
        if pitch_element is None:
            self.part.unpitched += "unpitched" in member.first
            if any(held.find(FERMATA) is not None for held in _all(member, "notations")):
                self.part.held_rests.append(self.bar)
            return None
        if member.placed.element.attributes.get("print-object") == "no":
            self._remark(member.ordinal, "a note that is not printed was left out")
            return None
        pitch, problem = read_pitch(pitch_element)
        if pitch is None:
            self._remark(member.ordinal, "a note whose pitch cannot be read was left out")
            return None
        return pitch, problem

    def _written(self, top: _Member, pitch: Pitch, problem: str, members: list[_Member]) -> WrittenNote:
        ordinal, (own, at, length), first, ties = top
        signs = NO_SIGNS
        if any("notations" in member.first for member in members):
            signs = self._signs(top, pitch, members)
        voice = first.get("voice")
        return WrittenNote(
            ordinal=ordinal,
            bar=self.bar,
            at=at,
            length=length,
            pitch=pitch,
            problem=problem,
            voice=(voice.text.strip() if voice else "") or "1",
            grace="grace" in first,
            tie_start="start" in ties or "start" in signs.tied,
            tie_stop="stop" in ties or "stop" in signs.tied,
            fifths=self.spelling.fifths,
            dynamic=signs.dynamic,
            slurs=signs.slurs,
            wavy=signs.wavy,
            tremolo=signs.tremolo,
            ornament=signs.ornament,
            articulations=signs.articulations,
            fingering=self._marks(signs.fingerings, members),
            times=_times(own.attributes.get("time-only", "")),
            beam=self.beams.group_of(members[0].placed.element) if "beam" in members[0].first else 0,
            words=words_at(self.chord_said, self.bar) if self.chord_said else (),
            manner=self.manner,
            strokes=signs.strokes,
        )

    def _signs(self, top: _Member, pitch: Pitch, members: list[_Member]) -> _Signs:
        """What the notations of a note (of its chord) say."""
        notations = [holder for member in members for holder in _all(member, "notations")]
        ornament, assumed = read_ornament(notations, pitch, self.spelling)
        if assumed:
            self._remark(top.ordinal, assumed)
        inside = [child for holder in notations for child in holder.children]
        groups = [child for group in inside for child in group.children]
        for sign in dict.fromkeys(child.name for child in groups if child.name in NOT_READ):
            self._remark(top.ordinal, f"{NOT_READ[sign]} on {pitch.name} is left as it is: it names no grip")
        tied = [tie for held in _all(top, "notations") for tie in held.children if tie.name == "tied"]
        return _Signs(
            tied=[tie.attributes.get("type") for tie in tied],
            dynamic=next((read_dynamics(child) for child in inside if child.name == "dynamics"), ("", "")),
            slurs=tuple([_end(child) for child in inside if child.name == "slur"]),
            wavy=tuple([child.attributes.get("type", "") for child in groups if child.name == "wavy-line"]),
            tremolo=next((c.attributes.get("type", "") for c in groups if c.name == "tremolo"), ""),
            strokes=max((_strokes(child) for child in groups if child.name == "tremolo"), default=0),
            ornament=ornament,
            articulations=(
                *[c.name for group in inside if group.name == "articulations" for c in group.children],
                *[child.name for child in inside if child.name == FERMATA],
            ),
            fingerings=[c for c in groups if c.name == "fingering"],
        )

    def _marks(self, fingerings: Sequence[Element], members: list[_Member]) -> tuple[str, ...]:
        """Every mark of a note (of its chord): fingerings, our own line of lyrics, words over the staff."""
        if not (fingerings or self.chord_words or any("lyric" in member.first for member in members)):
            return ()
        lyrics = [lyric.text_of("text") for member in members for lyric in _all(member, "lyric")]
        texts = (*[fingering.text.strip() for fingering in fingerings], *lyrics, *self.chord_words)
        return tuple(dict.fromkeys(self._meaning(text) for text in texts if text))

    def _signs_in(self, direction: Element) -> list[str]:
        """The words of a direction that are signs, and the grips that its pictures are named after."""
        kinds = list(direction.inside("direction-type"))
        images = (kind.attributes.get("source", "") for kind in kinds if kind.name == "image")
        signs = (text for text in map(str.strip, words_in(direction)) if self._is_sign(text))
        return [*signs, *filter(None, map(picture_text, images))]

    def _is_sign(self, text: str) -> bool:
        ours = is_sign_over_staff(text) or is_short_sign_over_staff(text)
        return ours or self._meaning(text) != text

    def _meaning(self, text: str) -> str:
        """The grip a house's abbreviation stands for; any other text as it is."""
        if not self.abbreviations:
            return text
        return self.abbreviations.get(" ".join(text.strip("[]()").split()), text)

    def _remark(self, ordinal: int, text: str) -> None:
        self.part.remarks.append((self.bar, ordinal, text))


def _has_level(direction: Element) -> bool:
    """Whether a direction has a dynamic mark that holds."""
    marks = (kind for kind in direction.inside("direction-type") if kind.name == "dynamics")
    return any((mark := read_dynamics(each)[0]) and mark not in ACCENTED for each in marks)


def _all(member: _Member, name: str) -> Iterable[Element]:
    """The children of this name of a note, in order; most notes have none of most names."""
    return member.placed.element.all(name) if name in member.first else ()


def _ties(note: Element) -> list[str | None]:
    """The ends of ties a note has as it sounds."""
    return [tie.attributes.get("type") for tie in note.all("tie")]


def _strokes(tremolo: Element) -> int:
    """The strokes through a stem for one note again and again else 0."""
    told = tremolo.text.strip()
    single = tremolo.attributes.get("type", "single") == "single"
    return int(told) if single and told in STROKES else 0


def _end(element: Element) -> tuple[str, str]:
    return element.attributes.get("type", ""), element.attributes.get("number", "1")


def read_written(bars: Sequence[PlacedBar], abbreviations: Mapping[str, str] = NONE) -> WrittenPart:
    """The written notes of a part in the order of its bars and, in a bar, of their time.

    `abbreviations` are a house's own texts for grips.
    """
    reader = _PartReader(abbreviations)
    for bar in bars:
        reader.read_bar(bar)
    reader.part.notes.sort(key=lambda note: (note.bar, note.at))  # stable: graces stay before their note
    return reader.part


def as_remarks(part: WrittenPart, bars: Sequence[PlacedBar], prefix: str) -> list[Remark]:
    """The part's remarks with bar numbers and note ids in place of indices."""
    return [Remark(text, bars[bar].number, f"{prefix}{ordinal}") for bar, ordinal, text in part.remarks]


def _times(text: str) -> frozenset[int]:
    """The passes a note is played in, out of a list such as "1,3"."""
    if not text:
        return EVERY_TIME
    return frozenset(number for number in map(whole, text.split(",")) if number is not None)
