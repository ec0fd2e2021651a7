"""A line of notes as a score of its own: written, read back, its notes with the ids of the new score."""

from dataclasses import replace

from gripway.model.passage import Passage, quarters_per_minute
from gripway.route.result import Route
from gripway.score.reading.score_reading import ScoreReading, read_score
from gripway.score.writing.write_score import write_passage

NAME = "the line of notes"


def own_sheet(passage: Passage) -> tuple[ScoreReading, Passage]:
    """The score that spells a passage, and the passage on the notes of that score.

    The notes keep all but their ids and get bars. Raises RequestError for what cannot be written in notes.
    """
    written = write_passage(passage, tempo=quarters_per_minute(passage) or None)
    reading = read_score(written.data, NAME)
    found = {note.id: note for note in reading.passage.notes}
    notes = tuple(
        replace(note, id=name, bar=found[name].bar)
        for note, name in zip(passage.notes, written.ids[0], strict=True)
    )
    return reading, replace(passage, notes=notes)


def on_notes(route: Route, passage: Passage) -> Route:
    """A route on the notes of the same passage as `own_sheet` gives it."""
    notes = tuple(replace(each, note=note) for each, note in zip(route.notes, passage.notes, strict=True))
    return replace(route, passage=passage, notes=notes)
