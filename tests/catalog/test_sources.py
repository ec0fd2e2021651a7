"""The sources and the bibliography: nothing dangling, nothing unused, in order."""

import re
import tomllib
from pathlib import Path

import pytest
from tests.catalog.table_text import columns_of, csv_lines, csv_tables

from gripway.catalog.tables import sources as module
from gripway.catalog.tables.locator import tables_folder
from gripway.catalog.tables.sources import bibliography, sources
from gripway.errors import TableError


def cited() -> set[str]:
    """Every key a `source` column or key of any table cites."""
    keys: set[str] = set()
    for table in csv_tables():
        names = [column.name for column in columns_of(table)]
        place = names.index("source")
        for cells in csv_lines(tables_folder() / table)[1:]:
            assert cells[place], f"{table} has a row without a source"
            keys.update(cells[place].split())
    for path in tables_folder().rglob("*.toml"):
        if path.name not in ("sources.toml", "columns.toml"):
            keys.update(_toml_sources(tomllib.loads(path.read_text(encoding="utf-8"))))
    return keys


def _toml_sources(values: dict[str, object]) -> set[str]:
    found: set[str] = set()
    for key, value in values.items():
        if isinstance(value, dict):
            found |= _toml_sources(value)
        elif key == "source":
            found.update(str(value).split())
    return found


def test_every_cited_source_is_described_and_every_described_one_cited() -> None:
    """No key dangles and none is unused."""
    assert cited() == set(sources())


def test_the_sources_stand_in_alphabetical_order_of_their_keys() -> None:
    """A new source has one right place in the file."""
    headers = re.findall(r"^\[source\.(\S+)\]$", (tables_folder() / "sources.toml").read_text(), re.MULTILINE)
    assert headers == sorted(headers) == list(sources())


def test_the_bibliography_is_sorted_and_names_every_source_once() -> None:
    """One citation a source, by author and title, with how much of it was seen."""
    lines = bibliography()
    assert len(set(lines)) == len(sources())
    authors = [
        source.author.casefold() for line in lines for source in sources().values() if source.citation == line
    ]
    assert authors == sorted(authors)
    assert all(any(f", {seen}." in line for seen in module.SEEN_WORDS.values()) for line in lines)


def test_a_source_of_an_unknown_kind_is_refused_with_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A malformed entry names file and key."""
    (tmp_path / "sources.toml").write_text(
        '[source.hearsay]\nauthor = "A"\ntitle = "B"\nkind = "rumour"\nseen = "read"\n'
    )
    monkeypatch.setattr(module, "tables_folder", lambda: tmp_path)
    with pytest.raises(TableError, match=r"sources\.toml:source\.hearsay\.kind"):
        sources.__wrapped__()
