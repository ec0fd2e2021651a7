"""A few notes of a route laid out anew as a passage of its own: lengths, slurs, rests, metre."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.passage import Note, Passage
from gripway.practice.cells.cells import fingered
from gripway.route.result import RouteNote
from gripway.score.write_notation import GRACE_LENGTH
from gripway.score.writing.bar_filling import fill_bars
from gripway.units import length_ms

QUARTER = Fraction(1, 4)
PLAIN_STEPS = tuple(Fraction(1, 1 << power) for power in range(6, 1, -1))
"""What a length that no notes can write becomes: the nearest of 1/64 to 1/4."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One note of a strand: which note of the route, how long, rest after.

    `joined` says whether it is slurred from the one before; None: as in the part.
    """

    note: RouteNote
    length: Fraction
    joined: bool | None = None
    rest: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Strand:
    """A passage with the grips of its notes and a metre whose bars it fills."""

    passage: Passage
    grips: tuple[Grip, ...]
    metre: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Style:
    """How a strand is written: its key signature; `other`: the part's slurs undone, all else slurred.

    `level`: one dynamic, that of the first note, and no dots on what is slurred or held.
    """

    fifths: int
    other: bool = False
    level: bool = False


def strand(laid: Sequence[Laid], quarters: float, style: Style) -> Strand | None:
    """Notes one after another at a tempo; None where their lengths cannot be written."""
    notes, onset = [], Fraction(0)
    for number, item in enumerate(laid):
        written = item.note.note
        notes.append(
            Note(
                id=f"d{number + 1}",
                bar="",
                pitch=written.pitch,
                onset=onset,
                length=item.length,
                onset_ms=length_ms(onset, quarters),
                length_ms=length_ms(item.length, quarters),
                dynamic=laid[0].note.note.dynamic if style.level else written.dynamic,
                slurred=_is_slurred(laid, number, style),
                fifths=style.fifths,
                articulations=() if _is_bare(laid, number, style) else written.articulations,
            )
        )
        onset += item.length + item.rest
    metre = metre_of(onset)
    try:
        fill_bars(notes, Fraction(*metre))
    except RequestError:
        return None
    return Strand(Passage(tuple(notes)), tuple(fingered(item.note).grip for item in laid), metre)


def _is_slurred(laid: Sequence[Laid], number: int, style: Style) -> bool:
    """Whether a note is slurred from the one before as the style has it."""
    return _joined(laid[number]) is not style.other and _can_join(laid, number)


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
    if place == 0 or laid[place - 1].rest:
        return False
    return laid[place - 1].note.note.pitch.number != laid[place].note.note.pitch.number


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


def filled(laid: Iterable[Laid], least: Fraction = QUARTER) -> list[Laid]:
    """The same with the last note so long, `least` or more, that the whole ends on a beat."""
    *before, last = laid
    at = sum((item.length + item.rest for item in before), Fraction(0))
    length = least + -(at + least) % QUARTER
    return [*before, Laid(last.note, length, last.joined, Fraction(0))]


def spacing(notes: Sequence[RouteNote], place: int) -> Fraction:
    """Written time from a note to the next; that of a grace note is GRACE_LENGTH."""
    note, after = notes[place].note, notes[place + 1].note
    if note.grace:
        return GRACE_LENGTH
    between = after.onset - note.onset
    return between if between > 0 else note.length


def step_of(notes: Sequence[RouteNote], place: int) -> Fraction:
    """The spacing as drills write it: no longer than a quarter, and a length notes can write."""
    wanted = min(spacing(notes, place), QUARTER)
    if wanted >= PLAIN_STEPS[0] and wanted.denominator % 9 and _is_plain(wanted):
        return wanted
    return plain_step(wanted)


def plain_step(wanted: Fraction) -> Fraction:
    """The nearest of PLAIN_STEPS, the shorter of two as near."""
    return min(PLAIN_STEPS, key=lambda plain: (abs(float(plain) - float(wanted)), plain))


def _is_plain(length: Fraction) -> bool:
    """Whether one or two notes, or a triplet's or quintuplet's, last this long."""
    odd = length.denominator
    while odd % 2 == 0:
        odd //= 2
    return odd in (1, 3, 5) and length.numerator in (1, 3) and length.denominator <= 96


def together(notes: Sequence[RouteNote], place: int) -> bool:
    """Whether a note and the next both have grips and belong together: no long rest between them."""
    if not 0 <= place < len(notes) - 1:
        return False
    both = notes[place].candidate is not None and notes[place + 1].candidate is not None
    return both and spacing(notes, place) <= notes[place].note.length + QUARTER
