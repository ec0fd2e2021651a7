"""A player's own rules: a TOML file of [[rule]] tables, read strictly."""

from collections.abc import Iterator
from math import isfinite
from pathlib import Path
from typing import Any

from gripway.catalog.own_files.own_file import own_toml
from gripway.errors import RulesFileError
from gripway.model.grip import TOUCHES, Grip
from gripway.model.passage import DYNAMICS
from gripway.model.pitch import NotAPitchError, Pitch
from gripway.model.rule import ACTIONS, Holds, Rule, Span, When

WHEN_KEYS = ("pitch", "after", "before", "notes", "dynamic", "bars", "faster_than_ms", "slurred")


def read_rules(path: Path) -> tuple[Rule, ...]:
    """The rules of a file, in its order. Raises RulesFileError with file, rule number and key."""
    data = own_toml(path, RulesFileError, _rule_at)
    for key in data:
        if key != "rule":
            raise RulesFileError("no such table", place=f"{path}: {key}", next_step="Write [[rule]]")
    rules = data.get("rule", [])
    if not isinstance(rules, list) or not rules or not all(isinstance(rule, dict) for rule in rules):
        raise RulesFileError("has no rules", place=str(path), next_step="Write each rule below a [[rule]]")
    return tuple(_Reader(path, number).rule(rule) for number, rule in enumerate(rules, start=1))


def _rule_at(text: str, line: int) -> str:
    """The rule a line stands in, as a place says it."""
    rule = sum(each.strip().startswith("[[rule]]") for each in text.splitlines()[:line])
    return f" (rule {rule})" if rule else ""


class _Reader:
    """Reads one rule; every error names file, rule and key."""

    def __init__(self, path: Path, number: int) -> None:
        self.place = f"{path.name}: rule {number}"
        self.errors_at = f"{path}: rule {number}"

    def error(self, key: str, what: str, next_step: str) -> RulesFileError:
        return RulesFileError(what, place=f"{self.errors_at}: {key}", next_step=next_step)

    def rule(self, data: dict[str, Any]) -> Rule:
        for key in data:
            if key not in ("when", *ACTIONS):
                raise self.error(key, "no such key", f"A rule has when and one of {', '.join(ACTIONS)}")
        asked = [action for action in ACTIONS if action in data]
        if len(asked) != 1:
            raise RulesFileError(
                f"{' and '.join(asked) or 'nothing'} is asked for",
                place=self.errors_at,
                next_step=f"Write one of {', '.join(ACTIONS)}",
            )
        when = data.get("when", {})
        if not isinstance(when, dict):
            raise self.error("when", "not a table", 'Write it as { pitch = "F#6" }')
        return Rule(self.place, self._when(when), asked[0], tuple(self._holds(asked[0], data[asked[0]])))

    def _when(self, when: dict[str, Any]) -> When:
        for key in when:
            if key not in WHEN_KEYS:
                raise self.error(f"when.{key}", "no such key", f"when has {', '.join(WHEN_KEYS)}")
        slurred = when.get("slurred")
        if slurred is not None and not isinstance(slurred, bool):
            raise self.error("when.slurred", f"{slurred!r} is neither true nor false", "Write true or false")
        return When(
            pitch=self._pitch(when, "pitch"),
            after=self._pitch(when, "after"),
            before=self._pitch(when, "before"),
            run=self._run(when),
            dynamics=frozenset(self._dynamics(when)),
            span=self._bars(when),
            faster_than_ms=self._ms(when),
            slurred=slurred,
        )

    def _text(self, key: str, value: object) -> str:
        if not isinstance(value, str):
            raise self.error(key, f"{value!r} is not a text", "Put it in quotes")
        if not value.strip():
            raise self.error(key, "the text is empty", "Write something in it, or leave the line out")
        return value.strip()

    def _number(self, key: str, text: str) -> int:
        try:
            return Pitch.parse(text).number
        except NotAPitchError as problem:
            raise self.error(key, problem.what, problem.next_step) from None

    def _pitch(self, when: dict[str, Any], key: str) -> int | None:
        return self._number(f"when.{key}", self._text(f"when.{key}", when[key])) if key in when else None

    def _run(self, when: dict[str, Any]) -> tuple[int, ...]:
        if "notes" not in when:
            return ()
        words = self._text("when.notes", when["notes"]).split()
        return tuple(self._number("when.notes", word) for word in words)

    def _dynamics(self, when: dict[str, Any]) -> Iterator[str]:
        if "dynamic" not in when:
            return
        for dynamic in self._texts("when.dynamic", when["dynamic"]):
            if dynamic not in DYNAMICS:
                raise self.error("when.dynamic", f"{dynamic!r} is no dynamic", f"Write {', '.join(DYNAMICS)}")
            yield dynamic

    def _bars(self, when: dict[str, Any]) -> Span | None:
        if "bars" not in when:
            return None
        first, dash, last = self._text("when.bars", when["bars"]).partition("-")
        first, last = first.strip(), (last if dash else first).strip()
        if not first or not last:
            raise self.error("when.bars", f"{when['bars']!r} is no span of bars", 'Write "12-20" or "12"')
        return Span(True, first, last)

    def _ms(self, when: dict[str, Any]) -> float | None:
        if "faster_than_ms" not in when:
            return None
        value = when["faster_than_ms"]
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise self.error("when.faster_than_ms", f"{value!r} is not a number", "Write milliseconds")
        if not isfinite(value) or value <= 0:
            raise self.error(
                "when.faster_than_ms", f"{value:g} ms is no length of a note", "Give more than 0"
            )
        return float(value)

    def _texts(self, key: str, value: object) -> list[str]:
        values = value if isinstance(value, list) else [value]
        if not values:
            raise self.error(key, "the list is empty", "Name one at least")
        return [self._text(key, each) for each in values]

    def _holds(self, key: str, value: object) -> Iterator[Holds]:
        for text in self._texts(key, value):
            try:
                grip = Grip.parse(text)
                if not grip.touches:
                    raise ValueError(f"{text!r} names no touch")
            except ValueError as problem:
                what = str(problem).split(";")[0]
                raise self.error(key, what, f"The touches are {' '.join(TOUCHES)}") from None
            yield Holds(grip, "|" in text)
