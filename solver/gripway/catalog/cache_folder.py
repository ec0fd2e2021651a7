"""What was worked out once and may be worked out again: kept as JSON in the user's cache folder.

A file's name carries a digest of everything its content depends on, so that nothing stale is
ever read; files appear whole or not at all; a folder that cannot be written is no trouble.
"""

import hashlib
import json
import os
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

from gripway.catalog.shipped_surveys import as_text, shipped
from gripway.catalog.tables.locator import tables_folder
from gripway.errors import GripwayError
from gripway.files import write_whole

CODE = Path(__file__).parents[2]
"""The folder that gripway's own folder lies in."""

IMPORT = re.compile(rb"^\s*from (gripway\.[\w.]+) import", re.MULTILINE)
"""How our modules import each other: from the leaf, by its full name."""

WORDING = ("gripway.errors", "gripway.display")
"""Modules on which nothing that is worked out depends."""

NEWEST = 3
"""So many files of one kind are kept: versions of gripway that share an account do not make them in turn."""

Data = dict[str, Any]
T = TypeVar("T")

NOT_OURS = (ValueError, TypeError, KeyError, AttributeError)
"""What reading a foreign object may raise."""

FOLDER = "gripway"
NO_CACHE = "GRIPWAY_NO_CACHE"
"""Environment variable that, when set, keeps nothing and reads nothing kept."""


def kept_folder() -> Path:
    """The user's cache folder for gripway, as the system has it (XDG_CACHE_HOME, else ~/.cache, on Linux).

    Raises RuntimeError where there is none.
    """
    from platformdirs import user_cache_path

    folder = user_cache_path(FOLDER, appauthor=False)
    if not folder.is_absolute():
        raise RuntimeError("there is no home folder")
    return folder


def digest(*texts: str, code: Iterable[str], tables: Iterable[str]) -> str:
    """A digest of texts, of tables (files or folders of the tables' folder) and of code.

    `code` are names of modules; all of gripway that they import counts with them, but for WORDING.
    """
    state = hashlib.sha256()
    for place in sorted(tables):
        path = tables_folder() / place
        for file in sorted(path.rglob("*.*")) if path.is_dir() else [path]:
            state.update(f"{file.relative_to(tables_folder()).as_posix()}\0".encode() + file.read_bytes())
    for name, source in sorted(_imported(code).items()):
        state.update(f"\0{name}\0".encode() + source)
    for text in texts:
        state.update(b"\0" + text.encode())
    return state.hexdigest()[:24]


def _imported(modules: Iterable[str]) -> dict[str, bytes]:
    """The source of modules and of all they import of gripway, by name."""
    found: dict[str, bytes] = {}
    waiting = list(modules)
    while waiting:
        name = waiting.pop()
        if name not in found and name not in WORDING:
            found[name] = (CODE / f"{name.replace('.', '/')}.py").read_bytes()
            waiting += [each.decode() for each in IMPORT.findall(found[name])]
    return found


def kept_as(name: str, make: Callable[[], Data | None], read: Callable[[Data], T]) -> T | None:
    """What `read` makes of the kept JSON object of a name, made and kept anew when it cannot be read.

    `read` may raise ValueError, TypeError, KeyError or AttributeError for an object that is
    not its own. What was shipped with the tables comes before what the user's folder keeps.
    """
    if (told := shipped(name)) is not None:
        try:
            return read(told)
        except NOT_OURS:
            pass
    if not os.environ.get(NO_CACHE):
        try:
            found = json.loads((kept_folder() / f"{name}.json").read_bytes())
            if isinstance(found, dict):
                return read(found)
        except (*NOT_OURS, OSError, RuntimeError):  # RuntimeError: no home folder
            pass
    made = make()
    if made is None:
        return None
    if not os.environ.get(NO_CACHE):
        _keep(name, made)
    return read(made)


def _keep(name: str, data: dict[str, Any]) -> None:
    """Write atomically; only the newest files of the kind stay; a folder that takes none is passed over."""
    try:
        folder = kept_folder()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{name}.json"
        write_whole(path, as_text(data))
        kind = name.rpartition("-")[0]
        others = [old for old in folder.glob(f"{kind}-*.json") if old.stem.rpartition("-")[0] == kind]
        others.remove(path)
        others.sort(key=lambda old: (old.stat().st_mtime_ns, old.name), reverse=True)
        for old in others[NEWEST - 1 :]:
            old.unlink(missing_ok=True)
    except (GripwayError, OSError, RuntimeError, ValueError):  # ValueError: another process took it away
        pass
