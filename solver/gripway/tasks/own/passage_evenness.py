"""A passage played to a click: which changes come late, beside what gripway expects."""

from pathlib import Path
from typing import TYPE_CHECKING

from gripway.asked.wishes import Wishes
from gripway.display import HtmlText
from gripway.model.passage import Passage
from gripway.route.result import Route
from gripway.tasks.flute_player import Flute, asked_of, passage_of
from gripway.tasks.routes import finger

if TYPE_CHECKING:
    from gripway.listening.times.evenness import Evenness
    from gripway.score.reading.score_reading import ScoreReading
    from gripway.sound.recording import Recording


def evenness(
    recording: "Recording | Path | str",
    passage: "Passage | ScoreReading",
    instrument: Flute | None = None,
    wishes: Wishes | None = None,
    *,
    a4_hz: float = 440.0,
) -> "tuple[Evenness, Route]":
    """What a recording says of a passage played to a click, and the route it is set beside.

    The recording is a file or one that was read; the tempo of the click is the passage's. Of the evenness:
    `changes` with `late_ms` (how much later than its time a change came) and gripway's `load` of it,
    `agreement` (Spearman's rank correlation of the two with its interval), `missed` notes, the tempo found.
    Raises RecordingError where another passage or tempo is heard, RequestError as `finger` does.

    >>> import gripway
    >>> passage = gripway.notes("E5 F5 " * 12, tempo=150)
    >>> heard, route = gripway.evenness("examples/E5-F5.wav", passage)
    >>> [(change.to, round(change.late_ms)) for change in heard.late]
    [(9, 42)]
    """
    from gripway.catalog.tables.times_figures import times_figures
    from gripway.listening.times.evenness import evenness as heard_evenness
    from gripway.sound.reading import check_there, recording_given

    check_there(recording)
    mine, wishes = asked_of(instrument, wishes)
    route = finger(passage_of(passage), mine, wishes)
    heard, sounds = recording_given(recording), mine.instrument.sounds_semitones
    return heard_evenness(heard, route, sounds, times_figures(), a4_hz), route


def evenness_page(
    heard: "Evenness", route: Route, reading: "ScoreReading | None" = None, bars: str | None = None
) -> HtmlText:
    """One HTML file: the engraved music with a row of what was heard late and one of what was expected.

    `reading` is the score of the passage (None for a line of notes), `bars` those that were read.

    >>> import gripway
    >>> passage = gripway.notes("E5 F5 " * 12, tempo=150)
    >>> gripway.evenness_page(*gripway.evenness("examples/E5-F5.wav", passage))[:15]
    '<!DOCTYPE html>'
    """
    from gripway.page.engraving.score_of_notes import on_notes, own_sheet
    from gripway.page.evenness_page import evenness_document

    if reading is None:
        reading, passage = own_sheet(route.passage)
        route = on_notes(route, passage)
    return HtmlText(evenness_document(heard, route, reading, bars))
