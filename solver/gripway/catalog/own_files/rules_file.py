"""A player's own rules: a TOML file of [[rule]] tables, read strictly."""

from functools import partial
from math import inf
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from gripway.catalog.own_files.own_file import entry_at, own_toml
from gripway.catalog.own_files.typed import Table, spelt, typed
from gripway.errors import RulesFileError
from gripway.model.grip import Grip
from gripway.model.passage import DYNAMICS
from gripway.model.pitch import Pitch
from gripway.model.rule import ACTIONS, Holds, Rule, Span, When


def _numbers(text: str) -> tuple[int, ...]:
    return tuple(Pitch.parse(word).number for word in text.split())


def _dynamic(text: str) -> str:
    if text not in DYNAMICS:
        raise ValueError(f"{text!r} is no dynamic")
    return text


def _span(text: str) -> Span:
    first, dash, last = text.partition("-")
    span = Span(True, first.strip(), (last if dash else first).strip())
    if not span.first or not span.last:
        raise ValueError(f"{text!r} is no span of bars")
    return span


def _touches(text: str) -> Holds:
    grip = Grip.parse(text)
    if not grip.touches:
        raise ValueError(f"{text!r} names no touch")
    return Holds(grip, "|" in text)


_Pitch: Any = spelt("Write a pitch such as F#6", lambda text: Pitch.parse(text).number)
_Run: Any = spelt("Write pitches such as F#6 G#6", _numbers)
_Dynamics: Any = spelt(f"Write {', '.join(DYNAMICS)}", _dynamic, several=True)
_Bars: Any = spelt('Write "12-20" or "12"', _span)
_Holds: Any = spelt('Write touches, as "R2 R3", or a whole grip, as "T L1 | Eb"', _touches, several=True)


class _When(Table, frozen=True):
    pitch: _Pitch | None = None
    after: _Pitch | None = None
    before: _Pitch | None = None
    notes: _Run | None = None
    dynamic: _Dynamics | None = None
    bars: _Bars | None = None
    faster_than_ms: Annotated[float, Meta(description="Write milliseconds")] | None = None
    slurred: bool | None = None


class _Rule(Table, frozen=True):
    when: Annotated[_When, Meta(description='Write it as { pitch = "F#6" }')] = _When()
    forbid: _Holds | None = None
    require: _Holds | None = None
    prefer: _Holds | None = None


WHEN_KEYS = _When.__struct_fields__


def read_rules(path: Path) -> tuple[Rule, ...]:
    """The rules of a file, in its order. Raises RulesFileError with file, rule number and key."""
    data = own_toml(path, RulesFileError, partial(entry_at, "rule"))
    for key in data:
        if key != "rule":
            raise RulesFileError("no such table", place=f"{path}: {key}", next_step="Write [[rule]]")
    rules = data.get("rule", [])
    if not isinstance(rules, list) or not rules or not all(isinstance(rule, dict) for rule in rules):
        raise RulesFileError("has no rules", place=str(path), next_step="Write each rule below a [[rule]]")
    return tuple(_rule(path, number, rule) for number, rule in enumerate(rules, start=1))


def _rule(path: Path, number: int, data: object) -> Rule:
    """One rule; every error names file, rule and key."""

    def fault(key: str, what: str, next_step: str) -> RulesFileError:
        place = f"{path}: rule {number}" + (f": {key}" if key else "")
        return RulesFileError(what, place=place, next_step=next_step)

    rule = typed(data, _Rule, fault)
    asked = [action for action in ACTIONS if getattr(rule, action) is not None]
    if len(asked) != 1:
        what = f"{' and '.join(asked) or 'nothing'} is asked for"
        raise fault("", what, f"Write one of {', '.join(ACTIONS)}")
    when, ms = rule.when, rule.when.faster_than_ms
    if ms is not None and not 0 < ms < inf:
        raise fault("when.faster_than_ms", f"{ms:g} ms is no length of a note", "Give more than 0")
    return Rule(
        f"{path.name}: rule {number}",
        When(
            pitch=when.pitch and when.pitch.value,
            after=when.after and when.after.value,
            before=when.before and when.before.value,
            run=when.notes.value if when.notes else (),
            dynamics=frozenset(when.dynamic.value if when.dynamic else ()),
            span=when.bars and when.bars.value,
            faster_than_ms=ms,
            slurred=when.slurred,
        ),
        asked[0],
        getattr(rule, asked[0]).value,
    )
