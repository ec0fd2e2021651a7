"""The tuner's list of a player: where their file says it is; a list that is new is named in the file."""

import re
from pathlib import Path

from gripway.catalog.own_files.own_file import text_if_there, with_table
from gripway.catalog.own_files.player_file import player_tables
from gripway.errors import PlayerFileError
from gripway.files import write_whole

NEW_LIST = "tuner.csv"
"""What the list beside a player file is called that names none."""

_TABLE = re.compile(r"^[ \t]*\[cents\][^\n]*\n?", re.MULTILINE)


def list_of(player_file: Path) -> Path:
    """The tuner's list of a player file: named there, else (or where there is no file) NEW_LIST beside it."""
    file = player_tables(text_if_there(player_file, PlayerFileError), str(player_file))
    return player_file.parent / (file.cents.file or NEW_LIST)


def name_list(player_file: Path) -> bool:
    """Name NEW_LIST in a player file that names no list; whether it was done. All else in it stays as it is.

    A file that is not there is made. Raises PlayerFileError for one that cannot be read, or says it in a
    form that is not added to; the file is then left alone.
    """
    text = text_if_there(player_file, PlayerFileError)
    if player_tables(text, str(player_file)).cents.file:
        return False
    line = f'file = "{NEW_LIST}"\n'
    if table := _TABLE.search(text):
        changed = f"{text[: table.end()]}{line}{text[table.end() :]}"
    else:
        changed = with_table(text, f"[cents]\n{line}")
    try:
        named = player_tables(changed, str(player_file)).cents.file == NEW_LIST
    except PlayerFileError:
        named = False
    if not named:
        raise PlayerFileError(
            "has its tables in a form that is not added to",
            place=str(player_file),
            next_step=f"Write [cents] and {line.strip()} there yourself; the file was left alone",
        )
    write_whole(player_file, changed.encode())
    return True
