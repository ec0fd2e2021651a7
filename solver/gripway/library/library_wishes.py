"""What is asked of every score of a library, and a digest by which a run knows that it is the same."""

from collections.abc import Mapping, Set
from dataclasses import dataclass, field, fields, is_dataclass
from hashlib import sha256
from typing import Any

from gripway.asked.found_wishes import FoundWishes
from gripway.model.house_style import PLAIN_STYLE, HouseStyle
from gripway.model.player import PLAIN_PLAYER, Player
from gripway.score.reading.read_options import ReadOptions


@dataclass(frozen=True, slots=True)
class LibraryWishes:
    """What is asked of every score alike; it travels to other processes.

    `parts` are those to finger in every score, without them all of the flute family (the first part
    where none is). `reports` says whether every part gets its report.
    """

    parts: tuple[str, ...] = ()
    options: ReadOptions = field(default_factory=ReadOptions)
    instrument: str | None = None
    with_parts: tuple[str, ...] = ()
    player: Player = PLAIN_PLAYER
    found: FoundWishes | None = None
    house: HouseStyle = PLAIN_STYLE
    keep_fingerings: bool = False
    reports: bool = False


def identity(*values: Any) -> str:
    """A digest of plain values, equal for equal ones in every process."""
    return sha256("\0".join(map(_plain, values)).encode()).hexdigest()


def _plain(value: Any) -> str:
    """A value as text; the order of sets makes no difference."""
    if is_dataclass(value) and not isinstance(value, type):
        inner = ", ".join(f"{each.name}={_plain(getattr(value, each.name))}" for each in fields(value))
        return f"{type(value).__name__}({inner})"
    if isinstance(value, Mapping):
        return f"{{{', '.join(sorted(f'{_plain(key)}: {_plain(item)}' for key, item in value.items()))}}}"
    if isinstance(value, Set):
        return f"{{{', '.join(sorted(map(_plain, value)))}}}"
    if isinstance(value, tuple | list):
        return f"({', '.join(map(_plain, value))})"
    return repr(value)
