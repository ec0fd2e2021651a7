"""A heat map of changes: rows from a pitch, columns to a pitch, each field a shade and a number."""

from collections.abc import Iterator, Mapping, Sequence

from gripway.page.markup import Markup, join, tag

FIELD, LABEL, TOP = 40, 52, 46
SHADES = ((1.5, 0.88), (1.2, 0.62), (1.0, 0.36), (0.9, 0.16))
"""From which load on a field has how much ink; below the last it stays paper."""

DARK = 0.5
"""From so much ink on the number is set in paper."""

LEGEND = 44
MANY = 20
"""With more pitches than this the letters are larger and loads have one decimal, to be read in print."""


def heat_map(pitches: Sequence[str], loads: Mapping[tuple[str, str], float], title: str) -> Markup:
    """The map as a drawing; pitches lowest first, loads by the two pitches of a change.

    The number in each field is its load, so that the shade is not needed; late changes (load
    above 1) are bold. Fields without a change are left out.
    """
    side = FIELD * len(pitches)
    width, height = LABEL + max(side, FIELD * 11), TOP + side + LEGEND
    return tag(
        "svg",
        tag("g", *_names(pitches), font_size=_letters(pitches)),
        tag("g", *_fields(pitches, loads), font_size=_letters(pitches)),
        tag("g", *_legend(TOP + side + 12), font_size="14"),
        viewbox=f"0 0 {width} {height}",
        class_="map",
        role="img",
        aria_label=f"{title}. The worst stand in the table below.",
        style=f"max-width:{min(184.0, width / 3.6):.0f}mm",
    )


def _letters(pitches: Sequence[str]) -> str:
    """The size of letters and numbers."""
    return "19" if len(pitches) > MANY else "14"


def _names(pitches: Sequence[str]) -> Iterator[Markup]:
    """The pitches along both edges, and what the edges are."""
    for place, name in enumerate(pitches):
        middle = place * FIELD + FIELD / 2
        yield _text(name, LABEL - 6, TOP + middle + 5, anchor="end", bold=True)
        yield _text(name, LABEL + middle, TOP - 8, bold=True)
    yield _text("from ↓ to →", 2, TOP - 28, anchor="start")


def _fields(pitches: Sequence[str], loads: Mapping[tuple[str, str], float]) -> Iterator[Markup]:
    for row, before in enumerate(pitches):
        for column, after in enumerate(pitches):
            x, y = LABEL + column * FIELD, TOP + row * FIELD
            if (before, after) in loads:
                yield _field(x, y, loads[before, after], 1 if len(pitches) > MANY else 2)
            elif before == after:
                yield tag("path", d=f"M{x + 14} {y + 20}h12", stroke="currentColor", opacity="0.6")


def _field(x: int, y: int, load: float, decimals: int) -> Markup:
    ink = ink_of(load)
    paper = tag(
        "rect",
        x=str(x + 1),
        y=str(y + 1),
        width=str(FIELD - 2),
        height=str(FIELD - 2),
        fill="#000" if ink else "none",
        fill_opacity=f"{ink:g}" if ink else "",
        stroke="#555",
    )
    shown = _text(f"{load:.{decimals}f}", x + FIELD / 2, y + FIELD / 2 + 5, bold=load > 1.0, dark=ink > DARK)
    return join([paper, shown])


def ink_of(load: float) -> float:
    """How much ink a field of a load has, 0 to 1.

    >>> ink_of(0.5), ink_of(1.25)
    (0.0, 0.62)
    """
    return next((ink for least, ink in SHADES if load >= least), 0.0)


def _legend(top: int) -> Iterator[Markup]:
    """What the shades mean."""
    x = LABEL
    steps = [
        (0.0, f"below {SHADES[-1][0]:g}"),
        *((ink, f"from {least:g}") for least, ink in reversed(SHADES)),
    ]
    for ink, words in steps:
        yield tag(
            "rect",
            x=str(x),
            y=str(top),
            width="16",
            height="16",
            fill="#000" if ink else "none",
            fill_opacity=f"{ink:g}" if ink else "",
            stroke="#555",
        )
        yield _text(words, x + 21, top + 13, anchor="start")
        x += 88


def _text(
    words: str, x: float, y: float, *, anchor: str = "middle", bold: bool = False, dark: bool = False
) -> Markup:
    return tag(
        "text",
        words,
        x=f"{x:g}",
        y=f"{y:g}",
        text_anchor=anchor,
        font_weight="bold" if bold else "",
        fill="#fff" if dark else "#000",
    )
