"""A pitch as a person asks for it."""

from gripway.errors import RequestError
from gripway.model.pitch import NotAPitchError, Pitch


def asked_pitch(text: Pitch | str, place: str = "") -> Pitch:
    """The pitch of a text, or itself; RequestError, with the English name of a German one, for no pitch."""
    if isinstance(text, Pitch):
        return text
    try:
        return Pitch.parse(text)
    except NotAPitchError as problem:
        raise RequestError(problem.what, place=place, next_step=problem.next_step) from None
