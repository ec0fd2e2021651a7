"""Pictures of the grips an edition marks, as files beside its score."""

from collections.abc import Iterable

from gripway.model.mark_text import GRIP
from gripway.model.picture_name import picture_name
from gripway.page.diagram.diagram import diagram
from gripway.page.diagram.png import png_of
from gripway.tasks.editions import Edition

PICTURE_MM = 12.0
"""The height of a picture, about a staff and a half of a printed part (judgement)."""


def grip_pictures(editions: Iterable[Edition]) -> dict[str, bytes]:
    """A PNG picture of every grip that is marked, by file name. RequestError where resvg is not installed."""
    found: dict[str, bytes] = {}
    for edition in editions:
        for sign in (sign for each in edition.marked for sign in each.signs if sign.kind == GRIP):
            name = picture_name(sign)
            if name not in found:
                movers = sign.moving.touches
                found[name] = png_of(
                    diagram(edition.instrument, sign.grip, size_mm=PICTURE_MM, movers=movers)
                )
    return found
