"""Which notes belong to the same figure, and which notes a span or a rule is for."""

from collections.abc import Iterable

from gripway.errors import RequestError
from gripway.model.passage import Note
from gripway.model.rule import Rule, Span, When

Context = tuple[object, ...]


def context_of(notes: tuple[Note, ...], place: int) -> Context | None:
    """What makes two notes the same note of a figure; None where the note stands at an end of the passage.

    The pitches before, of and after the note, its written length, and its ornament with the pitches
    that touches. Rests, bars, slurs and dynamics make no difference: a figure that returns softly
    is still that figure.
    """
    if not 0 < place < len(notes) - 1:
        return None
    note = notes[place]
    ornament = note.ornament
    trilled = ornament and (
        ornament.kind,
        ornament.upper and ornament.upper.number,
        ornament.lower and ornament.lower.number,
    )
    pitches = (notes[place + k].pitch.number for k in (-1, 0, 1))
    return (*pitches, note.length, trilled)


def figures_of(notes: tuple[Note, ...], places: Iterable[int]) -> tuple[tuple[int, ...], ...]:
    """Groups of two or more of the places whose notes share a context, in playing order."""
    groups: dict[Context, list[int]] = {}
    for place in places:
        if (context := context_of(notes, place)) is not None:
            groups.setdefault(context, []).append(place)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)


def places_of(span: Span, notes: tuple[Note, ...], where: str) -> frozenset[int]:
    """Indices of the notes of a span. RequestError where no note of the passage lies in it."""
    numbers = [note.bar if span.bars else str(k + 1) for k, note in enumerate(notes)]
    if span.first.isdecimal() and span.last.isdecimal():
        if int(span.first) > int(span.last):
            raise RequestError(
                f"{span.words} end before they begin", place=where, next_step="Give the earlier one first"
            )
        reach = range(int(span.first), int(span.last) + 1)
        found = frozenset(k for k, name in enumerate(numbers) if name.isdecimal() and int(name) in reach)
    else:
        named = list(dict.fromkeys(numbers))
        ends = [named.index(name) for name in (span.first, span.last) if name in named]
        inside = set(named[ends[0] : ends[1] + 1]) if len(ends) == 2 else set()
        found = frozenset(k for k, name in enumerate(numbers) if name in inside)
    if found:
        return found
    kind = "bars" if span.bars else "notes"
    known = [name for name in numbers if name]
    reach_words = f"Its {kind} go from {known[0]} to {known[-1]}" if known else "It has no bars: name notes"
    raise RequestError(f"no note of the passage lies in {span.words}", place=where, next_step=reach_words)


def places_of_rule(rule: Rule, notes: tuple[Note, ...]) -> list[int]:
    """Indices of the notes a rule is for. RequestError where it names bars the passage has not."""
    when = rule.when
    inside = places_of(when.span, notes, rule.place) if when.span else None
    runs = _in_run(when.run, notes) if when.run else None
    return [
        k
        for k in range(len(notes))
        if (inside is None or k in inside) and (runs is None or k in runs) and _meets(when, notes, k)
    ]


def _meets(when: When, notes: tuple[Note, ...], place: int) -> bool:
    note = notes[place]
    before = notes[place - 1].pitch.number if place else None
    after = notes[place + 1].pitch.number if place + 1 < len(notes) else None
    return (
        when.pitch in (None, note.pitch.number)
        and when.after in (None, before)
        and when.before in (None, after)
        and (not when.dynamics or note.dynamic in when.dynamics)
        and (when.faster_than_ms is None or note.length_ms < when.faster_than_ms)
        and when.slurred in (None, note.slurred)
    )


def _in_run(run: tuple[int, ...], notes: tuple[Note, ...]) -> set[int]:
    """The notes of every place where the pitches of a run follow one another."""
    pitches = tuple(note.pitch.number for note in notes)
    starts = (k for k in range(len(pitches) - len(run) + 1) if pitches[k : k + len(run)] == run)
    return {k + more for k in starts for more in range(len(run))}
