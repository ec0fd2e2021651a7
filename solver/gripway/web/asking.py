"""Requests of the page, read strictly: an unknown key, a wrong kind of value or too many are refused."""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from gripway.asked.limit_words import parse_limits
from gripway.asked.limits import NO_LIMITS, Limits
from gripway.asked.pitches import asked_pitch
from gripway.asked.wishes import CHOICES, LEAST_EFFORT, Pin
from gripway.catalog.own_files.player_file import BANNED_KINDS, dial_fault
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch
from gripway.model.player import Ban, Player
from gripway.model.tempo import check_tempo
from gripway.web.limits import LIMIT_SECONDS, MOST_BANS, MOST_LEARN, MOST_LIMITS, MOST_PINS

GRIP_EXAMPLE = 'Write a grip such as "T L1 L3 | R2 Eb"'
_ID = re.compile(r"[A-Za-z0-9_.-]{1,40}")
WISH_KEYS = (
    "part",
    "bars",
    "tempo",
    "flute",
    "parts",
    "dials",
    "pins",
    "bans",
    "limits",
    "choose",
    "keep_fingerings",
    "learn",
)


@dataclass(frozen=True, slots=True)
class Asked:
    """All that a person wishes, as one value: equal wishes give equal answers."""

    part: str | None = None
    bars: str | None = None
    tempo: float | None = None
    flute: str | None = None
    parts: tuple[str, ...] = ()
    dials: tuple[tuple[str, float], ...] = ()
    pins: tuple[tuple[str, Grip], ...] = ()
    bans: tuple[Ban, ...] = ()
    limits: Limits = NO_LIMITS
    choose: str = LEAST_EFFORT
    keep_fingerings: bool = False
    learn: int | None = None
    plain: Mapping[str, Any] = field(default_factory=dict, compare=False, hash=False)

    @property
    def player(self) -> Player:
        """The player these wishes describe, without the bans."""
        return Player(instrument=self.flute, parts=self.parts, dials=self.dials)

    def pins_in(self, ids: frozenset[str]) -> tuple[Pin, ...]:
        """The pins on notes of these ids: those outside the chosen bars wait."""
        return tuple(Pin(note, grip) for note, grip in self.pins if note in ids)


def keys_of(data: Any, known: Iterable[str], place: str) -> dict[str, Any]:
    """A JSON object with none but the known keys."""
    if not isinstance(data, dict):
        raise RequestError("this is no object", place=place, next_step="Use the page itself")
    unknown = sorted(set(data) - set(known))
    if unknown:
        raise RequestError(
            f"unknown key {str(unknown[0])[:40]!r}", place=place, next_step=f"The keys are {', '.join(known)}"
        )
    return data


def asked_of(data: Any) -> Asked:
    """The wishes of a request or a session. Raises RequestError with the key that is wrong."""
    wishes = keys_of(data, WISH_KEYS, "wishes")
    choose = _text(wishes, "choose") or LEAST_EFFORT
    if choose not in CHOICES:
        raise RequestError(
            f"{choose!r} is nothing to choose by", place="choose", next_step=", ".join(CHOICES)
        )
    return Asked(
        part=_text(wishes, "part"),
        bars=_text(wishes, "bars"),
        tempo=_tempo(wishes.get("tempo")),
        flute=_text(wishes, "flute"),
        parts=tuple(sorted({str(part)[:40] for part in _list(wishes, "parts", 20)})),
        dials=tuple(sorted(_dials(wishes.get("dials")))),
        pins=tuple(_pin(entry) for entry in _list(wishes, "pins", MOST_PINS)),
        bans=tuple(dict.fromkeys(_ban(entry) for entry in _list(wishes, "bans", MOST_BANS))),
        limits=_limits(_list(wishes, "limits", MOST_LIMITS)),
        choose=choose,
        keep_fingerings=_flag(wishes, "keep_fingerings"),
        learn=_learn(wishes.get("learn")),
        plain=wishes,
    )


def _text(wishes: dict[str, Any], key: str) -> str | None:
    value = wishes.get(key)
    if value is None or value == "":
        return None
    if not isinstance(value, str) or len(value) > 200:
        raise RequestError("this is no short text", place=key)
    return value


def _flag(wishes: dict[str, Any], key: str) -> bool:
    value = wishes.get(key, False)
    if not isinstance(value, bool):
        raise RequestError("this is neither yes nor no", place=key)
    return value


def _learn(value: Any) -> int | None:
    """How many grips to learn at most; None where that is not said."""
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_LEARN:
        raise RequestError(
            "this is no number of grips to learn", place="learn", next_step=f"Give 0 to {MOST_LEARN}"
        )
    return value


def _list(wishes: dict[str, Any], key: str, most: int) -> list[Any]:
    value = wishes.get(key, [])
    if not isinstance(value, list):
        raise RequestError("this is no list", place=key)
    if len(value) > most:
        raise RequestError(f"more than {most} {key}", place=key, next_step="Take some away")
    return value


def number_of(value: Any, place: str) -> float:
    """A finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RequestError("this is no number", place=place)
    try:
        number = float(value)
    except OverflowError:  # a whole number too large for a float
        number = math.inf
    if not math.isfinite(number):
        raise RequestError("this is no number", place=place)
    return number


def _tempo(value: Any) -> float | None:
    if value is None:
        return None
    tempo = number_of(value, "tempo")
    check_tempo(tempo)
    return tempo


def _dials(value: Any) -> Iterable[tuple[str, float]]:
    if value is None:
        return
    if not isinstance(value, dict):
        raise RequestError("this is no object", place="dials")
    for name, turned in value.items():
        setting = number_of(turned, f"dials, {str(name)[:40]}")
        fault = dial_fault(str(name)[:40], setting)
        if fault:
            raise RequestError(fault[0], place="dials", next_step=fault[1])
        yield name, setting


def grip_of(value: Any, place: str) -> Grip:
    """A grip as the answers spell it."""
    if not isinstance(value, str) or len(value) > 80:
        raise RequestError("this is no grip", place=place)
    try:
        return Grip.parse(value)
    except ValueError as problem:
        raise RequestError(
            str(problem), place=place, next_step='Write a grip such as "T L1 L3 | R2 Eb"'
        ) from None


def pitch_of(value: Any, place: str) -> Pitch:
    """A pitch such as F#6."""
    if not isinstance(value, str) or len(value) > 10:
        raise RequestError("this is no pitch", place=place, next_step="Write a pitch such as F#6")
    return asked_pitch(value, place)


def _limits(words: list[Any]) -> Limits:
    """Limits in the words of the command, with the page's own time."""
    if not words:
        return NO_LIMITS
    if not all(isinstance(text, str) and len(text) <= 200 for text in words):
        raise RequestError("these are no limits", place="limits")
    return replace(parse_limits(words), seconds=LIMIT_SECONDS)


def _pin(entry: Any) -> tuple[str, Grip]:
    pin = keys_of(entry, ("note", "grip"), "pins")
    note = pin.get("note")
    if not isinstance(note, str) or not _ID.fullmatch(note):
        raise RequestError("this is no note", place="pins")
    return note, grip_of(pin.get("grip"), "pins")


def _ban(entry: Any) -> Ban:
    ban = keys_of(entry, ("pitch", "grip", "kind"), "bans")
    if "kind" in ban:
        if ban["kind"] not in BANNED_KINDS or len(ban) > 1:
            raise RequestError(
                "this bans nothing", place="bans", next_step=f"Kinds are {', '.join(BANNED_KINDS)}"
            )
        return Ban(kind=ban["kind"])
    return Ban(pitch_of(ban.get("pitch"), "bans").number, grip_of(ban.get("grip"), "bans"))
