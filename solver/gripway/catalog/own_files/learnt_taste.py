"""Dials and known grips that were learnt, put into the player's own file; all else in it stays as it is."""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from gripway.catalog.own_files.known_grips import with_known
from gripway.catalog.own_files.own_file import own_text, with_table
from gripway.catalog.own_files.player_file import PlayerFile, given, player_tables
from gripway.errors import PlayerFileError
from gripway.files import check_writable, write_whole
from gripway.model.grip import Grip

SAID = "gripway taste"

_TABLE = re.compile(r"^[ \t]*\[dials\][^\n]*(?:\n|\Z)", re.MULTILINE)
_NEXT_TABLE = re.compile(r"^[ \t]*\[", re.MULTILINE)
_SAID_BEFORE = re.compile(rf"^[ \t]*# \d{{4}}-\d\d-\d\d {SAID}: [^\n]*\n", re.MULTILINE)


def write_learnt(
    path: Path, dials: Mapping[str, float], known: Sequence[tuple[str, Grip]], date: str, counts: str
) -> None:
    """Set these dials in a player file and add these grips (pitch name, grip) to its known ones.

    A comment above the dials has the date and the counts; an earlier one of ours gives way to it. A file
    that is not there is made. Raises PlayerFileError for one that cannot be read, or that says its dials or
    grips in a form that is not written to, RequestError for what cannot be written; it is then left alone.
    """
    text = own_text(path, PlayerFileError) if check_writable(path) is not None else ""
    before = player_tables(text, str(path))
    changed = _with_dials(text, dials, f"# {date} {SAID}: {counts}\n")
    wanted = dict(given(before.dials)) | dict(dials)
    try:
        changed = with_known(changed, str(path), known)
        kept = _as_wanted(before, player_tables(changed, str(path)), wanted)
    except PlayerFileError:
        kept = False
    if not kept:
        lines = [f"dials.{name} = {value:g}" for name, value in dials.items()]
        raise PlayerFileError(
            "has its dials or known grips in a form that is not written to",
            place=str(path),
            next_step=f"Write them there yourself: {', '.join(lines)}; the file was left alone",
        )
    write_whole(path, changed.encode())


def _as_wanted(before: PlayerFile, after: PlayerFile, dials: Mapping[str, float]) -> bool:
    """Whether only the dials have changed, to these; the known grips are looked at by who adds them."""
    same = ("flute", "hands", "bans", "cents")
    return dict(given(after.dials)) == dict(dials) and all(
        getattr(before, name) == getattr(after, name) for name in same
    )


def _with_dials(text: str, dials: Mapping[str, float], said: str) -> str:
    """The text with these dials: in their lines, in new ones of their table, or in a new table at the end."""
    table = _TABLE.search(text)
    if table is None:
        lines = "".join(f"{name} = {value:g}\n" for name, value in dials.items())
        return with_table(text, f"[dials]\n{said}{lines}")
    ends = _NEXT_TABLE.search(text, table.end())
    end = ends.start() if ends else len(text)
    inside = _SAID_BEFORE.sub("", text[table.end() : end])
    new = said
    for name, value in dials.items():
        line = re.compile(rf"^([ \t]*{name}[ \t]*=[ \t]*)[^\s#]+", re.MULTILINE)
        if line.search(inside):
            inside = line.sub(rf"\g<1>{value:g}", inside, count=1)
        else:
            new += f"{name} = {value:g}\n"
    head = text[: table.end()]
    return f"{head}{'' if head.endswith(chr(10)) else chr(10)}{new}{inside}{text[end:]}"
