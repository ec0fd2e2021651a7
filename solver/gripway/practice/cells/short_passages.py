"""A few notes of a route laid out anew as a passage of its own: lengths, slurs, rests, metre."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.passage import DYNAMICS, Note, Passage
from gripway.practice.cells.beat_grid import QUARTER, BeatGrid
from gripway.practice.cells.cells import fingered
from gripway.route.result import RouteNote
from gripway.score.writing.bar_filling import PrintedNote, fill_bars
from gripway.score.writing.note_groups import tupled
from gripway.score.writing.note_values import is_plain
from gripway.units import length_ms

SHORTEST = Fraction(1, 32)
"""No shorter value is read at sight in a drill (judgement)."""

SHORTEST_TAIL = Fraction(1, 8)
"""A last note with less than this to the end of its beat goes on for another one (judgement)."""

MOST_TIED = 2
"""So many tied values are read as one note (judgement)."""

SOFT = "mp"

TRILL = "trill"


@dataclass(frozen=True, slots=True)
class Laid:
    """One note of a strand: which note of the route, how long, rest after, rest (`wait`) before.

    `joined` says whether it is slurred from the one before; None: as in the part, graces always into the
    note they lead to. A `grace` takes no time.
    """

    note: RouteNote
    length: Fraction
    joined: bool | None = None
    rest: Fraction = Fraction(0)
    wait: Fraction = Fraction(0)
    grace: bool = False


@dataclass(frozen=True, slots=True)
class Strand:
    """A passage with the grips of its notes and a metre whose bars it fills."""

    passage: Passage
    grips: tuple[Grip, ...]
    metre: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Style:
    """How a strand is written: its key signature and metre (None: that which it fills).

    `other`: the part's slurs undone, all else slurred. `level`: one dynamic, that of the first note, and no
    dots on what is slurred or held. Nothing is louder than `loudest`; `dynamic` is that of all. With
    `ornaments` trills, words, hairpins and marks such as sf stay.
    """

    fifths: int
    metre: tuple[int, int] | None = None
    other: bool = False
    level: bool = False
    loudest: str = DYNAMICS[-1]
    dynamic: str | None = None
    ornaments: bool = False


def strand(laid: Sequence[Laid], quarters: float, style: Style) -> Strand | None:
    """Notes one after another at a tempo; None where they cannot be written to be read at sight."""
    notes, onset = [], Fraction(0)
    for number, item in enumerate(laid):
        written = item.note.note
        onset += item.wait
        dynamic = style.dynamic or _softened(laid[0].note.note if style.level else written, style)
        notes.append(
            Note(
                id=f"d{number + 1}",
                bar="",
                pitch=written.pitch,
                onset=onset,
                length=item.length,
                onset_ms=length_ms(onset, quarters),
                length_ms=length_ms(item.length, quarters),
                dynamic=dynamic,
                slurred=_is_slurred(laid, number, style),
                fifths=style.fifths,
                ornament=written.ornament if style.ornaments else None,
                grace=item.grace,
                at=written.at if item.grace and _ends_its_bar(written) else Fraction(0),
                articulations=() if _is_bare(laid, number, style) else written.articulations,
                words=_words(laid, number) if style.ornaments else (),
                stress=written.stress if style.ornaments else None,
                hairpins=written.hairpins if style.ornaments else (),
                strokes=written.strokes if style.ornaments else 0,
                dynamic_mark=written.dynamic_mark if style.ornaments and dynamic == written.dynamic else "",
                dynamic_sure=written.dynamic_sure or bool(style.dynamic),
                held_over=written.held_over,
            )
        )
        onset += item.length + item.rest
    metre = style.metre or metre_of(onset)
    try:
        bars = fill_bars(notes, Fraction(*metre))
    except RequestError:
        return None
    if not is_readable(bars):
        return None
    grips = tuple(fingered(item.note).grip for item in laid)
    return Strand(Passage(tuple(_timed_graces(notes, laid))), grips, metre)


def _ends_its_bar(note: Note) -> bool:
    """Whether a grace note stands before a bar line of the part, as the ending of a trill does."""
    return note.metre is not None and note.at == Fraction(*note.metre)


def is_readable(bars: Sequence[Sequence[PrintedNote]]) -> bool:
    """Whether bars are read at sight: whole tuplets, no value below SHORTEST, second dot or chain of ties."""
    tied: dict[int, int] = {}
    for bar in bars:
        for printed in bar:
            if printed.grace:
                continue
            if printed.index is not None:
                tied[printed.index] = tied.get(printed.index, 0) + 1
                if printed.value.dots > 1 or printed.value.base < SHORTEST:
                    return False
        for group in tupled(bar):
            lasts = sum((bar[place].length for place in group), Fraction(0))
            silent = sum((bar[place].length for place in group if bar[place].index is None), Fraction(0))
            if len(group) < 2 or 2 * silent >= lasts or not is_plain(lasts):
                return False
    return max(tied.values(), default=1) <= MOST_TIED


def _words(laid: Sequence[Laid], number: int) -> tuple[str, ...]:
    """The words at a note: those of the part once, at the first note those that hold there as well."""
    written = laid[number].note.note
    if number == 0:
        return words_at_beginning(written)
    return () if any(each.note.note.id == written.id for each in laid[:number]) else written.words


def words_at_beginning(note: Note) -> tuple[str, ...]:
    """The words at the first note of some: what holds there and was written before stands in brackets.

    >>> from gripway.model.pitch import Pitch
    >>> begun = Note("P1-n1", "22", Pitch.parse("E6"), Fraction(0), Fraction(1), 0.0, 1.0, manner=("gai",))
    >>> words_at_beginning(begun), words_at_beginning(replace(begun, words=("gai", "cresc.")))
    (('[gai]',), ('gai', 'cresc.'))
    """
    here = {each.strip("[]") for each in note.words}
    before = [each for each in note.manner if each not in here]
    return ((f"[{', '.join(before)}]",) if before and len(before) == len(note.manner) else ()) + note.words


def _softened(note: Note, style: Style) -> str:
    """Its dynamic, at most the loudest; without the marks of the part that which holds around it."""
    level = note.stress.level if note.stress and not style.ornaments else note.dynamic
    return min(level, style.loudest, key=DYNAMICS.index)


def _timed_graces(notes: Sequence[Note], laid: Sequence[Laid]) -> list[Note]:
    """The notes with their graces as long as in the part, out of the time before the note they lead to."""
    timed = list(notes)
    for place in range(len(notes) - 2, -1, -1):
        if notes[place].grace:
            played, after = laid[place].note.note, timed[place + 1]
            timed[place] = replace(
                notes[place], onset_ms=after.onset_ms - played.length_ms, length_ms=played.length_ms
            )
        elif notes[place + 1].grace:
            left = max(1.0, timed[place + 1].onset_ms - timed[place].onset_ms)
            timed[place] = replace(timed[place], length_ms=min(timed[place].length_ms, left))
    early = min(0.0, timed[0].onset_ms)
    return [replace(note, onset_ms=note.onset_ms - early) for note in timed]


def _is_slurred(laid: Sequence[Laid], number: int, style: Style) -> bool:
    """Whether a note is slurred from the one before as the style has it; what stands in the part as there."""
    if not _can_join(laid, number):
        as_there = style.ornaments and laid[number].joined is None
        return as_there and not _is_parted(laid, number) and _is_repeated_in_a_slur(laid, number)
    if laid[number].joined is None and not style.ornaments and _is_led(laid, number):
        return True
    return _joined(laid[number]) is not style.other


def _is_led(laid: Sequence[Laid], number: int) -> bool:
    """Whether a grace leads to a note, or a trill to the graces it ends with."""
    before, note = laid[number - 1].note.note, laid[number].note.note
    if not before.grace:
        return note.grace and before.ornament is not None and before.ornament.kind == TRILL
    return note.grace or not _end_a_trill(laid, number)


def _end_a_trill(laid: Sequence[Laid], number: int) -> bool:
    """Whether the graces before a note are the ending of a trill."""
    own = next((item.note.note for item in reversed(laid[:number]) if not item.note.note.grace), None)
    return own is not None and own.ornament is not None and own.ornament.kind == TRILL


def _is_bare(laid: Sequence[Laid], number: int, style: Style) -> bool:
    """Whether a note loses its dots: in the other articulation; in a level strand if slurred or held."""
    beside = (place for place in (number, number + 1) if place < len(laid))
    held = laid[number].length >= QUARTER or any(_is_slurred(laid, place, style) for place in beside)
    return style.other or (style.level and held)


def _joined(item: Laid) -> bool:
    """Whether a note is slurred from the one before, before any change of style."""
    return item.note.note.slurred if item.joined is None else item.joined


def _can_join(laid: Sequence[Laid], place: int) -> bool:
    """Whether a slur can come from the note before: another pitch, and no rest between."""
    if _is_parted(laid, place):
        return False
    return laid[place - 1].note.note.pitch.number != laid[place].note.note.pitch.number


def _is_parted(laid: Sequence[Laid], place: int) -> bool:
    """Whether nothing stands before a note, or a rest."""
    return place == 0 or bool(laid[place - 1].rest or laid[place].wait)


def _is_repeated_in_a_slur(laid: Sequence[Laid], place: int) -> bool:
    """Whether a note of the pitch of the one before it stands under a slur over others too."""
    beside = (at for at in (place - 1, place + 1) if 0 < at < len(laid))
    return laid[place].note.note.slurred and any(_can_join(laid, at) and _joined(laid[at]) for at in beside)


def metre_of(length: Fraction) -> tuple[int, int]:
    """The metre whose bars a length of whole quarters fills; 4/4, with rests, for any other.

    >>> metre_of(Fraction(3, 4)), metre_of(Fraction(2)), metre_of(Fraction(5, 4))
    ((3, 4), (4, 4), (4, 4))
    """
    beats = length * 4
    if beats.denominator == 1:
        for metre in (4, 3, 2):
            if beats % metre == 0:
                return metre, 4
    return 4, 4


def filled(laid: Iterable[Laid], grid: BeatGrid, least: Fraction = SHORTEST_TAIL) -> list[Laid]:
    """The same with the last note to the end of its beat, or of the next where less than `least` is left."""
    *before, last = laid
    at = sum((item.wait + item.length + item.rest for item in before), last.wait)
    length = grid.left_of_beat(at)
    if length < least and is_plain(length):
        length += grid.beat
    return [*before, replace(last, length=length, rest=Fraction(0))]


def spacing(notes: Sequence[RouteNote], place: int) -> Fraction:
    """Written time from a note to the next."""
    note, after = notes[place].note, notes[place + 1].note
    between = after.onset - note.onset
    return between if between > 0 else note.length


def together(notes: Sequence[RouteNote], place: int) -> bool:
    """Whether a note and the next both have grips and belong together: no long rest between them."""
    if not 0 <= place < len(notes) - 1:
        return False
    both = notes[place].candidate is not None and notes[place + 1].candidate is not None
    return both and spacing(notes, place) <= notes[place].note.length + QUARTER


def moves_on(notes: Sequence[RouteNote], place: int) -> bool:
    """Whether a note goes on to another pitch: a repeated one adds nothing for the fingers."""
    return together(notes, place) and notes[place].note.pitch.number != notes[place + 1].note.pitch.number
