"""The columns of the tables, and their sources, as text."""

from collections import Counter
from collections.abc import Mapping, Sequence

from gripway.catalog.tables.column_descriptions import Column
from gripway.cli.text.wrapping import WIDTH, wrapped


def columns_text(tables: Mapping[str, Sequence[Column]]) -> str:
    """A line a column, table by table; columns that mean the same in most tables come first, once."""
    seen = Counter(_meaning(column) for columns in tables.values() for column in columns)
    common = {meaning for meaning, times in seen.items() if 2 * times > len(tables)}
    parts = [_part("In most tables", sorted(common))]
    for table, columns in tables.items():
        shared = ", ".join(column.name for column in columns if _meaning(column) in common)
        own = [_meaning(column) for column in columns if _meaning(column) not in common]
        parts.append(_part(f"{table} (and {shared})" if shared else table, own))
    return "\n".join(parts)


def sources_text(citations: Sequence[str]) -> str:
    """A source a line, or more where it is long."""
    return "".join(f"{wrapped(citation, WIDTH - 2, later='    ')}\n" for citation in citations)


def _part(title: str, lines: Sequence[str]) -> str:
    below = (f"  {wrapped(line, WIDTH - 2, later='      ')}" for line in lines)
    return "".join(f"{line}\n" for line in (title, *below))


def _meaning(column: Column) -> str:
    unit = f" ({column.unit})" if column.unit else ""
    words = f"; {'any of' if column.many else 'one of'} {', '.join(column.values)}" if column.values else ""
    return f"{column.name}: {column.what}{unit}{words}"
