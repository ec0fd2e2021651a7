"""Grips that a player has come to know, added to the player's own file; all else in it stays as it is."""

import re
from collections.abc import Sequence
from pathlib import Path

from gripway.catalog.own_files.own_file import own_text
from gripway.catalog.own_files.player_file import player_tables
from gripway.errors import PlayerFileError
from gripway.files import write_whole
from gripway.model.grip import Grip

_TABLE = re.compile(r"^[ \t]*\[known\][^\n]*\n?", re.MULTILINE)
_GRIPS = re.compile(r"^[ \t]*grips[ \t]*=[ \t]*\[", re.MULTILINE)
_NEXT_TABLE = re.compile(r"^[ \t]*\[", re.MULTILINE)


def add_known(path: Path, grips: Sequence[tuple[str, Grip]]) -> int:
    """Add grips (pitch name, grip) to `known.grips` of a player file; how many were not there yet.

    Raises PlayerFileError for a file that cannot be read, or that says it in a form that is not added to;
    the file is then left alone.
    """
    text = own_text(path, PlayerFileError)
    changed = with_known(text, str(path), grips)
    if changed != text:
        write_whole(path, changed.encode())
    return len(_known(changed, str(path))) - len(_known(text, str(path)))


def with_known(text: str, name: str, grips: Sequence[tuple[str, Grip]]) -> str:
    """The text of a player file, called `name`, with these grips among its known ones.

    Raises PlayerFileError as `add_known`.
    """
    has = _known(text, name)
    entries = dict.fromkeys(f"{pitch}: {grip}" for pitch, grip in grips)
    new = [entry for entry in entries if _value(entry) not in has]
    if not new:
        return text
    changed = _with(text, ", ".join(f'"{entry}"' for entry in new))
    try:
        held = _known(changed, name) == has | {_value(entry) for entry in new}
    except PlayerFileError:
        held = False
    if not held:
        raise PlayerFileError(
            "has its known grips in a form that is not added to",
            place=name,
            next_step=f"Write them there yourself: {', '.join(new)}; the file was left alone",
        )
    return changed


def _known(text: str, name: str) -> set[object]:
    """The known grips of a player file."""
    return {entry.value for entry in player_tables(text, name).known.grips}


def _value(entry: str) -> object:
    """A known grip as the file's reader has it."""
    return player_tables(f'[known]\ngrips = ["{entry}"]\n', "").known.grips[0].value


def _with(text: str, entries: str) -> str:
    """The text with entries in `known.grips`: in its list, in a new list, or in a new table at the end."""
    table = _TABLE.search(text)
    if table is None:
        return (
            f"{text}{'' if text.endswith(chr(10)) or not text else chr(10)}\n[known]\ngrips = [{entries}]\n"
        )
    ends = _NEXT_TABLE.search(text, table.end())
    listed = _GRIPS.search(text, table.end(), ends.start() if ends else len(text))
    if listed is None:
        return f"{text[: table.end()]}grips = [{entries}]\n{text[table.end() :]}"
    empty = text[listed.end() :].lstrip().startswith("]")
    return f"{text[: listed.end()]}{entries}{'' if empty else ', '}{text[listed.end() :]}"
