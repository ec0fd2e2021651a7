"""The keys that say a place of a part, in files of decisions and of marks: read strictly, written back."""

import json
from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import partial
from typing import Any

from gripway.catalog.own_files.own_file import Error, entry_at, toml_of
from gripway.catalog.own_files.typed import Table, spelt
from gripway.errors import GripwayError
from gripway.model.decision import DecisionPlace
from gripway.model.pitch import Pitch

MAY_BE_EMPTY = ("before", "after")
MOST_BEATS = 1000

KeyFault = Callable[[str, str, str], GripwayError]
"""Makes an error of a key, what is wrong with it, and the next step."""


def _pitch(text: str) -> Pitch:
    try:
        return Pitch.parse(text)
    except ValueError:
        raise ValueError(f"{text!r} is no pitch") from None


_PITCH_WORDS = "Write a pitch such as F#6 or Bb5"
_Pitch: Any = spelt(_PITCH_WORDS, _pitch)
_Pitches: Any = spelt(_PITCH_WORDS, lambda text: tuple(map(_pitch, text.split())))


class PlaceKeys(Table, frozen=True):
    """The keys of a place; a kind of entry adds its own."""

    part: str = ""
    bar: Any = None
    beat: Any = None
    pitch: _Pitch = None
    before: _Pitches | None = None
    after: _Pitches | None = None


def entries_of(text: str, path: str, name: str, most: int, error: Error) -> list[tuple[str, dict[str, Any]]]:
    """The [[name]] tables of a file that has nothing else, each with its place: file and number.

    Raises `error` where it is no such file, or has more than `most` of them.
    """
    data = toml_of(text, path, error, partial(entry_at, name))
    for key in data:
        if key != name:
            raise error("no such table", place=f"{path}: {key}", next_step=f"Write [[{name}]]")
    entries = data.get(name, [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise error(f"no list of {name}s", place=path, next_step=f"Write [[{name}]]")
    if len(entries) > most:
        raise error(
            f"has {len(entries)} {name}s; at most {most} are read",
            place=path,
            next_step="Write a file a part",
        )
    return [(f"{path}: {name} {number}", entry) for number, entry in enumerate(entries, 1)]


def place_said(said: PlaceKeys, fault: KeyFault) -> DecisionPlace:
    """The place that an entry says. Raises the error that `fault` makes for the first key amiss."""
    for key in ("bar", "pitch"):
        if getattr(said, key) is None:
            raise fault(key, "is missing", 'Write for example bar = "12" and pitch = "F#6"')
    if isinstance(said.bar, bool) or not isinstance(said.bar, int | str) or not str(said.bar).strip():
        raise fault("bar", f"{said.bar!r} is no bar", 'Write the number as printed: bar = "12"')
    try:
        beat = _beat(said.beat)
    except (ValueError, ZeroDivisionError):
        raise fault("beat", f"{said.beat!r} is no beat", 'Write 1, 2.5 or "2 1/3"') from None
    return DecisionPlace(
        bar=str(said.bar).strip(),
        pitch=said.pitch.value,
        part=said.part,
        beat=beat,
        before=said.before.value if said.before else (),
        after=said.after.value if said.after else (),
    )


def _beat(value: object) -> Fraction | None:
    """A beat from 1, a number or `2 1/3`. Raises ValueError or ZeroDivisionError for what is none."""
    if value is None:
        return None
    words = str(value).split() if isinstance(value, str) else [str(value)]
    beat = sum((Fraction(word) for word in words), Fraction(0))
    if isinstance(value, bool) or not words or not 1 <= beat <= MOST_BEATS:
        raise ValueError
    return beat


def place_values(place: DecisionPlace) -> dict[str, object]:
    """The keys of a place with their values; those that are not known are empty or None."""
    return {
        "part": place.part,
        "bar": place.bar,
        "beat": _beat_text(place.beat),
        "pitch": place.pitch.name,
        "before": " ".join(pitch.name for pitch in place.before),
        "after": " ".join(pitch.name for pitch in place.after),
    }


def _beat_text(beat: Fraction | None) -> str | int | float | None:
    if beat is None or beat.denominator == 1:
        return None if beat is None else int(beat)
    if (beat * 1000).denominator == 1:
        return float(beat)
    whole = beat.numerator // beat.denominator
    return f"{whole} {beat - whole}"


def entry_text(name: str, values: Mapping[str, object]) -> str:
    """A [[table]] with those of its keys that say something."""
    said = [f"{key} = {_toml(value)}" for key, value in values.items() if value not in ("", None, ())]
    return "\n".join([f"[[{name}]]", *said, ""])


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
