"""Our marks at one note, as the list beside a marked score keeps them."""

from dataclasses import dataclass

from gripway.model.decision import DecisionPlace

TEXT_KINDS = ("fingering", "lyric", "words", "picture")
"""Kinds of marks whose text (of a picture the file's name) is written down."""

LINE, LINE_ENDS = "line", ("start", "stop")
"""The kind of a line that goes with a mark, and what stands for the text of its two ends."""


@dataclass(frozen=True, slots=True)
class ListedMark:
    """What we put at one note: kinds with their exact texts. The place's part is the part's number.

    `voice` is the voice the note was read in, `tempo` the tempo there it was marked for, in quarters a
    minute (None where that is not known), `said_at` the entry in its file.
    """

    place: DecisionPlace
    voice: str
    signs: tuple[tuple[str, str], ...]
    said_at: str = ""
    tempo: float | None = None
