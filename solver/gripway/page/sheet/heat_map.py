"""A heat map of changes: rows from a pitch, columns to a pitch, each field a shade and a number."""

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from gripway.page.markup import filled

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
    side, many = FIELD * len(pitches), len(pitches) > MANY
    shades = [(ink, f"from {least:g}") for least, ink in reversed(SHADES)]
    return filled(
        "heat_map.html",
        pitches=pitches,
        loads=loads,
        title=title,
        width=LABEL + max(side, FIELD * 11),
        height=TOP + side + LEGEND,
        letters=19 if many else 14,
        shown="%.1f" if many else "%.2f",
        legend=[(0.0, f"below {SHADES[-1][0]:g}"), *shades],
        foot=TOP + side + 12,
        ink_of=ink_of,
        FIELD=FIELD,
        LABEL=LABEL,
        TOP=TOP,
        DARK=DARK,
    )


def ink_of(load: float) -> float:
    """How much ink a field of a load has, 0 to 1.

    >>> ink_of(0.5), ink_of(1.25)
    (0.0, 0.62)
    """
    return next((ink for least, ink in SHADES if load >= least), 0.0)
