"""Words for where a pitch leans, and their sizes."""

from tests.catalog.table_text import csv_lines

from gripway.catalog.flute.leans import lean_words
from gripway.catalog.tables.locator import tables_folder


def test_the_words_stand_from_the_sharpest_to_the_flattest() -> None:
    """Sizes never rise down the table, so the order of the words says what they mean."""
    cents = [word.cents for word in lean_words().values()]
    assert cents == sorted(cents, reverse=True)


def test_stronger_words_are_larger() -> None:
    """Very flat is below flat, flat below slightly flat; the same on the sharp side."""
    size = {name: word.cents for name, word in lean_words().items()}
    assert size["very-flat"] < size["flat"] < size["a-little-flat"] < size["slightly-flat"] < size["true"]
    assert (
        size["true"]
        < size["very-slightly-sharp"]
        < size["slightly-sharp"]
        < size["sharp"]
        < size["very-sharp"]
    )
    assert size["clearly-lower"] < size["lower"] < size["slightly-lower"] < size["no-change"]


def test_every_word_has_a_spread_and_is_called_a_judgement() -> None:
    """No published scale stands behind the sizes, and the table says so."""
    assert all(word.spread_cents > 0 for word in lean_words().values())
    lines = csv_lines(tables_folder() / "tuning/lean_words.csv")
    assert {cells[lines[0].index("how")] for cells in lines[1:]} == {"judgement"}


def test_every_word_is_used_by_some_grip() -> None:
    """A word no row uses is dropped."""
    lines = csv_lines(tables_folder() / "grips/concert-flute.csv")
    used = {cells[lines[0].index("lean_word")] for cells in lines[1:]} - {""}
    assert used == set(lean_words())
