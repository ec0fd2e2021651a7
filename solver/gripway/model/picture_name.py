"""The file name of a grip's picture, from which the grip can be read again."""

import re

from gripway.model.grip import Grip
from gripway.model.mark_text import NOTHING, TRILL_SIGN, MarkSign

FOLDER_ENDING = "-grips"
"""The folder of the pictures is named after the score, with this behind."""

_NAME = re.compile(rf"(?:.*/)?[^/]*{FOLDER_ENDING}/(\w[\w-]*)\.png")
_OPEN = "open"
"""Stands for a hand with nothing down."""


def pictures_folder(score_stem: str) -> str:
    """The name of the folder for the pictures of a score."""
    return score_stem + FOLDER_ENDING


def picture_name(sign: MarkSign) -> str:
    """The name of the file for a grip, of a trill also with what moves.

    >>> picture_name(MarkSign("grip", Grip.parse("T 1 3 | 2 Eb")))
    'T-L1-L3_R2-Eb.png'
    """
    left, _, right = sign.grip.text.partition("|")
    hands = "_".join("-".join(side.split()) or _OPEN for side in (left, right))
    moving = f"_{TRILL_SIGN}-{'-'.join(sign.moving.touches)}" if sign.moving.mask else ""
    return f"{hands}{moving}.png"


def picture_text(source: str) -> str:
    """The text of the grip that a picture in a score is named after; empty where it is no picture of ours."""
    found = _NAME.fullmatch(source)
    if found is None:
        return ""
    sides = [side.split("-") for side in found[1].split("_")]
    moving = sides.pop()[1:] if sides[-1][0] == TRILL_SIGN else []
    if len(sides) != 2:
        return ""
    try:
        left, right, moved = (Grip.of([] if each == [_OPEN] else each) for each in (*sides, moving))
    except ValueError:
        return ""
    text = Grip(left.mask | right.mask).text
    return f"{text} {TRILL_SIGN} {' '.join(moved.touches)}" if moved != NOTHING else text
