"""The player's own file: TOML for the flute, hands, dials, bans, known grips, times, and its tuner's list."""

import datetime
from pathlib import Path
from typing import Annotated, Any

import msgspec
from msgspec import UNSET, Meta, UnsetType

from gripway.catalog.flute.instruments import load_instrument
from gripway.catalog.own_files.own_file import own_text, toml_of
from gripway.catalog.own_files.tuner_list import read_cents
from gripway.catalog.own_files.typed import Table, faults, spelt, typed
from gripway.catalog.tables.effort_figures import effort_tables
from gripway.errors import PlayerFileError, RequestError
from gripway.model.grip import Grip
from gripway.model.mechanism import FINGERS
from gripway.model.pitch import Pitch
from gripway.model.player import Ban, BannedKind, OwnTimes, Player

SLOWEST_FINGER, QUICKEST_FINGER = 5.0, 0.5


def _pitched_grip(text: str) -> tuple[int, Grip]:
    """Pitch and grip of an entry such as "F#6: T L1 L3 | R3 Eb"; an equals sign will do for the colon."""
    pitch, colon, grip = text.replace("=", ":", 1).partition(":")
    try:
        if not colon:
            raise ValueError("no colon between pitch and grip")
        return Pitch.parse(pitch).number, Grip.parse(grip)
    except ValueError as problem:
        raise ValueError(f"{text!r}: {problem}") from None


_PitchedGrip: Any = spelt('Write "F#6: T L1 L3 | R3 Eb"', _pitched_grip)


def _numbers(name: str, bounds: dict[str, tuple[float, float]]) -> Any:
    """A table of numbers, each with its least and most, that may be left out."""
    kinds = {key: Annotated[float, Meta(ge=least, le=most)] for key, (least, most) in bounds.items()}
    return msgspec.defstruct(name, [(key, kinds[key] | UnsetType, UNSET) for key in kinds], bases=(Table,))


Dials: Any = _numbers(
    "Dials", {name: (dial.least, dial.most) for name, dial in effort_tables().dials.items()}
)
_Slower: Any = _numbers("Slower", dict.fromkeys(FINGERS, (QUICKEST_FINGER, SLOWEST_FINGER)))


class _Flute(Table, frozen=True):
    instrument: str = ""
    parts: tuple[str, ...] = ()


class _Hands(Table, frozen=True):
    slower: Annotated[_Slower, Meta(description="Write it as { R4 = 1.2 }")] = _Slower()
    little_finger_supports: bool = True


class _Bans(Table, frozen=True):
    grips: tuple[_PitchedGrip, ...] = ()
    kinds: tuple[BannedKind, ...] = ()


class _Known(Table, frozen=True):
    grips: tuple[_PitchedGrip, ...] = ()


class _Cents(Table, frozen=True):
    file: str = ""


_Weights: Any = _numbers("Weights", dict.fromkeys(FINGERS, (QUICKEST_FINGER, SLOWEST_FINGER)))
_Spreads: Any = _numbers("Spreads", dict.fromkeys(FINGERS, (0.0, SLOWEST_FINGER)))


class Measured(Table, frozen=True):
    """What `gripway own-times` writes: all keys but those of the line are there, or none."""

    date: Annotated[datetime.date, Meta(description="Write it as 2026-11-20")] | None = None
    pairs: Annotated[int, Meta(ge=0, le=10_000)] = 0
    takes: Annotated[int, Meta(ge=0, le=10_000)] = 0
    base_ms: Annotated[float, Meta(ge=20.0, le=1000.0)] | UnsetType = UNSET
    base_spread_ms: Annotated[float, Meta(ge=0.0, le=1000.0)] | UnsetType = UNSET
    weights: Annotated[_Weights, Meta(description="Write it as { LT = 1.2, L1 = 1.1 }")] = _Weights()
    spreads: Annotated[_Spreads, Meta(description="Write it as { LT = 0.1, L1 = 0.1 }")] = _Spreads()
    line_factor: Annotated[float, Meta(ge=0.3, le=5.0)] | UnsetType = UNSET
    line_spread: Annotated[float, Meta(ge=0.0, le=5.0)] | UnsetType = UNSET


class PlayerFile(Table, frozen=True):
    """The tables of the file; every key may be left out."""

    flute: _Flute = _Flute()
    dials: Dials = Dials()
    hands: _Hands = _Hands()
    bans: _Bans = _Bans()
    known: _Known = _Known()
    cents: _Cents = _Cents()
    measured: Measured = Measured()


def read_player(path: Path) -> Player:
    """Read a player file. Raises PlayerFileError with the place file:key for anything amiss."""
    file = player_tables(own_text(path, PlayerFileError), str(path))
    return Player(
        instrument=file.flute.instrument or None,
        parts=file.flute.parts,
        dials=given(file.dials),
        finger_factors=given(file.hands.slower),
        little_finger_supports=file.hands.little_finger_supports,
        bans=bans_of(file),
        known=frozenset(entry.value for entry in file.known.grips),
        cents=tuple(read_cents(path.parent / file.cents.file)) if file.cents.file else (),
        own_times=own_times_of(file.measured),
    )


def player_tables(text: str, name: str) -> PlayerFile:
    """The checked tables of a player file from its text; the tuner's list it may name is not looked for.

    Raises PlayerFileError with the place name:key for anything amiss.
    """
    fault = faults(PlayerFileError, f"{name}:")
    file = typed(toml_of(text, name, PlayerFileError), PlayerFile, fault)
    for key, parts in (("flute.instrument", ()), ("flute.parts", file.flute.parts)):
        try:
            load_instrument(file.flute.instrument or "concert-flute", parts)
        except RequestError as problem:
            raise fault(key, problem.what, problem.next_step) from None
    if wrong := _measured_fault(file.measured):
        raise fault(*wrong, "Take out the table [measured], or write it anew with gripway own-times")
    return file


def own_times_of(measured: Measured) -> OwnTimes | None:
    """The finger times of the table `measured`, None where it is not there."""
    if measured.date is None or measured.base_ms is UNSET:
        return None
    return OwnTimes(
        date=measured.date.isoformat(),
        pairs=measured.pairs,
        takes=measured.takes,
        base_ms=measured.base_ms,
        base_spread_ms=measured.base_spread_ms or 0.0,
        weights=given(measured.weights),
        spreads=given(measured.spreads),
        line_factor=None if measured.line_factor is UNSET else measured.line_factor,
        line_spread=None if measured.line_spread is UNSET else measured.line_spread,
    )


def _measured_fault(measured: Measured) -> tuple[str, str] | None:
    """The key that is missing of a table of measurements, and what is missing; None where it is whole."""
    if measured == Measured():
        return None
    for key, missing in (
        ("date", measured.date is None),
        ("base_ms", measured.base_ms is UNSET),
        ("base_spread_ms", measured.base_spread_ms is UNSET),
    ):
        if missing:
            return f"measured.{key}", "is missing beside other measurements"
    if unknown := [finger for finger in FINGERS if finger not in dict(given(measured.weights))]:
        return "measured.weights", f"no weight of {', '.join(unknown)}"
    return None


def bans_of(file: PlayerFile) -> tuple[Ban, ...]:
    """The bans of a player file: grips first, then kinds."""
    return (
        *(Ban(*entry.value) for entry in file.bans.grips),
        *(Ban(kind=kind) for kind in file.bans.kinds),
    )


def given(numbers: Table) -> tuple[tuple[str, float], ...]:
    """The numbers of a table that are not left out."""
    return tuple(msgspec.to_builtins(numbers).items())


def dial_fault(name: str, value: float) -> tuple[str, str] | None:
    """What is wrong with a dial's name or value and what to do about it; None where nothing is."""
    dials = effort_tables().dials
    if name not in dials:
        return f"no such dial: {name}", f"The dials are {', '.join(dials)}"
    dial = dials[name]
    if not dial.least <= value <= dial.most:
        return f"{name} cannot be {value:g}", f"Choose a value from {dial.least:g} to {dial.most:g}"
    return None
