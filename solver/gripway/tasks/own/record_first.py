"""What a player should record first, for the parts they play."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gripway.asked.wishes import Wishes
from gripway.errors import RequestError
from gripway.model.passage import Passage
from gripway.tasks.flute_player import Flute, asked_of, passage_of

if TYPE_CHECKING:
    from gripway.listening.what_to_record import RecordingCard
    from gripway.route.solve import Progress
    from gripway.score.reading.score_reading import ScoreReading


def record_first(
    parts: "Sequence[tuple[str, Passage | ScoreReading]]",
    instrument: Flute | None = None,
    wishes: Wishes | None = None,
    most: int | None = None,
    progress: "Progress | None" = None,
) -> "RecordingCard":
    """The grips whose doubt about pitch decides most notes of parts with their names, first things first.

    At most `most` grips (20 without it). Each that could come into a route is tried at both ends of the range
    its pitch is expected in, as if it were in the fingers; `notes` of a grip is on how many notes the two
    routes differ. Pins and the grips the player has measured stay as they are. Raises RequestError for no
    parts or a part without notes.

    >>> import gripway
    >>> part = gripway.notes("(E6 F#6 G#6 A6) F#6:1/4", tempo=160)
    >>> gripway.record_first([("study", part)], gripway.flute()).tried
    2
    """
    from gripway.catalog.tables.listening_figures import cents_figures
    from gripway.listening.what_to_record import recording_card

    mine, wishes = asked_of(instrument, wishes)
    if not parts:
        raise RequestError("no part is given", place="parts", next_step='Give [("name", notes(...))]')
    figures = cents_figures()
    named = [(name, mine.ready(passage_of(passage), wishes)[1]) for name, passage in parts]
    most = figures.card_grips if most is None else most
    return recording_card(named, mine.solver(wishes), wishes, figures, most, progress)
