"""Requests of the page, read strictly: an unknown key, a wrong kind of value or too many are refused."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, Literal, TypeVar

import msgspec
from msgspec import Meta
from starlette.requests import Request as HttpRequest

from gripway.asked.limit_words import parse_limits
from gripway.asked.limits import NO_LIMITS, Limits
from gripway.asked.wishes import CHOICES, LEAST_EFFORT, Pin
from gripway.catalog.own_files.player_file import Dials, given
from gripway.catalog.own_files.tuner_list import FARTHEST_CENTS, MOST_TAKES, USUAL_SPREAD_CENTS
from gripway.catalog.own_files.typed import Table, spelt, typed
from gripway.errors import RequestError
from gripway.model.grip import Grip
from gripway.model.mark_text import NOTHING
from gripway.model.pitch import Pitch
from gripway.model.player import BANNED_KINDS, Ban, BannedKind, OwnCents, Player
from gripway.model.tempo import FASTEST_TEMPO, LEAST_PERCENT, MOST_PERCENT, SLOWEST_TEMPO
from gripway.web.size_limits import (
    LIMIT_SECONDS,
    MOST_BANS,
    MOST_LEARN,
    MOST_LIMITS,
    MOST_PINS,
    MOST_READINGS,
)

T = TypeVar("T")
_ID = re.compile(r"[A-Za-z0-9_.-]{1,40}")
PLACES = {"low": "lower note", "high": "upper note"}
"""What the page calls a key, where that is another word."""


def _note_id(text: str) -> str:
    if not _ID.fullmatch(text):
        raise ValueError("this is no note")
    return text


_NoteId: Any = spelt("Use the page itself", _note_id)
SpeltPitch: Any = spelt("Write a pitch such as F#6", Pitch.parse)
SpeltGrip: Any = spelt('Write a grip such as "T L1 L3 | R2 Eb"', Grip.parse)
_Text = Annotated[str, Meta(max_length=200)]
_Tempo = Annotated[
    float, Meta(ge=SLOWEST_TEMPO, le=FASTEST_TEMPO, description="Give 5 to 500 quarters a minute")
]
_Percent = Annotated[
    float, Meta(ge=LEAST_PERCENT, le=MOST_PERCENT, description="Give 10 to 300 % of the marked tempos")
]
_Choice: Any = Literal[CHOICES]
_Date = Annotated[str, Meta(pattern=r"^(\d{4}-\d\d-\d\d)?$", description="Write a day as 2027-01-31")]


class _PinRequest(Table, frozen=True):
    note: _NoteId
    grip: SpeltGrip
    moving: SpeltGrip | None = None


class _Ban(Table, frozen=True):
    pitch: SpeltPitch | None = None
    grip: SpeltGrip | None = None
    kind: BannedKind | None = None


class _TunerReading(Table, frozen=True):
    pitch: SpeltPitch
    grip: SpeltGrip
    cents: Annotated[float, Meta(ge=-FARTHEST_CENTS, le=FARTHEST_CENTS)]
    spread_cents: Annotated[float, Meta(ge=0, le=FARTHEST_CENTS)] = USUAL_SPREAD_CENTS
    vs_standard: Annotated[float, Meta(ge=-FARTHEST_CENTS, le=FARTHEST_CENTS)] | None = None
    takes: Annotated[int, Meta(ge=0, le=MOST_TAKES)] = 0
    date: _Date = ""
    vs_spread_cents: Annotated[float, Meta(ge=0, le=FARTHEST_CENTS)] | None = None


class _WishesRequest(Table, frozen=True):
    part: _Text | None = None
    bars: _Text | None = None
    tempo: _Tempo | None = None
    tempo_percent: _Percent = 100.0
    flute: _Text | None = None
    parts: Annotated[tuple[_Text, ...], Meta(max_length=20)] = ()
    dials: Dials | None = None
    pins: Annotated[tuple[_PinRequest, ...], Meta(max_length=MOST_PINS)] = ()
    bans: Annotated[tuple[_Ban, ...], Meta(max_length=MOST_BANS)] = ()
    limits: Annotated[tuple[_Text, ...], Meta(max_length=MOST_LIMITS)] = ()
    choose: _Choice | None = None
    keep_fingerings: bool = False
    cents: Annotated[tuple[_TunerReading, ...], Meta(max_length=MOST_READINGS)] = ()
    learn: Annotated[int, Meta(ge=0, le=MOST_LEARN)] | None = None


class Request(Table, frozen=True):
    """A question with the wishes it is asked under."""

    wishes: dict[str, Any] = msgspec.field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PageWishes:
    """All that a person wishes, as one value: equal wishes give equal answers."""

    part: str | None = None
    bars: str | None = None
    tempo: float | None = None
    tempo_percent: float = 100.0
    flute: str | None = None
    parts: tuple[str, ...] = ()
    dials: tuple[tuple[str, float], ...] = ()
    pins: tuple[Pin, ...] = ()
    bans: tuple[Ban, ...] = ()
    limits: Limits = NO_LIMITS
    choose: str = LEAST_EFFORT
    keep_fingerings: bool = False
    learn: int | None = None
    cents: tuple[OwnCents, ...] = ()
    plain: Mapping[str, Any] = field(default_factory=dict, compare=False, hash=False)

    @property
    def music(self) -> tuple[object, ...]:
        """What is played of the score, and how fast: equal for equal passages."""
        return self.part, self.bars, self.tempo, self.tempo_percent

    @property
    def player(self) -> Player:
        """The player these wishes describe, without the bans."""
        return Player(instrument=self.flute, parts=self.parts, dials=self.dials, cents=self.cents)

    def pins_in(self, ids: frozenset[str]) -> tuple[Pin, ...]:
        """The pins on notes of these ids: those outside the chosen bars wait."""
        return tuple(pin for pin in self.pins if pin.note in ids)


async def json_of(request: HttpRequest) -> Any:
    """The body of a request. Raises RequestError where it is not JSON."""
    try:
        return json.loads(await request.body(), parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise RequestError("the request is not JSON", next_step="Use the page itself") from None


def _no_constant(name: str) -> float:
    raise ValueError(name)


def request_of(data: object, kind: type[T], place: str) -> T:
    """A request of a kind; `place` names the whole. Raises RequestError with the key that is wrong."""

    def refused(key: str, what: str, next_step: str) -> RequestError:
        return RequestError(
            what, place=PLACES.get(key, key) or place, next_step=next_step if key else "Use the page itself"
        )

    return typed(data, kind, refused)


def asked_of(data: Any) -> PageWishes:
    """The wishes of a request or a session. Raises RequestError with the key that is wrong."""
    wishes = request_of(data, _WishesRequest, "wishes")
    return PageWishes(
        part=wishes.part or None,
        bars=wishes.bars or None,
        tempo=wishes.tempo,
        tempo_percent=wishes.tempo_percent,
        flute=wishes.flute or None,
        parts=tuple(sorted(set(wishes.parts))),
        dials=tuple(sorted(given(wishes.dials or Dials()))),
        pins=tuple(
            Pin(pin.note.value, pin.grip.value, pin.moving.value if pin.moving else NOTHING)
            for pin in wishes.pins
        ),
        bans=tuple(dict.fromkeys(map(_ban, wishes.bans))),
        limits=replace(parse_limits(wishes.limits), seconds=LIMIT_SECONDS) if wishes.limits else NO_LIMITS,
        choose=wishes.choose or LEAST_EFFORT,
        keep_fingerings=wishes.keep_fingerings,
        learn=wishes.learn,
        cents=tuple(
            OwnCents(
                each.pitch.value.number,
                each.grip.value,
                each.cents,
                each.spread_cents,
                each.vs_standard,
                each.takes,
                each.date,
                each.vs_spread_cents,
            )
            for each in wishes.cents
        ),
        plain=data,
    )


def _ban(ban: _Ban) -> Ban:
    if ban.kind and not (ban.pitch or ban.grip):
        return Ban(kind=ban.kind)
    if ban.kind or not (ban.pitch and ban.grip):
        words = f"Name a pitch and a grip, or one kind of {', '.join(BANNED_KINDS)}"
        raise RequestError("this bans nothing", place="bans", next_step=words)
    return Ban(ban.pitch.value.number, ban.grip.value)
