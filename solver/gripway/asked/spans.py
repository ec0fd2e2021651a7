"""Which notes of a passage a span or a rule is for."""

from gripway.errors import RequestError
from gripway.model.passage import Note
from gripway.model.rule import Rule, Span, When


def whole_span(span: Span, notes: tuple[Note, ...], where: str) -> frozenset[int]:
    """Indices of the notes of a span. RequestError where it reaches outside the passage."""
    found = places_of(span, notes, where)
    if outside := reach_outside(span, notes):
        raise RequestError(outside, place=where, next_step=_reach(span, notes))
    return found


def reach_outside(span: Span, notes: tuple[Note, ...]) -> str:
    """`bars 1-99 reach outside the passage`, empty where they do not.

    Bars before the first note may be rests: only their end, and a start before bar 1, is judged.
    """
    if not (span.first.isdecimal() and span.last.isdecimal()):
        return ""
    known = [int(name) for name in _numbers(span, notes) if name.isdecimal()]
    if not known or (int(span.first) >= min(1, *known) and int(span.last) <= max(known)):
        return ""
    return f"{span.words} {'reaches' if span.first == span.last else 'reach'} outside the passage"


def _numbers(span: Span, notes: tuple[Note, ...]) -> list[str]:
    return [note.bar if span.bars else str(k + 1) for k, note in enumerate(notes)]


def _reach(span: Span, notes: tuple[Note, ...]) -> str:
    known = [name for name in _numbers(span, notes) if name]
    kind = "bars" if span.bars else "notes"
    return f"Its {kind} go from {known[0]} to {known[-1]}" if known else "It has no bars: name notes"


def places_of(span: Span, notes: tuple[Note, ...], where: str) -> frozenset[int]:
    """Indices of the notes of a span. RequestError where no note of the passage lies in it."""
    numbers = _numbers(span, notes)
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
    raise RequestError(
        f"no note of the passage lies in {span.words}", place=where, next_step=_reach(span, notes)
    )


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
