"""Words of the score that change the tempo without a number: one line that names them with their bars."""

from collections.abc import Iterator, Sequence

from gripway.model.passage import Note, Passage, bar_at, quarters_of
from gripway.score.reading.expression_words import PACE, STEMS, is_another_tempo, is_gradual

MOST_WORDS = 6
"""Words named in the line."""

MOST_SHORTENED = 7
"""Signs of a word that is shortened, with its point."""


def pace_words(passage: Passage, ranges: Sequence[tuple[int, int]]) -> str:
    """`Bar 221 Sempre più tranquillo: no number is printed, follow the conductor.`; empty without such words.

    Those at the notes in some ranges; of another tempo only where no mark makes it a number.
    """
    notes = passage.notes
    told: dict[str, None] = {}
    for at, note in enumerate(notes):
        if note.time_through > 1 or not any(first <= at <= last for first, last in ranges):
            continue
        known = _has_number(notes, at)
        words = (
            each
            for each in _said_at(note)
            if is_gradual(each[1]) or (is_another_tempo(each[1]) and not known)
        )
        told |= dict.fromkeys(f"{where} {text}" for where, text in words)
    named = [*list(told)[:MOST_WORDS], *["more"] * (len(told) > MOST_WORDS)]
    line = ", ".join(named)
    return f"{line[0].upper()}{line[1:]}: no number is printed, follow the conductor." if line else ""


def _has_number(notes: Sequence[Note], at: int) -> bool:
    """Whether a note is in another tempo than the one before it: a mark made a number of the words there."""
    return at > 0 and round(quarters_of(notes[at - 1])) != round(quarters_of(notes[at]))


def _said_at(note: Note) -> Iterator[tuple[str, str]]:
    """The place of each word at a note or under it, and the word; one that stands over rests is before it."""
    if not note.bar:
        return
    for word in note.words:
        waited = word.startswith("[")
        yield f"{'before ' * waited}bar {note.bar}", _bare(word.strip("[]"))
    for after, word in note.during:
        yield f"bar {bar_at(note, after)}", _bare(word)


def _bare(word: str) -> str:
    """Words without the point that ends them, unless it shortens them, as in rit."""
    last = word.rpartition(" ")[2].lower()
    shortened = len(last) <= MOST_SHORTENED and last.startswith(STEMS[PACE])
    return word if shortened else word.removesuffix(".")
