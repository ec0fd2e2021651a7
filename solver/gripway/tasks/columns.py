"""What the tables hold and where it comes from."""

from collections.abc import Mapping

from gripway.catalog.tables.column_descriptions import Column, described_columns
from gripway.catalog.tables.sources import bibliography


def table_columns() -> Mapping[str, tuple[Column, ...]]:
    """The columns of every table by the table's path; a star stands for any instrument."""
    return described_columns()


def table_sources() -> tuple[str, ...]:
    """One line a source that the rows of the tables cite, by author."""
    return bibliography()
