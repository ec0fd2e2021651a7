"""A pitch as a person asks for it."""

from gripway.errors import RequestError, check_kind
from gripway.model.pitch import NotAPitchError, Pitch

MOST = 127
"""The highest note number there is (MIDI)."""


def asked_pitch(text: Pitch | str | int, place: str = "") -> Pitch:
    """The pitch of a text or a note number (C4 is 60), or itself.

    RequestError, with the English name of a German one, for no pitch.
    """
    if isinstance(text, Pitch):
        return text
    if isinstance(text, int):
        if not 0 <= text <= MOST:
            raise RequestError(
                f"{text} is no note number", place=place, next_step=f"Give 0 to {MOST}: C4 is 60"
            )
        return Pitch.from_number(text)
    check_kind(text, str, "pitch", 'Give a name or a note number: "F#6", 90')
    try:
        return Pitch.parse(text)
    except NotAPitchError as problem:
        raise RequestError(problem.what, place=place, next_step=problem.next_step) from None
