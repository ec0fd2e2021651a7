"""A card for every written note: its grip and the runners-up with diagrams, cents, effort and reasons."""

from collections.abc import Iterator, Mapping, Sequence

from gripway.effort.candidate import Candidate
from gripway.page.diagram.symbols import GripSymbols
from gripway.page.markup import Markup, join, tag
from gripway.page.report.changes import change_name, fingers_words, why_hard
from gripway.route.result import Route, RouteChange, RouteNote

HEADS = ("Grip", "Touches", "Kind", "Cents", "Effort more")


def by_written(route: Route) -> dict[str, list[RouteNote]]:
    """The notes of a route by the written note they play: several where a repeat plays it again."""
    found: dict[str, list[RouteNote]] = {}
    for note in route.notes:
        found.setdefault(note.note.id, []).append(note)
    return found


def note_names(route: Route) -> dict[str, str]:
    """What a screen reader says of each written note: `Bar 3, F#6: T 1 | Eb, harmonic`."""
    return {name: _name(times[0]) for name, times in by_written(route).items()}


def _name(note: RouteNote) -> str:
    bar = f"Bar {note.note.bar}, " if note.note.bar else ""
    candidate = note.candidate
    grip = f"{candidate.grip.short}, {candidate.kind}" if candidate else "no grip"
    return f"{bar}{note.note.pitch.name}: {grip}"


def note_cards(route: Route, symbols: GripSymbols) -> Markup:
    """All cards; each is shown when its note is chosen."""
    changes = {change.to: change for change in route.changes}
    return join(_card(route, name, times, changes, symbols) for name, times in by_written(route).items())


def _card(
    route: Route,
    name: str,
    times: Sequence[RouteNote],
    changes: Mapping[int, RouteChange],
    symbols: GripSymbols,
) -> Markup:
    first = times[0].note
    bar = f", bar {first.bar}" if first.bar else ""
    heading = tag("h3", f"{first.pitch.name}{bar}", id=f"head-{name}")
    close = tag("a", "Back to the note", href=f"#at-{name}", class_="close")
    body = join(_times(route, _different(times), changes, symbols))
    return tag(
        "article",
        heading,
        close,
        body,
        class_="card",
        id=f"note-{name}",
        tabindex="-1",
        aria_labelledby=f"head-{name}",
    )


def _different(times: Sequence[RouteNote]) -> list[tuple[str, RouteNote]]:
    """The times through that differ in grip or reason, each with its numbers in words."""
    groups: dict[tuple[object, ...], list[RouteNote]] = {}
    for note in times:
        grip = note.candidate.grip if note.candidate else None
        groups.setdefault((grip, note.why, note.flags), []).append(note)
    if len(times) == 1:
        return [("", times[0])]
    return [
        ("Time through: " + ", ".join(str(note.note.time_through) for note in same), same[0])
        for same in groups.values()
    ]


def _times(
    route: Route,
    different: Sequence[tuple[str, RouteNote]],
    changes: Mapping[int, RouteChange],
    symbols: GripSymbols,
) -> Iterator[Markup]:
    for through, note in different:
        if through:
            yield tag("p", through, class_="through")
        if note.flags:
            yield tag("p", tag("strong", "Watch: "), "; ".join(note.flags))
        if note.candidate is not None:
            yield tag("p", tag("strong", "Why: "), note.why)
            yield _grips(note, note.candidate, symbols)
        if (change := changes.get(note.index)) is not None:
            yield tag("p", tag("strong", "Into this note: "), _change_words(route, change))


def _grips(note: RouteNote, chosen: Candidate, symbols: GripSymbols) -> Markup:
    """The chosen grip and the runners-up."""
    head = tag("tr", *(tag("th", name, scope="col") for name in HEADS))
    rows = [_row(chosen, "chosen", symbols)]
    rows += [_row(other.candidate, f"+{other.effort_more:.2f}", symbols) for other in note.others]
    return tag("table", tag("thead", head), tag("tbody", *rows))


def _row(candidate: Candidate, more: str, symbols: GripSymbols) -> Markup:
    cells = (symbols.picture(candidate), candidate.grip.short, candidate.kind, cents_words(candidate), more)
    return tag("tr", *(tag("td", cell) for cell in cells), class_="chosen" if more == "chosen" else "")


def cents_words(candidate: Candidate) -> str:
    """`+15 ±13, taught sharp, size by gripway`, or that nothing is known."""
    tendency = candidate.tendency
    if tendency.cents is None:
        return "not known"
    spread = f" ±{tendency.spread_cents:.0f}" if tendency.spread_cents is not None else ""
    return f"{round(tendency.cents):+d}{spread}, {tendency.known}"


def _change_words(route: Route, change: RouteChange) -> str:
    lead = f"; lead with {change.advice.lead}" if change.advice.lead else ""
    parts = why_hard(change)
    return (
        f"{change_name(route, change)}, {fingers_words(change)}; needs {change.change_ms:.0f} ms, "
        f"has {change.available_ms:.0f} ms, load {change.load:.2f}{lead}{f' ({parts})' if parts else ''}"
    )
