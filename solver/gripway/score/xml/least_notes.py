"""How many notes a long part plays at least, counted in its bytes before any of it is read."""

SHORTEST_NOTE_BYTES = 60
"""What a note with a pitch takes at least in a file: its tags."""

_SILENT = (
    "<notehead",
    "<note-size",
    "<rest",
    "<chord",
    "<cue",
    "<unpitched",
    "<tie",
    "time-only=",
    'print-object="no"',
)
"""What may stand for a note that is none of its own as played; a note may have several."""

_ANY_NUMBER = ("<measure-repeat", "<score-timewise")
"""Where the bytes do not say how many notes are played."""


def least_notes(data: bytes, codec: str) -> int:
    """Notes that the one part of a MusicXML document plays at least; 0 where its bytes do not say.

    Repeats, ties, chords and rests can only make more of them than are counted here.
    """

    def count(text: str) -> int:
        return data.count(text.encode(codec))

    several = count("<part ") != 1 or count("<voice") != count("<voice>1</voice>")
    if several or any(map(count, _ANY_NUMBER)):
        return 0
    return max(0, count("<note") - sum(map(count, _SILENT)))
