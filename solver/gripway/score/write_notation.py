"""A passage as a line of the one-line notation, which reads it again."""

from collections.abc import Iterator
from fractions import Fraction

from gripway.model.key import MOST_SIGNS, keys_in_fifths
from gripway.model.passage import Note, Passage
from gripway.score.notation_values import DEFAULT_DYNAMIC, DEFAULT_UNIT
from gripway.score.text_ornaments import ornament_word
from gripway.score.writing.note_values import is_plain

GRACE_LENGTH = Fraction(1, 32)
"""Length of a grace note that is written out, in whole notes (judgement)."""


def write_notation(passage: Passage, unit: Fraction = DEFAULT_UNIT, *, keys: bool = True) -> str:
    """The line that spells a passage; gaps become rests, repeats are written out.

    Reading it again with the same unit gives the same pitches, lengths, dynamics, slurs, ornaments, grace
    notes and, with `keys`, key signatures. Lengths equal to `unit` (whole notes) are left out. Tremolos
    between two notes are left out; grace notes that lead to no note are short notes.

    >>> from gripway.score.notation import read_notation
    >>> write_notation(read_notation("key:A F#6 tr (G6 {A6} G#6:1/8)"))
    'key:A F#6 tr (G6 {A6} G#6:1/8)'
    """
    words: list[str] = []
    dynamic, fifths, end = DEFAULT_DYNAMIC, 0, Fraction(0)
    leading = False
    for place, note in enumerate(passage.notes):
        if note.onset > end:
            words += ["r" + _length_suffix(length, unit) for length in written_rests(note.onset - end, unit)]
        if keys and note.fifths != fifths and abs(note.fifths) <= MOST_SIGNS:
            fifths = note.fifths
            words.append(f"key:{keys_in_fifths(fifths, fifths)[0].tonic}")
        if note.dynamic_mark or note.dynamic != dynamic:
            dynamic = note.dynamic
            words.append(dynamic)
        if note.ornament:
            words += ornament_word(note.ornament, note.pitch, fifths if keys else 0).split()
        leads, led = _leads(passage.notes, place), leading
        length = unit if leads else GRACE_LENGTH if note.grace else note.length
        opens, closes = slur_ends(passage.notes, place)
        words.append(
            "{" * (leads and not led)
            + "(" * opens
            + note.pitch.name
            + _length_suffix(length, unit)
            + ")" * closes
            + "}" * (leads and not _leads(passage.notes, place + 1))
        )
        leading = leads and _leads(passage.notes, place + 1)
        end = max(end, note.onset + note.length)
    return " ".join(words)


def _leads(notes: tuple[Note, ...], place: int) -> bool:
    """Whether this is a grace note that leads, perhaps over others, to a note."""
    if place >= len(notes) or not notes[place].grace:
        return False
    led = next((note for note in notes[place:] if not note.grace), None)
    return led is not None and led.onset == notes[place].onset


def written_rests(length: Fraction, unit: Fraction) -> Iterator[Fraction]:
    """A rest as it is written: plain and dotted values, the longest first.

    What no such values make up, as in tuplets, stays whole.

    >>> [str(each) for each in written_rests(Fraction(7, 32), DEFAULT_UNIT)]
    ['3/16', '1/32']
    """
    if length == unit or length.denominator == 1 or not is_plain(length):
        yield length
        return
    while length:
        plain = Fraction(2) ** (length.numerator.bit_length() - length.denominator.bit_length())
        first = plain * Fraction(3, 2) if plain * Fraction(3, 2) <= length else plain
        yield first
        length -= first


def _length_suffix(length: Fraction, unit: Fraction) -> str:
    return "" if length == unit else f":{length}"


def slur_ends(notes: tuple[Note, ...], place: int, *, over_rests: bool = False) -> tuple[bool, bool]:
    """Whether a slurred group begins and ends at this note; slurs end at rests, or go over them."""
    joined = _joined(notes, place, over_rests=over_rests)
    goes_on = _joined(notes, place + 1, over_rests=over_rests)
    return goes_on and not joined, joined and not goes_on


def _joined(notes: tuple[Note, ...], place: int, *, over_rests: bool) -> bool:
    """Whether the note is slurred from the one before it in the passage, perhaps with a rest between."""
    if not 0 < place < len(notes) or not notes[place].slurred:
        return False
    before = notes[place - 1]
    return over_rests or notes[place].onset <= before.onset + before.length
