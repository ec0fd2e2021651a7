"""Pins and bans as a person writes them: `3=T 1 | Eb`, `F#6=T 1 3 | 3 Eb`, `harmonic`."""

from gripway.asked.wishes import Pin
from gripway.errors import RequestError
from gripway.model.mark_text import grip_of, trilled_grip_of
from gripway.model.pitch import asked_pitch
from gripway.model.player import BANNED_KINDS, Ban
from gripway.score.xml.numerals import whole


def pin_of(text: str, notes: int | None = None, place: str = "--pin") -> Pin:
    """A pin from `NOTE=GRIP`: NOTE is an id, or a number from 1 (to `notes`), as the text output shows it.

    `place` is what the text was given to. Raises RequestError for what pins nothing.

    >>> pin_of("3=T 1 | Eb")
    Pin(note=2, grip=Grip.parse('T L1 | Eb'))
    """
    name, equals, grip = text.partition("=")
    if not equals:
        raise RequestError(
            f"{text!r} pins nothing",
            place=place,
            next_step=f"Write for example {_shown(place, '3=T 1 | Eb')}",
        )
    note, where = name.strip(), f"{place} {text}"
    sign = trilled_grip_of(grip, where)
    if not note.isdecimal():
        return Pin(note, sign.grip, sign.moving)
    number = whole(note)
    if number is None or number < 1 or (notes is not None and number > notes):
        last = "from 1 on" if notes is None else f"1 to {notes}"
        raise RequestError(f"there is no note {note}", place=where, next_step=f"The notes are {last}")
    return Pin(number - 1, sign.grip, sign.moving)


def ban_of(text: str, place: str = "--ban") -> Ban:
    """A ban from `PITCH=GRIP`, a grip with its bar (at every pitch) or a kind such as harmonic.

    Raises RequestError for what bans nothing.

    >>> ban_of("harmonic").kind
    'harmonic'
    """
    pitch, equals, grip = text.partition("=")
    if equals:
        where = f"{place} {text}"
        return Ban(asked_pitch(pitch, where).number, grip_of(grip, where))
    if "|" in text:
        return Ban(grip=grip_of(text, f"{place} {text}"))
    kind = text.strip()
    if kind not in BANNED_KINDS:
        raise RequestError(
            f"{text!r} bans nothing",
            place=place,
            next_step=f"Write {_shown(place, 'F#6=T 1 3 | 3 Eb')}, or a kind: {', '.join(BANNED_KINDS)}",
        )
    return Ban(kind=kind)


def _shown(place: str, example: str) -> str:
    """An example as it is written where the text came from: an option of the command, or an argument."""
    return f'{place} "{example}"' if place.startswith("--") else f'"{example}"'
