"""`gripway tables`: every column and every source, in full."""

import re

import pytest
from tests.cli.run_gripway import ask
from tests.every import every

from gripway.catalog.tables.column_descriptions import described_columns
from gripway.catalog.tables.sources import bibliography


def flowing(text: str) -> str:
    """A text without its line breaks."""
    return " ".join(text.split())


@every(described_columns())
def test_every_column_of_a_table_is_told_with_its_meaning(table: str) -> None:
    """Below a table stand its own columns in their order, beside it the names of the common ones."""
    answer = ask("tables")
    assert (answer.code, answer.err) == (0, "")
    common, *parts = answer.out.split("\n\n")
    (part,) = [part for part in parts if part.split("\n")[0].split(" (and ")[0] == table]
    title, _, own = part.partition("\n")
    shared = set(re.findall(r"\w+", title.removeprefix(table))) - {"and"}
    assert shared <= set(re.findall(r"^  (\w+):", common, re.MULTILINE))
    columns = described_columns()[table]
    assert [column.name for column in columns if column.name not in shared] == re.findall(
        r"^  (\w+):", own, re.MULTILINE
    )
    for column in columns:
        told = flowing(common if column.name in shared else own)
        assert f"{column.name}: {column.what}" in told
        assert all(value in told for value in column.values)
        assert f"({column.unit})" in told or not column.unit


def test_no_table_is_told_that_there_is_not() -> None:
    """After the common columns each part is a described table, in their order."""
    parts = ask("tables").out.split("\n\n")
    titles = [part.split("\n")[0].split(" (and ")[0] for part in parts]
    assert titles == ["In most tables", *described_columns()]


def test_the_bibliography_is_whole_and_sorted() -> None:
    """Each source of the tables once, in alphabetical order of its author."""
    answer = ask("tables", "--sources")
    assert (answer.code, answer.err) == (0, "")
    told = [flowing(entry) for entry in re.split(r"\n(?! )", answer.out.rstrip("\n"))]
    assert told == [flowing(citation) for citation in bibliography()]
    authors = [re.split(r" \(|:", line)[0].casefold() for line in told]
    assert authors == sorted(authors)


@pytest.mark.parametrize("words", [(), ("--sources",)])
def test_lines_fit_the_terminal(words: tuple[str, ...]) -> None:
    """No line is longer than 100 columns, as in all our tables."""
    assert max(map(len, ask("tables", *words).out.splitlines())) <= 100
