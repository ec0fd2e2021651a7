"""What a notebook shows of a value: one sentence, diagrams where grips are the answer, and a table."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gripway.display import HtmlText, draw_with

MOST_ROWS = 40
"""Rows of a table; the rest are counted."""

MOST_PICTURES = 8
PICTURE_MM = 30.0


@dataclass(frozen=True, slots=True)
class Shape:
    """What is shown: a sentence, rows below their heads, pictures as (words, SVG)."""

    said: str
    heads: Sequence[str] = ()
    rows: Sequence[Sequence[Any]] = ()
    pictures: Sequence[tuple[str, str]] = ()


def attach() -> None:
    """From now on notebooks show values drawn."""
    draw_with(drawn)


def drawn(value: object) -> str | None:
    """The HTML of a value that has one, every text of it escaped."""
    from markupsafe import Markup

    from gripway.page.markup import filled

    if isinstance(value, HtmlText):
        return filled("notebook_frame.html", page=str(value))
    shape_of = _SHAPES.get(type(value).__name__)
    if shape_of is None:
        return None
    shape = shape_of(value)
    return filled(
        "notebook.html",
        said=shape.said,
        heads=shape.heads,
        rows=[[_text(cell) for cell in row] for row in shape.rows[:MOST_ROWS]],
        pictures=[(words, Markup(svg)) for words, svg in shape.pictures[:MOST_PICTURES]],  # noqa: S704 - ours
        left=max(0, len(shape.rows) - MOST_ROWS),
    )


def _text(cell: Any) -> str:
    if isinstance(cell, float):
        return f"{cell:.3f}".rstrip("0").rstrip(".")
    return "" if cell is None else str(cell)


def _picked(rows: Iterable[Mapping[str, Any]], heads: Sequence[str]) -> list[list[Any]]:
    return [[row[head] for head in heads] for row in rows]


def _pictures(instrument: str, grips: Iterable[tuple[str, Any]]) -> list[tuple[str, str]]:
    """Diagrams of grips with their words, on the instrument of this name with the parts they need."""
    from gripway.catalog.flute.instruments import load_instrument, parts_for
    from gripway.page.diagram.diagram import diagram

    found = []
    for words, grip in [*grips][:MOST_PICTURES]:
        plain = load_instrument(instrument)
        lacking = [touch for touch in grip.touches if touch not in plain.mechanism.touches]
        flute = load_instrument(instrument, parts_for(plain, lacking)) if lacking else plain
        found.append((f"{words}: {grip.short}", diagram(flute, grip, size_mm=PICTURE_MM, title=words)))
    return found


def _route(route: Any) -> Shape:
    from gripway.route.other_grips import other_grips
    from gripway.route.route_data import note_data
    from gripway.route.words.sentence import sentence

    loads = {change.to: round(change.load, 2) for change in route.changes}
    heads = ("bar", "pitch", "grip", "kind", "cents", "load", "why")
    rows = [note_data(note) | {"load": loads.get(note.index)} for note in route.notes]
    pictures = _pictures(route.instrument, ((other.pitch, other.grip) for other in other_grips(route)))
    return Shape(f"{sentence(route)} {route!r}", heads, _picked(rows, heads), pictures)


def _passage(passage: Any) -> Shape:
    rows = [
        (note.bar, note.pitch.name, round(note.onset_ms), round(note.length_ms), note.dynamic)
        for note in passage.notes
    ]
    return Shape(repr(passage), ("bar", "pitch", "onset ms", "length ms", "dynamic"), rows)


def _reading(reading: Any) -> Shape:
    return _passage(reading.passage)


def _instrument(instrument: Any) -> Shape:
    from gripway.model.grip import Grip
    from gripway.page.diagram.diagram import diagram

    parts = ", ".join(instrument.known_parts) or "none"
    open_flute = diagram(instrument, Grip(0), size_mm=60.0, title=instrument.title)
    return Shape(f"{instrument!r} Optional parts: {parts}.", pictures=[("its touches", open_flute)])


def _flute_player(mine: Any) -> Shape:
    return _instrument(mine.instrument)


def _grips(found: Any) -> Shape:
    from gripway.candidates.grip_list import grip_rows

    heads = ("grip", "kind", "cents", "cents_spread", "response", "use", "flags")
    pictures = _pictures(found.instrument, ((found.pitch.name, fact.grip) for fact in found.grips))
    return Shape(repr(found), heads, _picked(grip_rows(found), heads), pictures)


def _trill(found: Any) -> Shape:
    from gripway.trills.trill_list import pair_rows

    heads = ("lower_grip", "upper_grip", "lower_cents", "upper_cents", "movers", "notes_per_s", "flags")
    return Shape(repr(found), heads, _picked(pair_rows(found), heads))


def _plan(plan: Any) -> Shape:
    rows = [
        (
            place,
            " ".join(each.cell.pitches),
            "; ".join(_place(where) for where in each.cell.places),
            round(each.cell.load, 2),
            each.why,
            len(each.drills),
        )
        for place, each in enumerate(plan.cells, start=1)
    ]
    return Shape(repr(plan), ("cell", "notes", "where", "load", "why", "drills"), rows)


def _place(where: Any) -> str:
    return f"bar {where.bar}" if where.bar else f"note {where.index + 1}"


def _worth(worth: Any) -> Shape:
    named = [("the passage", worth.passage)] if worth.passage else []
    named += [(f"around note {spot.to + 1}", spot.threshold) for spot in worth.spots]
    rows = [(name, each.standard_quarters, each.slow_quarters, each.saved) for name, each in named]
    heads = ("where", "standard grips do below (quarters)", "slow grips do below (quarters)", "effort saved")
    return Shape(repr(worth), heads, rows)


def _tradeoff(front: Any) -> Shape:
    rows = [
        (place, point.effort, point.cents, "yours" if place == front.yours_at else "")
        for place, point in enumerate(front.points)
    ]
    return Shape(repr(front), ("point", "effort", "mean cents", ""), rows)


def _choices(choices: Any) -> Shape:
    rows = [
        (place, each.effort_more, "proved" if each.proved else f"at least {each.at_least:.3f}")
        for place, each in enumerate(choices.others, start=1)
    ]
    return Shape(repr(choices), ("route", "effort more", "least"), rows)


def _patterns(found: Any) -> Shape:
    rows = [
        (" ".join(each.cell.pitches), round(each.cell.load, 2), each.why, len(each.drills))
        for each in found.worked
    ]
    return Shape(repr(found), ("notes", "load", "why", "drills"), rows)


def _edition(edition: Any) -> Shape:
    shape = _route(edition.even.route)
    return Shape(f"{edition!r} {shape.said}", shape.heads, shape.rows, shape.pictures)


def _steps(found: Any) -> Shape:
    rows = [
        (after, edge["movers"], edge["load"])
        for before, after in found.changes
        for edge in (found.graph.edges[before, after],)
    ]
    return Shape(repr(found), ("to", "movers", "load"), rows)


def _hardest(found: Any) -> Shape:
    from gripway.model.pitch import plain_name

    rows = [
        (
            plain_name(each.before.pitch),
            plain_name(each.after.pitch),
            each.measure("load"),
            each.measure("ms"),
            each.why,
        )
        for each in found.hardest(10)
    ]
    return Shape(repr(found), ("from", "to", "load", "ms", "why"), rows)


_SHAPES: dict[str, Callable[[Any], Shape]] = {
    "Bridge": _steps,
    "Choices": _choices,
    "Edition": _edition,
    "FlutePlayer": _flute_player,
    "GripList": _grips,
    "HardChanges": _hardest,
    "HardPatterns": _patterns,
    "Instrument": _instrument,
    "Near": _steps,
    "Passage": _passage,
    "Plan": _plan,
    "Route": _route,
    "ScoreReading": _reading,
    "Tradeoff": _tradeoff,
    "TrillList": _trill,
    "Worth": _worth,
}
"""What is shown of a class, by its name: the classes themselves are not loaded for it."""
