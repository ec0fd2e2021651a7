"""What every column of every table holds, from tables/columns.toml."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from gripway.catalog.tables.locator import tables_folder
from gripway.catalog.tables.toml_table import Keys, read_keys

COLUMN_KEYS = ("what", "unit", "values", "many")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: what it holds, its unit (empty where it has none), the words it may take.

    `values` is empty where any text may stand; `many` allows several words, with spaces.
    """

    name: str
    what: str
    unit: str
    values: tuple[str, ...]
    many: bool


@cache
def described_columns() -> Mapping[str, tuple[Column, ...]]:
    """The columns of each table, in their order, by the table's path below the folder of tables.

    A path may hold a star for a family or an instrument: `grips/*.csv`.
    """
    table = "columns.toml"
    values = read_keys(tables_folder() / table, table).values
    whole = Keys(f"{table}:", values)
    return MappingProxyType(
        {path: tuple(_column(name, keys) for name, keys in whole.sub_tables(path).items()) for path in values}
    )


def _column(name: str, keys: Keys) -> Column:
    keys.check_known(COLUMN_KEYS)
    return Column(
        name=name,
        what=keys.text("what"),
        unit=keys.text("unit", ""),
        values=keys.words("values"),
        many=keys.flag("many", False),
    )
