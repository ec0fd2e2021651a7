"""A line of notes as a score of its own: written, read back, and its route with the ids of the new score."""

from dataclasses import replace

from gripway.route.result import Route
from gripway.route.threshold import quarters_per_minute
from gripway.score.reading import ScoreReading, read_score
from gripway.score.writing import write_passage

NAME = "the line of notes"


def own_sheet(route: Route) -> tuple[ScoreReading, Route]:
    """The score that spells the passage of a route, and the route on the notes of that score.

    The notes keep all but their ids and get bars. Raises RequestError for what cannot be written in notes.
    """
    passage = route.passage
    written = write_passage(passage, tempo=quarters_per_minute(passage) or None)
    reading = read_score(written.data, NAME)
    found = {note.id: note for note in reading.passage.notes}
    notes = tuple(
        replace(note, note=replace(note.note, id=name, bar=found[name].bar))
        for note, name in zip(route.notes, written.ids[0], strict=True)
    )
    own = replace(passage, notes=tuple(note.note for note in notes))
    return reading, replace(route, passage=own, notes=notes)
