"""Strict reading of one TOML table: typed keys, no unknown ones, a place for every complaint."""

import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from gripway.catalog.tables.csv_table import REPORT
from gripway.errors import TableError
from gripway.model.pitch import Pitch

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Keys:
    """The keys of one TOML table or sub-table; `place` is file:prefix, as in a.toml:parts.b-foot."""

    place: str
    values: Mapping[str, Any]

    def text(self, key: str, default: str | None = None) -> str:
        """A piece of text; without a default it must be there and not be empty."""
        text = self._typed(key, str, default)
        if not text and default is None:
            raise self.error(key, "the text is empty")
        return text

    def number(self, key: str, default: int | None = None) -> int:
        """A whole number; without a default it must be there."""
        return self._typed(key, int, default)

    def flag(self, key: str, default: bool | None = None) -> bool:
        """True or false; without a default it must be there."""
        return self._typed(key, bool, default)

    def words(self, key: str) -> tuple[str, ...]:
        """A list of texts; a missing key is an empty list."""
        words = self._typed(key, list, [])
        if not all(isinstance(word, str) and word for word in words):
            raise self.error(key, "every entry of the list must be text")
        return tuple(words)

    def pitch_number(self, key: str, default: int | None = None) -> int:
        """The note number of a pitch written as text, such as "B3"; C4 = 60."""
        if key not in self.values and default is not None:
            return default
        try:
            return Pitch.parse(self.text(key)).number
        except ValueError as error:
            raise self.error(key, str(error)) from None

    def sub_tables(self, key: str) -> dict[str, "Keys"]:
        """The named tables below a key: [parts.b-foot] is the sub-table b-foot of parts."""
        tables = self._typed(key, dict, {})
        if stray := [name for name, values in tables.items() if not isinstance(values, dict)]:
            raise self.error(f"{key}.{stray[0]}", "a table is expected here")
        return {name: Keys(self._below(f"{key}.{name}"), values) for name, values in tables.items()}

    def check_known(self, known: Collection[str]) -> None:
        """Raise TableError when a key is there that nobody reads: a slip of the pen."""
        for key in self.values:
            if key not in known:
                raise self.error(key, f"unknown key; the keys are {', '.join(known)}")

    def error(self, key: str, what: str) -> TableError:
        """A TableError placed at this key, to be raised by whoever found the fault."""
        return TableError(what, place=self._below(key), next_step=REPORT)

    def _below(self, key: str) -> str:
        return f"{self.place}{'.' if ':' in self.place else ':'}{key}"

    def _typed(self, key: str, kind: type[T], default: T | None) -> T:
        value = self.values.get(key, default)
        if value is None:
            raise self.error(key, "the key is missing")
        if type(value) is not kind:  # not isinstance: true is not a number
            raise self.error(key, f"{value!r} is not of the kind {kind.__name__}")
        return value


def read_keys(path: Path, table: str) -> Keys:
    """All keys of a TOML file; TableError when it is missing or not TOML.

    `table` is the name used in places: the path below the folder of tables.
    """
    try:
        return Keys(table, tomllib.loads(path.read_text(encoding="utf-8")))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TableError(f"the table cannot be read ({error})", place=table, next_step=REPORT) from error
