"""What was worked out once and may be worked out again: kept as JSON in the user's cache folder.

A file's name carries a digest of everything its content depends on, so that nothing stale is
ever read; files appear whole or not at all; a folder that cannot be written is no trouble.
"""

import hashlib
import json
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

from gripway.catalog.tables.locator import tables_folder
from gripway.errors import GripwayError
from gripway.files import write_whole

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


def digest(*texts: str, code: Path, also: Iterable[Path] = ()) -> str:
    """A digest of all tables, of the Python files in the rooms of `code` and of `also`, and of texts."""
    state = hashlib.sha256()
    files = [*sorted(tables_folder().rglob("*.csv")), *sorted(tables_folder().rglob("*.toml"))]
    for folder in dict.fromkeys(path.parent for path in (code, *also)):
        files += sorted(folder.rglob("*.py"))
    for path in files:
        state.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    for text in texts:
        state.update(text.encode() + b"\0")
    return state.hexdigest()[:24]


def kept(name: str, make: Callable[[], Data | None]) -> Data | None:
    """The kept JSON object of a name, made and kept when there is none that can be read."""
    return kept_as(name, make, lambda data: data)


def kept_as(name: str, make: Callable[[], Data | None], read: Callable[[Data], T]) -> T | None:
    """What `read` makes of the kept JSON object of a name, made and kept anew when it cannot be read.

    `read` may raise ValueError, TypeError, KeyError or AttributeError for an object that is
    not its own.
    """
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
    """Write atomically; a folder that cannot be written is passed over, older files of the kind go."""
    try:
        folder = kept_folder()
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(folder / f"{name}.json", json.dumps(data, separators=(",", ":")).encode())
        kind = name.rpartition("-")[0]
        for old in folder.glob(f"{kind}-*.json"):
            if old.stem != name and old.stem.rpartition("-")[0] == kind:
                old.unlink(missing_ok=True)
    except (GripwayError, OSError, RuntimeError):
        pass
