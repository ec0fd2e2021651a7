"""The table `[measured]` of a player's file, written as text: everything else in the file stays as it is."""

import re
from pathlib import Path

from gripway.catalog.own_files.own_file import text_if_there, toml_of, with_table
from gripway.catalog.own_files.player_file import player_tables
from gripway.errors import PlayerFileError, RequestError
from gripway.files import check_writable, write_whole
from gripway.model.player import OwnTimes

_HEADING = re.compile(r"[ \t]*\[+[^\]\n]*\]+[ \t]*(?:#.*)?")
_OURS = re.compile(r"[ \t]*\[[ \t]*measured[ \t]*\][ \t]*(?:#.*)?")
NOTE = "# Written by gripway own-times: finger times measured from your own recordings."


def measured_text(own: OwnTimes) -> str:
    """The table as TOML.

    A number is written as the value has it.
    """
    lines = [
        "[measured]",
        NOTE,
        f"date = {own.date}",
        f"pairs = {own.pairs}",
        f"takes = {own.takes}",
        f"base_ms = {own.base_ms:g}",
        f"base_spread_ms = {own.base_spread_ms:g}",
        f"weights = {_inline(own.weights)}",
        f"spreads = {_inline(own.spreads)}",
    ]
    if own.line_factor is not None:
        lines += [f"line_factor = {own.line_factor:g}", f"line_spread = {own.line_spread or 0.0:g}"]
    return "\n".join(lines) + "\n"


def with_measured(text: str, own: OwnTimes) -> str:
    """A player file's text with this table in place of the one it has, or at its end."""
    lines = text.splitlines(keepends=True)
    start = next((k for k, line in enumerate(lines) if _OURS.fullmatch(line.rstrip("\r\n"))), None)
    table = measured_text(own)
    if start is None:
        return with_table(text, table)
    end = next(
        (k for k in range(start + 1, len(lines)) if _HEADING.fullmatch(lines[k].rstrip("\r\n"))), len(lines)
    )
    while end > start + 1 and not lines[end - 1].partition("#")[0].strip():  # those belong to what follows
        end -= 1
    return "".join([*lines[:start], table, *lines[end:]])


def write_measured(path: Path, own: OwnTimes) -> None:
    """Write the table into the file, which is made where there is none.

    The new text is read again before anything is written: all other tables must be what they were. Raises
    PlayerFileError for a file that cannot be read or changed so, RequestError where it cannot be written.
    """
    old = text_if_there(path, PlayerFileError)
    player_tables(old, str(path))
    new = with_measured(old, own)
    player_tables(new, str(path))
    before, after = (toml_of(text, str(path), PlayerFileError) for text in (old, new))
    if before | {"measured": after["measured"]} != after:
        raise PlayerFileError(
            "the table cannot be put in without changing others",
            place=f"{path}:measured",
            next_step="Write [measured] as the last table of the file",
        )
    try:
        check_writable(path)
        write_whole(path, new.encode())
    except OSError as problem:
        raise RequestError(
            f"cannot be written: {problem.strerror}", place=str(path), next_step="Name another player file"
        ) from None


def _inline(numbers: tuple[tuple[str, float], ...]) -> str:
    return "{ " + ", ".join(f"{name} = {number:g}" for name, number in numbers) + " }"
