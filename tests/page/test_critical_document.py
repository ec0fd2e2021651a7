"""The critical list as a page and as Markdown: the rows of the CSV, to be read by people."""

import re

import pytest
from tests.edition.test_critical_notes import HOUSE, LEAPS

from gripway.edition.critical_notes import CriticalSource, critical_notes
from gripway.edition.marks import marked_notes, marking
from gripway.model.house_style import HouseStyle
from gripway.model.mark_text import Hand
from gripway.page.critical_document import HEADS, CriticalPart, critical_markdown, critical_page
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes


@pytest.fixture(scope="module")
def parts() -> list[CriticalPart]:
    """Two parts with the same marks."""
    route = finger(notes(LEAPS, tempo=160), flute())
    marked = marked_notes(route, HOUSE)
    return [
        CriticalPart("Rondo", flute(), tuple(critical_notes(CriticalSource(name, route.notes, marked))))
        for name in ("Flute 1", "Flute <2>")
    ]


def test_the_page_has_a_row_and_a_diagram_for_each_mark(parts: list[CriticalPart]) -> None:
    """All parts in one list, names escaped, nothing asked of a network."""
    page = critical_page(parts)
    rows = sum(len(part.rows) for part in parts)
    assert rows > 0
    assert page.count("<svg") == rows
    assert page.count("<tr>") == rows + len(parts)
    assert "Rondo, Flute &lt;2&gt;" in page
    assert "http:" not in page.replace("http://www.w3.org/2000/svg", "").partition("<h2>Sources")[0]


def test_sources_are_numbered_and_resolved(parts: list[CriticalPart]) -> None:
    """Each number of a row has its citation at the end, and no key of ours is left."""
    text = critical_markdown(parts)
    body, _, cited = text.partition("## Sources")
    numbers = {
        int(number) for line in body.splitlines() for number in re.findall(r"(\d+)(?=[, 0-9]* \|$)", line)
    }
    assert numbers == {int(number) for number in re.findall(r"^(\d+)\. ", cited, re.MULTILINE)}
    keys = {key for part in parts for row in part.rows for key in str(row["sources"]).split()}
    assert not [key for key in keys if key in text]


def test_markdown_has_the_same_rows(parts: list[CriticalPart]) -> None:
    """As many cells in every line as there are headings, bars between the hands escaped."""
    lines = [line for line in critical_markdown(parts).splitlines() if line.startswith("| ")]
    assert len(lines) == sum(len(part.rows) + 2 for part in parts)
    assert {len(re.findall(r"(?<!\\)\|", line)) for line in lines} == {len(HEADS) + 1}


def test_what_was_left_unmarked_is_listed_with_its_reason() -> None:
    """With room for no mark each grip that is not the plain one is said once with its bars, in no row."""
    route = finger(notes(LEAPS, tempo=160), flute())
    found = marking(route, HouseStyle(at_most=0))
    assert found.marked == ()
    assert found.left
    why = [(each, "there is no room") for each in found.left]
    source = CriticalSource("Flute", route.notes, found.marked, left=why)
    rows = tuple(critical_notes(source))
    assert [(row["id"], row["mark"], row["left"]) for row in rows] == [
        (each.note.note.id, "", "there is no room") for each in found.left
    ]
    part = CriticalPart("Rondo", flute(), rows)
    for text in (critical_markdown([part]), critical_page([part])):
        assert "Left unmarked" in text
        assert text.count("there is no room: F#6 T 1 | Eb") == text.count("F#6") == 1
        assert "<tr>" not in text


def test_grips_stand_in_the_houses_hand_and_standard_ones_without_a_diagram() -> None:
    """So that the marks can be compared with them; a plain grip needs no drawing."""
    route = finger(notes(LEAPS, tempo=160), flute())
    found = marking(route, HouseStyle(which="every"))
    rows = tuple(critical_notes(CriticalSource("Flute", route.notes, found.marked)))
    part = CriticalPart("Rondo", flute(), rows, hand=Hand(letters=True, separator="/"))
    page = critical_page([part])
    assert 0 < page.count("<svg") == sum(row["kind"] != "standard" for row in rows) < len(rows)
    assert "T L1 / Eb" in page
    assert "Effort is the search" in page
