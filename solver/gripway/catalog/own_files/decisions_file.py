"""An editor's decisions as a file: TOML of [[decision]] tables, read strictly and written the same way."""

import json
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import own_toml
from gripway.errors import DecisionsFileError
from gripway.model.decision import Decision, Place
from gripway.model.grip import Grip
from gripway.model.pitch import Pitch

KEYS = ("part", "bar", "beat", "pitch", "before", "after", "grip", "mark", "reason")
"""Keys of a decision, in the order they are written."""

PLAIN = "plain"
MOST_DECISIONS = 5000
MOST_BEATS = 1000

HEAD = """\
# Decisions of an edition: gripway finger SCORE --decisions FILE
# Each says what stands at one place: grip = "T 1 3 | 2 Eb" or grip = "plain", marked unless mark = false;
# mark = false alone leaves the grip open and the place unmarked. bar, beat (quarters from 1), pitch and the
# notes before and after are how the place is found again.
"""


def read_decisions(path: Path) -> tuple[Decision, ...]:
    """The decisions of a file, in its order.

    Raises DecisionsFileError with file, number of the decision and key.
    """
    data = own_toml(path, DecisionsFileError, _decision_at)
    for key in data:
        if key != "decision":
            raise DecisionsFileError("no such table", place=f"{path}: {key}", next_step="Write [[decision]]")
    entries = data.get("decision", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise DecisionsFileError("no list of decisions", place=str(path), next_step="Write [[decision]]")
    if len(entries) > MOST_DECISIONS:
        raise DecisionsFileError(
            f"has {len(entries)} decisions; at most {MOST_DECISIONS} are read",
            place=str(path),
            next_step="Write a file a part",
        )
    return tuple(_Reader(path, number).decision(entry) for number, entry in enumerate(entries, start=1))


def _decision_at(text: str, line: int) -> str:
    """The decision a line stands in, as a place says it."""
    number = sum(each.strip().startswith("[[decision]]") for each in text.splitlines()[:line])
    return f" (decision {number})" if number else ""


class _Reader:
    """Reads one decision; every error names file, decision and key."""

    def __init__(self, path: Path, number: int) -> None:
        self.place = f"{path}: decision {number}"

    def error(self, key: str, what: str, next_step: str) -> DecisionsFileError:
        return DecisionsFileError(what, place=f"{self.place}: {key}", next_step=next_step)

    def decision(self, data: dict[str, Any]) -> Decision:
        """The decision of one table."""
        for key in data:
            if key not in KEYS:
                raise self.error(key, "no such key", f"A decision has {', '.join(KEYS)}")
        for key in ("bar", "pitch"):
            if key not in data:
                raise self.error(key, "is missing", 'Write for example bar = "12" and pitch = "F#6"')
        grip_text = self._text(data, "grip").strip()
        plain = grip_text.casefold() == PLAIN
        mark = data.get("mark", bool(grip_text))
        if not isinstance(mark, bool):
            raise self.error("mark", f"{mark!r} is neither true nor false", "Write true or false")
        if not grip_text and (mark or "mark" not in data):
            raise self.error(
                "grip", "is missing", 'Write grip = "T 1 3 | 2 Eb", grip = "plain", or mark = false'
            )
        place = Place(
            bar=self._bar(data["bar"]),
            pitch=self._pitch("pitch", data["pitch"]),
            part=self._text(data, "part"),
            beat=self._beat(data.get("beat")),
            before=self._pitches(data, "before"),
            after=self._pitches(data, "after"),
        )
        grip = None if plain or not grip_text else self._grip(grip_text)
        return Decision(place, grip, plain, mark, self._text(data, "reason"), self.place)

    def _text(self, data: dict[str, Any], key: str) -> str:
        value = data.get(key, "")
        if not isinstance(value, str):
            raise self.error(key, f"{value!r} is no text", "Write it in quotation marks")
        return value

    def _bar(self, value: object) -> str:
        if isinstance(value, bool) or not isinstance(value, int | str) or not str(value).strip():
            raise self.error("bar", f"{value!r} is no bar", 'Write the number as printed: bar = "12"')
        return str(value).strip()

    def _pitch(self, key: str, value: object) -> Pitch:
        try:
            return Pitch.parse(value if isinstance(value, str) else "")
        except ValueError:
            raise self.error(key, f"{value!r} is no pitch", "Write a pitch such as F#6 or Bb5") from None

    def _pitches(self, data: dict[str, Any], key: str) -> tuple[Pitch, ...]:
        return tuple(self._pitch(key, word) for word in self._text(data, key).split())

    def _beat(self, value: object) -> Fraction | None:
        """A beat from 1, written as a number or as `2 1/3`."""
        if value is None:
            return None
        try:
            words = str(value).split() if isinstance(value, str) else [str(value)]
            beat = sum((Fraction(word) for word in words), Fraction(0))
            if isinstance(value, bool) or not words or not 1 <= beat <= MOST_BEATS:
                raise ValueError
        except (ValueError, ZeroDivisionError):
            raise self.error("beat", f"{value!r} is no beat", 'Write 1, 2.5 or "2 1/3"') from None
        return beat

    def _grip(self, text: str) -> Grip:
        try:
            return Grip.parse(text)
        except ValueError as problem:
            raise self.error("grip", str(problem), "Write the touches pressed: T 1 3 | 2 Eb") from None


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
