"""What the page asks while it records: the grips of a note, the pitch now, a take, the table of all takes.

Each request carries its own sound, at most MOST_TAKE_SECONDS of it, which is gone with the answer.
"""

import base64
import binascii
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Literal

from msgspec import Meta
from starlette.responses import Response

from gripway.catalog.own_files.tuner_list import tuner_row
from gripway.catalog.own_files.typed import Table, spelt
from gripway.catalog.tables.listening_figures import cents_figures
from gripway.errors import RequestError
from gripway.model.instrument import Instrument
from gripway.page.browser_data.pictures import picture
from gripway.sound.reading import recording_of
from gripway.sound.recording import Recording
from gripway.sound.riff import is_wav
from gripway.tasks.flutes import flute
from gripway.units import frequency_hz
from gripway.web.asking import PageWishes, Request, SpeltGrip, SpeltPitch, asked_of, request_of
from gripway.web.replies import answer
from gripway.web.size_limits import MOST_TAKE_SECONDS

HEAD_BYTES = 12
MOST_TAKES, LONGEST_SESSION_S = 60, 7200.0
ONE_NOTE = "play one note, then rest"
"""What to do where no note was heard, or several."""

_Hertz = Annotated[float, Meta(ge=50, le=10_000)]
_Seconds = Annotated[float, Meta(ge=0, le=LONGEST_SESSION_S)]
_Cents = Annotated[float, Meta(ge=-200, le=200)]
_Day: Any = spelt("Write a day as 2027-01-31", date.fromisoformat)
_Block = Literal["standard", "other", "standard again"]


class _Note(Request, frozen=True, kw_only=True):
    pitch: SpeltPitch


class _Sound(Table, frozen=True, kw_only=True):
    pitch: SpeltPitch
    hz: _Hertz
    wav: str


class _Take(_Sound, frozen=True, kw_only=True):
    block: _Block


class _Heard(Table, frozen=True, kw_only=True):
    block: _Block
    start_s: _Seconds
    end_s: _Seconds
    cents: _Cents


class _Table(Request, frozen=True, kw_only=True):
    pitch: SpeltPitch
    grip: SpeltGrip
    date: _Day
    takes: Annotated[tuple[_Heard, ...], Meta(max_length=MOST_TAKES)]


def grips(body: Any) -> Response:
    """The standard grip of a pitch, all others of this flute, where they sound, and the order of playing."""
    from gripway.listening.takes import BLOCKS
    from gripway.tasks.grip_lists import grips as grips_of

    request = request_of(body, _Note, "record")
    asked = asked_of(request.wishes)
    mine, pitch = _flute(asked), request.pitch.value
    found = grips_of(pitch, mine, asked.player)
    if found.problem:
        raise RequestError(found.problem, place=pitch.name, next_step="Choose another note")
    cards = [
        {
            "grip": fact.grip.text,
            "short": fact.grip.short,
            "kind": fact.kind,
            "cents": fact.candidate.tendency.cents,
            "spread": fact.candidate.tendency.spread_cents,
            "picture": picture(mine, fact.grip),
        }
        for fact in found.grips
        if fact.candidate is not None
    ]
    standard = [card for card in cards if card["kind"] == "standard"][:1]
    others = [card for card in cards if card["kind"] != "standard"]
    if not (standard and others):
        raise RequestError(
            "there are no two grips to compare on this flute",
            place=pitch.name,
            next_step="Choose another note",
        )
    return answer(
        {
            "pitch": pitch.name,
            "hz": frequency_hz(pitch.number + mine.sounds_semitones),
            "standard": standard[0],
            "others": others,
            "order": [block for block in BLOCKS for _ in range(cents_figures().block_takes)],
        }
    )


def pitch(body: Any) -> Response:
    """The cents of what sounds now from where the note is to sound, or why they cannot be told."""
    from gripway.listening.listen_words import refusal_words
    from gripway.listening.takes import Refusal, pitch_now

    request = request_of(body, _Sound, "record")
    found = pitch_now(_recording(request.wav), request.hz, cents_figures())
    if isinstance(found, Refusal):
        return answer({"cents": None, "words": refusal_words(found, request.pitch.value.number)})
    return answer({"cents": round(found, 1), "words": ""})


def take(body: Any) -> Response:
    """One take: its cents and where it stands in its sound, or why it is refused, with what to do."""
    from gripway.listening.listen_words import ADVICE, refusal_words
    from gripway.listening.takes import MISSING, one_take

    request = request_of(body, _Take, "record")
    found = one_take(_recording(request.wav), request.hz, request.block, cents_figures())
    words = ""
    if found.refused:
        advice = ONE_NOTE if found.refused.kind == MISSING else ADVICE[found.refused.kind]
        words = f"{refusal_words(found.refused, request.pitch.value.number)}; {advice}"
    return answer(
        {
            "cents": found.cents,
            "start_s": round(found.start_s, 3),
            "end_s": round(found.end_s, 3),
            "refused": found.refused.kind if found.refused else None,
            "words": words,
        }
    )


def table(body: Any) -> Response:
    """What the takes say, as `gripway listen` says it, with the rows for the tuner's list of the session."""
    from gripway.listening.listen_words import difference_words
    from gripway.listening.listened import listened_data
    from gripway.listening.takes import Take
    from gripway.tasks.own.recordings import listen_to_takes

    request = request_of(body, _Table, "record")
    asked = asked_of(request.wishes)
    takes = [Take(0, each.block, each.start_s, each.end_s, each.cents) for each in request.takes]
    grip = f"{request.pitch.value.name}={request.grip.value.text}"
    found = listen_to_takes(takes, grip, _flute(asked), asked.player)
    measured = found.measured_of(found.asked[0])
    if measured is None:
        least = cents_figures().least_takes
        what = "there are too few takes"
        raise RequestError(
            what, place="takes", next_step=f"Play each of the three groups {least} times at least"
        )
    sentence = f"Your {difference_words(measured)}."
    readings = [
        {key: value for key, value in tuner_row(own).items() if value != ""}
        for own in found.readings(request.date.value.isoformat())
    ]
    return answer(listened_data(found, sentence, None) | {"readings": readings})


RECORD: dict[str, Callable[[Any], Response]] = {"grips": grips, "pitch": pitch, "take": take, "table": table}


def _flute(asked: PageWishes) -> Instrument:
    return flute(asked.flute or "concert-flute", asked.parts)


def _recording(text: str) -> Recording:
    """The sound of a request. Raises RequestError for no WAV or too much, RecordingError for a bad one."""
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        raise RequestError("the sound arrived damaged", place="wav", next_step="Play it again") from None
    if not is_wav(data[:HEAD_BYTES]):
        raise RequestError("this is no WAV", place="wav", next_step="Use the page itself")
    found = recording_of(data, "take")
    if found.length_s > MOST_TAKE_SECONDS:
        raise RequestError(
            f"{found.length_s:.0f} s are too long", place="take", next_step="Play each take for two seconds"
        )
    return found
