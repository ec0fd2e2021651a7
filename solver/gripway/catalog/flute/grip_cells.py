"""Cells of the tables of grips and trills: pitches, grips and cents, with a place for every fault."""

from functools import cache

from gripway.catalog.tables.csv_table import Row
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

HOWS = {word: word for word in ("printed", "measured", "modelled", "taught", "recalled", "judgement")}
CONFIDENCES = {word: word for word in ("high", "medium", "low")}
BASES = {word: word for word in ("tempered", "standard", "")}
"""What a lean counts from: equal temperament, the standard grip of the pitch, or no lean given."""


def note_numbers(row: Row, column: str) -> tuple[int, ...]:
    """The note numbers of the space-separated pitches in a cell, which may be empty."""
    try:
        return tuple(map(_number, row.words(column)))
    except ValueError as error:
        raise row.error(column, str(error)) from None


@cache
def _number(name: str) -> int:
    return Pitch.parse(name).number


def note_number(row: Row, column: str) -> int:
    """The note number of the one pitch a cell names."""
    numbers = note_numbers(row, column)
    if len(numbers) != 1:
        raise row.error(column, f"{row.cells[column]!r} is not one pitch")
    return numbers[0]


def grip_of(row: Row, column: str) -> Grip:
    """The grip a cell writes, which must be in canonical text."""
    text = row.text(column)
    try:
        grip = _parsed(text)
    except ValueError as error:
        raise row.error(column, str(error)) from None
    if grip.text != text:
        raise row.error(column, f"{text!r} is not canonical; write {grip.text!r}")
    return grip


_parsed = cache(Grip.parse)  # most grips stand in several rows


def cents_of(row: Row, column: str) -> float | None:
    """The cents of a cell, None where it is empty."""
    return row.decimal(column, "cents") if row.cells[column] else None
