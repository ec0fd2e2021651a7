"""A house style as its file has it: TOML, strict about keys and words."""

from collections.abc import Collection
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import own_toml
from gripway.errors import HouseStyleError
from gripway.model.house_style import NEEDED, PLACEMENTS, REASONS, STYLES, WHICH, Choice, HouseStyle
from gripway.model.mark_text import BRACKETS, HOLD_WORDS, RELEASE_WORDS, SEPARATORS, SIMILE_WORDS, Hand
from gripway.model.pitch import Pitch

HOUSE_KEYS = {
    "marks": ("which", "as", "placement", "least_gain", "at_most"),
    "omit": ("pitches", "kinds", "reasons"),
    "only": ("pitches", "kinds", "reasons"),
    "grips": ("hand_letters", "separator", "bracket"),
    "words": ("simile", "hold", "release"),
}
"""Tables of the file and their keys."""

NO_SIMILE = ""
MOST_GAIN = 100.0
KINDS = ("standard", "alternate", "trill", "harmonic", "vented", "found")
"""Kinds of grips that a mark can be about."""


def read_house_style(path: Path) -> HouseStyle:
    """Read a house style. Raises HouseStyleError with the place file:key for anything amiss."""
    file = _File(path)
    simile = file.choice("words", "simile", (*SIMILE_WORDS, NO_SIMILE), SIMILE_WORDS[0])
    return HouseStyle(
        which=file.choice("marks", "which", WHICH, NEEDED),
        style=file.choice("marks", "as", STYLES, STYLES[0]),
        placement=file.choice("marks", "placement", PLACEMENTS, PLACEMENTS[0]),
        hand=Hand(
            letters=file.flag("grips", "hand_letters"),
            separator=file.choice("grips", "separator", SEPARATORS, SEPARATORS[0]),
            bracket=file.choice("grips", "bracket", tuple(BRACKETS), "none"),
            hold=file.choice("words", "hold", HOLD_WORDS, HOLD_WORDS[0]),
            release=file.choice("words", "release", RELEASE_WORDS, RELEASE_WORDS[0]),
            simile=simile or SIMILE_WORDS[0],
        ),
        say_simile=simile != NO_SIMILE,
        least_gain=file.number("marks", "least_gain", MOST_GAIN, "effort"),
        at_most=file.number("marks", "at_most", 100.0, "number of marks per 100 notes"),
        omit=file.picked("omit"),
        only=file.picked("only"),
    )


class _File:
    """The keys of one house style, each with its place."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.tables: dict[str, Any] = own_toml(path, HouseStyleError)
        for table, keys in self.tables.items():
            if table not in HOUSE_KEYS:
                raise self._error(table, "no such table", f"The tables are {', '.join(HOUSE_KEYS)}")
            if not isinstance(keys, dict):
                raise self._error(table, "not a table", f"Write [{table}] on a line of its own")
            for key in keys:
                if key not in HOUSE_KEYS[table]:
                    known = ", ".join(HOUSE_KEYS[table])
                    raise self._error(f"{table}.{key}", "no such key", f"{table} has {known}")

    def _error(self, key: str, what: str, next_step: str) -> HouseStyleError:
        return HouseStyleError(what, place=f"{self.path}:{key}", next_step=next_step)

    def _value(self, table: str, key: str) -> object:
        return self.tables.get(table, {}).get(key)

    def choice(self, table: str, key: str, known: Collection[str], usual: str) -> str:
        """One of the words known."""
        value = self._value(table, key)
        if value is None:
            return usual
        if not isinstance(value, str) or value not in known:
            listed = ", ".join(f'"{word}"' for word in known)
            raise self._error(f"{table}.{key}", f"{value!r} is none of the choices", f"Write one of {listed}")
        return value

    def flag(self, table: str, key: str) -> bool:
        """True or false; false where nothing is said."""
        value = self._value(table, key)
        if value is not None and not isinstance(value, bool):
            raise self._error(f"{table}.{key}", f"{value!r} is neither true nor false", "Write true or false")
        return bool(value)

    def number(self, table: str, key: str, most: float, what: str) -> float | None:
        """A number from 0; None where nothing is said."""
        value = self._value(table, key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value <= most:
            raise self._error(f"{table}.{key}", f"{value!r} is no {what}", f"Write 0 to {most:g}")
        return float(value)

    def picked(self, table: str) -> Choice:
        """Marks picked out by pitches, kinds and reasons."""
        return Choice(
            pitches=frozenset(self._pitch(table, text) for text in self._list(table, "pitches")),
            kinds=frozenset(self._known(table, "kinds", KINDS)),
            reasons=frozenset(self._known(table, "reasons", REASONS)),
        )

    def _list(self, table: str, key: str) -> list[str]:
        value = self._value(table, key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            raise self._error(f"{table}.{key}", f"{value!r} is no list of words", 'Write ["one", "two"]')
        return value

    def _known(self, table: str, key: str, known: Collection[str]) -> list[str]:
        words = self._list(table, key)
        for word in words:
            if word not in known:
                next_step = f"Write some of {', '.join(known)}"
                raise self._error(f"{table}.{key}", f"{word!r} is none of the choices", next_step)
        return words

    def _pitch(self, table: str, text: str) -> int:
        try:
            return Pitch.parse(text).number
        except ValueError as problem:
            raise self._error(f"{table}.pitches", str(problem), "Write a pitch such as C#6") from None
