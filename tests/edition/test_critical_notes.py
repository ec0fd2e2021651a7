"""The list for the critical notes: a row a marked note, safe cells."""

import csv
import io

from gripway.csv_text import csv_text
from gripway.edition.critical_notes import COLUMNS, CriticalSource, critical_notes
from gripway.edition.marks import marked_notes
from gripway.model.house_style import HouseStyle
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes

HOUSE = HouseStyle()
LEAPS = "A5 F#6 A5 F#6 A5:1/4"
"""Leaps for which F#6 is overblown from B."""


def rows(line: str) -> list[dict[str, str]]:
    """The list of a line, read back by Python's own CSV reader."""
    route = finger(notes(line, tempo=160), flute())
    text = csv_text(critical_notes(CriticalSource("=Flute", route.notes, marked_notes(route))), COLUMNS)
    return list(csv.DictReader(io.StringIO(text)))


def test_every_marked_note_has_a_row_with_its_facts() -> None:
    """Grip, reason, runner-up and cents are those of the route."""
    found = rows(LEAPS)
    route = finger(notes(LEAPS, tempo=160), flute())
    marked = [each.note for each in marked_notes(route)]
    assert marked
    assert [row["id"] for row in found] == [note.note.id for note in marked]
    for row, note in zip(found, marked, strict=True):
        assert note.candidate is not None
        assert (row["grip"], row["mark"]) == (note.candidate.grip.text, note.candidate.grip.short)
        assert row["reason"] == note.why
        assert float(row["cents"]) == round(note.candidate.tendency.cents or 0.0, 1)
        runner = next(o for o in note.others if o.candidate.kind == "standard")  # as the reason says
        assert (row["runner_up"], float(row["effort_more"])) == (
            runner.candidate.grip.text,
            round(runner.effort_more, 3),
        )


def test_no_cell_is_a_formula() -> None:
    """A part called =Flute is text in a spreadsheet; numbers below zero stay numbers."""
    row = rows(LEAPS)[0]
    assert row["part"] == " =Flute"


def test_the_reason_and_the_figure_beside_it_are_about_one_comparison() -> None:
    """What the standard grip would take more, in words, is the number of the row."""
    row = rows(LEAPS)[0]
    assert f"would take {float(row['effort_more']):.2f} more effort" in row["reason"]
