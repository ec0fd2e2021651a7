"""All grips of one pitch, and how a grip sounds."""

from dataclasses import replace
from typing import TYPE_CHECKING

from gripway.asked.found_wishes import FoundWishes
from gripway.candidates.candidates import Candidates
from gripway.candidates.with_found_grips import with_found
from gripway.catalog.flute.instruments import has_bore
from gripway.errors import check_frame_of
from gripway.model.grip import Grip
from gripway.model.instrument import Instrument
from gripway.model.pitch import Pitch, asked_pitch
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.tasks.flute_player import Flute, flute_player

if TYPE_CHECKING:
    import pandas as pd

    from gripway.candidates.grip_list import GripList

OVERBLOWN_FROM = 74
"""D5: from here up a grip is an overblown low one."""

FOUND_IN_LIST = 20
"""How many found grips a list of grips gets."""


def grips(
    pitch: Pitch | str | int,
    instrument: Flute,
    player: Player = PLAIN_PLAYER,
    found: FoundWishes | None = None,
) -> "GripList":
    """All grips the tables know for a written pitch, standard first, then those the model finds if asked.

    A pitch outside the instrument gives an empty list with its reason; RequestError for a text that is no
    pitch. `found` asks for grips only the model knows, too.

    >>> import gripway
    >>> gripway.grips("F#6", gripway.flute())
    <GripList: F#6, concert-flute, 10 grips>
    """
    from gripway.candidates.grip_list import grip_list

    pitch = asked_pitch(pitch)
    mine = flute_player(instrument, player)
    book, remark = mine.plain.book, None
    if found is not None and mine.instrument.lowest <= pitch.number <= mine.instrument.highest:
        known, remark = with_found(book.knowledge, {pitch.number: frozenset()}, found, FOUND_IN_LIST)
        book = Candidates(known)
    return replace(grip_list(pitch, book), remark=remark.text if remark else "")


def standing_wave(pitch: Pitch, instrument: Instrument, grip: Grip, width: int = 100) -> list[str]:
    """The standing wave of a grip at a pitch as lines of text, for a low grip with its partials.

    Empty without a model or a resonance near.
    """
    if not has_bore(instrument):
        return []
    from gripway.acoustics.grip_facts import series_lines, standing_lines
    from gripway.candidates.found_rows import tubes_of

    tube = tubes_of(instrument)[0]
    lines = standing_lines(instrument, tube, grip, pitch.number, width)
    return lines + (series_lines(instrument, tube, grip, width) if pitch.number < OVERBLOWN_FROM else [])


def grip_frame(found: "GripList") -> "pd.DataFrame":
    """The list of `grips` as a pandas frame, one row a grip.

    Cents are from equal temperament; sources are keys of `gripway tables --sources`.

    >>> import gripway
    >>> gripway.grip_frame(gripway.grips("F#6", gripway.flute()))["kind"].iloc[0]
    'standard'
    """
    from gripway.candidates.grip_list import GripList
    from gripway.candidates.grip_list import grip_frame as frame

    check_frame_of(found, GripList, "grips(...)")
    return frame(found)
