"""Tuning flags of a route: every pitch and grip that leans, how far, how sure that is, and where."""

from collections.abc import Sequence

from gripway.page.diagram.symbols import GripSymbols
from gripway.page.markup import Markup, join, tag
from gripway.page.report.changes import place_name
from gripway.page.report.notes import cents_words
from gripway.page.report.signs import lean_flag, lean_of
from gripway.page.report.table import table
from gripway.route.result import Route, RouteNote

MOST_PLACES = 12
MOST_ROWS = 30
"""Places told in a row, and rows told, at most."""

HEADS = ("Pitch", "Grip", "Touches", "Leans", "What to do", "Where")


def tuning_table(route: Route, symbols: GripSymbols) -> Markup:
    """One row a pitch, grip and flag, widest lean first."""
    groups: dict[tuple[str, str, str], list[RouteNote]] = {}
    for note in route.notes:
        flag = lean_flag(note)
        if note.candidate is not None and flag is not None:
            key = (note.note.pitch.name, note.candidate.grip.text, flag.words)
            groups.setdefault(key, []).append(note)
    if not groups:
        return tag("p", "No note leans so far that it needs help.")
    widest = sorted(groups.items(), key=lambda item: (-abs(lean_of(item[1][0]) or 0), item[0]))
    rows = (_row(route, flag, notes, symbols) for (_, _, flag), notes in widest[:MOST_ROWS])
    caption = "Notes that lean, furthest first: cents from equal temperament ± spread, and how it is known"
    left = len(widest) - MOST_ROWS
    more = f"{left} more lean less; the signs on the music and --format csv have them."
    return join([table(caption, HEADS, rows), *([tag("p", more)] if left > 0 else [])])


def _row(route: Route, flag: str, notes: Sequence[RouteNote], symbols: GripSymbols) -> Markup:
    candidate = notes[0].candidate
    if candidate is None:
        return Markup("")
    return tag(
        "tr",
        tag("th", notes[0].note.pitch.name, scope="row"),
        tag("td", symbols.picture(candidate)),
        tag("td", candidate.grip.short),
        tag("td", cents_words(candidate)),
        tag("td", flag),
        tag("td", places(route, notes)),
    )


def places(route: Route, notes: Sequence[RouteNote]) -> Markup:
    """Links to the notes on the music, each bar once."""
    firsts: dict[str, RouteNote] = {}
    for note in notes:
        firsts.setdefault(place_name(route, note.index), note)
    links = [tag("a", name, href=f"#at-{note.note.id}") for name, note in list(firsts.items())[:MOST_PLACES]]
    more = [f"and {len(firsts) - MOST_PLACES} more"] if len(firsts) > MOST_PLACES else []
    return join([*links, *more], ", ")
