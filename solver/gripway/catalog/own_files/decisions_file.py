"""An editor's decisions as a file: TOML of [[decision]] tables, read strictly and written the same way."""

import json
from collections.abc import Iterable
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import entry_at, own_text, toml_of
from gripway.catalog.own_files.typed import Table, spelt, typed
from gripway.errors import DecisionsFileError
from gripway.model.decision import Decision, DecisionPlace
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

PLAIN = "plain"
MAY_BE_EMPTY = ("before", "after", "grip")
MOST_DECISIONS = 5000
MOST_BEATS = 1000

HEAD = """\
# Decisions of an edition: gripway finger SCORE --decisions FILE
# Each says what stands at one place: grip = "T 1 3 | 2 Eb" or grip = "plain", marked unless mark = false;
# mark = false alone leaves the grip open and the place unmarked. bar, beat (quarters from 1), pitch and the
# notes before and after are how the place is found again.
"""


def _pitch(text: str) -> Pitch:
    try:
        return Pitch.parse(text)
    except ValueError:
        raise ValueError(f"{text!r} is no pitch") from None


_PITCH_WORDS = "Write a pitch such as F#6 or Bb5"
_Pitch: Any = spelt(_PITCH_WORDS, _pitch)
_Pitches: Any = spelt(_PITCH_WORDS, lambda text: tuple(map(_pitch, text.split())))
_Grip: Any = spelt(
    "Write the touches pressed: T 1 3 | 2 Eb",
    lambda text: PLAIN if text.casefold() == PLAIN else Grip.parse(text),
)


class _Decision(Table, frozen=True):
    part: str = ""
    bar: Any = None
    beat: Any = None
    pitch: _Pitch = None
    before: _Pitches | None = None
    after: _Pitches | None = None
    grip: _Grip | None = None
    mark: bool | None = None
    reason: str = ""


def read_decisions(path: Path) -> tuple[Decision, ...]:
    """The decisions of a file, in its order.

    Raises DecisionsFileError with file, number of the decision and key.
    """
    return decisions_of(own_text(path, DecisionsFileError), str(path))


def decisions_of(text: str, path: str) -> tuple[Decision, ...]:
    """The same from the text of a file that is called `path`."""
    data = toml_of(text, path, DecisionsFileError, partial(entry_at, "decision"))
    for key in data:
        if key != "decision":
            raise DecisionsFileError("no such table", place=f"{path}: {key}", next_step="Write [[decision]]")
    entries = data.get("decision", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise DecisionsFileError("no list of decisions", place=path, next_step="Write [[decision]]")
    if len(entries) > MOST_DECISIONS:
        raise DecisionsFileError(
            f"has {len(entries)} decisions; at most {MOST_DECISIONS} are read",
            place=path,
            next_step="Write a file a part",
        )
    return tuple(_decision(f"{path}: decision {number}", entry) for number, entry in enumerate(entries, 1))


def _decision(here: str, data: dict[str, Any]) -> Decision:
    """The decision of one table; every error names file, decision and key."""

    def fault(key: str, what: str, next_step: str) -> DecisionsFileError:
        return DecisionsFileError(what, place=f"{here}: {key}", next_step=next_step)

    filled = {key: value for key, value in data.items() if value != "" or key not in MAY_BE_EMPTY}
    said = typed(filled, _Decision, fault)
    for key in ("bar", "pitch"):
        if getattr(said, key) is None:
            raise fault(key, "is missing", 'Write for example bar = "12" and pitch = "F#6"')
    if said.grip is None and said.mark is not False:
        raise fault("grip", "is missing", 'Write grip = "T 1 3 | 2 Eb", grip = "plain", or mark = false')
    if isinstance(said.bar, bool) or not isinstance(said.bar, int | str) or not str(said.bar).strip():
        raise fault("bar", f"{said.bar!r} is no bar", 'Write the number as printed: bar = "12"')
    try:
        beat = _beat(said.beat)
    except (ValueError, ZeroDivisionError):
        raise fault("beat", f"{said.beat!r} is no beat", 'Write 1, 2.5 or "2 1/3"') from None
    place = DecisionPlace(
        bar=str(said.bar).strip(),
        pitch=said.pitch.value,
        part=said.part,
        beat=beat,
        before=said.before.value if said.before else (),
        after=said.after.value if said.after else (),
    )
    grip = said.grip.value if said.grip else None
    plain = grip == PLAIN
    mark = said.grip is not None if said.mark is None else said.mark
    return Decision(place, None if plain else grip, plain, mark, said.reason, here)


def _beat(value: object) -> Fraction | None:
    """A beat from 1, a number or `2 1/3`. Raises ValueError or ZeroDivisionError for what is none."""
    if value is None:
        return None
    words = str(value).split() if isinstance(value, str) else [str(value)]
    beat = sum((Fraction(word) for word in words), Fraction(0))
    if isinstance(value, bool) or not words or not 1 <= beat <= MOST_BEATS:
        raise ValueError
    return beat


def decisions_text(decisions: Iterable[Decision]) -> str:
    """The text of a file of decisions; reading it gives the same decisions."""
    return "\n".join([HEAD, *(_entry(decision) for decision in decisions)])


def _entry(decision: Decision) -> str:
    place = decision.place
    said = {
        "part": place.part,
        "bar": place.bar,
        "beat": _beat_text(place.beat),
        "pitch": place.pitch.name,
        "before": " ".join(pitch.name for pitch in place.before),
        "after": " ".join(pitch.name for pitch in place.after),
        "grip": PLAIN if decision.plain else decision.grip.short if decision.grip else "",
        "mark": None if decision.mark else False,
        "reason": decision.reason,
    }
    lines = [f"{key} = {_toml(value)}" for key, value in said.items() if value not in ("", None)]
    return "\n".join(["[[decision]]", *lines, ""])


def _beat_text(beat: Fraction | None) -> str | int | float | None:
    if beat is None or beat.denominator == 1:
        return None if beat is None else int(beat)
    if (beat * 1000).denominator == 1:
        return float(beat)
    whole = beat.numerator // beat.denominator
    return f"{whole} {beat - whole}"


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
