"""Rows as CSV: what pandas would write, without pandas, and without live formulas."""

import io
from collections.abc import Iterator

import pandas as pd
from tests.cli.run_gripway import ask

from gripway.csv_text import csv_lines, csv_text


def test_no_cell_is_a_formula() -> None:
    """A text that a spreadsheet would run gets a blank; numbers below zero stay numbers (OWASP)."""
    rows = [{"a": "-5 cents", "b": -5.0, "c": "@SUM"}, {"a": "+1", "b": None, "c": "=1+1"}]
    assert csv_text(rows) == "a,b,c\n -5 cents,-5.0, @SUM\n +1,, =1+1\n"


def test_columns_come_in_the_order_asked_and_met() -> None:
    """Those asked for first, later keys behind; without a row the heading alone."""
    assert csv_text([{"x": 1}, {"y": True, "x": 2}], ("z",)) == "z,x,y\n,1,\n,2,True\n"
    assert csv_text([], ("a", "b")) == "a,b\n"


def test_it_reads_back_as_it_was() -> None:
    """Quotes, commas and line ends stay within their cell (RFC 4180), read by pandas."""
    rows = [{"text": 'a "b", c\nd', "number": 0.1}, {"text": "♯", "number": 2.5}]
    assert pd.read_csv(io.StringIO(csv_text(rows))).to_dict("records") == rows


def test_the_page_of_a_score_that_would_run_something() -> None:
    """A bar called =HYPERLINK(...) is text in every table of it."""
    from tests.cli.tiny_scores import simple

    score = simple("E6", "F6").replace(b'number="1"', b'number="=HYPERLINK(1)"')
    answer = ask("finger", "-", "--format", "csv", stdin=score)
    assert (answer.code, ", =HYPERLINK(1)," in answer.out) == (0, True)


def test_lines_are_made_one_by_one() -> None:
    """Each row is asked for when its line is; together they are the text of all."""
    asked: list[int] = []

    def rows() -> Iterator[dict[str, object]]:
        for number in range(3):
            asked.append(number)
            yield {"a": number, "b": f"=x{number},"}

    lines = csv_lines(rows(), ("a", "b"))
    assert (next(lines), asked) == ("a,b\n", [0])
    assert (next(lines), asked) == ('0," =x0,"\n', [0, 1])
    whole = csv_text([{"a": number, "b": f"=x{number},"} for number in range(3)])
    assert "".join(csv_lines(rows(), ("a", "b"))) == whole
