"""A line of notes as a score of its own."""

from gripway.model.house_style import EVERY, HouseStyle
from gripway.page.engraving.score_of_notes import on_notes, own_sheet
from gripway.tasks.flutes import flute
from gripway.tasks.marks.marked_scores import mark
from gripway.tasks.routes import finger
from gripway.tasks.scores import notes


def test_the_route_stands_on_the_notes_of_the_score() -> None:
    """Each note keeps its grip and gets the id and bar it has in the score; marks find their notes."""
    route = finger(notes("E6:5/4 F#6 G#6 A6", tempo=100), flute())
    reading, passage = own_sheet(route.passage)
    own = on_notes(route, passage)
    assert [each.note.id for each in own.notes] == [each.id for each in reading.passage.notes]
    assert [each.note.bar for each in own.notes] == ["1", "2", "2", "2"]
    assert [each.candidate for each in own.notes] == [each.candidate for each in route.notes]
    assert b"<fingering" in mark(reading, own, HouseStyle(which=EVERY))
    assert reading.passage.notes[1].length_ms == 150
