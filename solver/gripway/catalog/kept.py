"""What was worked out once and may be worked out again: kept as JSON in the user's cache folder.

A file's name carries a digest of everything its content depends on, so that nothing stale is
ever read; files appear whole or not at all; a folder that cannot be written is no trouble.
"""

import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from gripway.catalog.locator import tables_folder

FOLDER = "gripway"
NO_CACHE = "GRIPWAY_NO_CACHE"
"""Environment variable that, when set, keeps nothing and reads nothing kept."""


def kept_folder() -> Path:
    """The user's cache folder for gripway (XDG_CACHE_HOME, else ~/.cache)."""
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / FOLDER


def digest(*texts: str, code: Path) -> str:
    """A digest of all tables, of the Python files beside `code`, and of some texts."""
    state = hashlib.sha256()
    files = [*sorted(tables_folder().rglob("*.csv")), *sorted(tables_folder().rglob("*.toml"))]
    for path in (*files, *sorted(code.parent.glob("*.py"))):
        state.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    for text in texts:
        state.update(text.encode() + b"\0")
    return state.hexdigest()[:24]


def kept(name: str, make: Callable[[], dict[str, Any] | None]) -> dict[str, Any] | None:
    """The kept JSON object of a name, made and kept when there is none that can be read."""
    if os.environ.get(NO_CACHE):
        return make()
    try:
        path = kept_folder() / f"{name}.json"
        found = json.loads(path.read_bytes())
        if isinstance(found, dict):
            return found
    except (OSError, ValueError, RuntimeError):  # RuntimeError: no home folder
        pass
    made = make()
    if made is not None:
        _keep(name, made)
    return made


def _keep(name: str, data: dict[str, Any]) -> None:
    """Write atomically; a folder that cannot be written is passed over, older files of the kind go."""
    try:
        folder = kept_folder()
        folder.mkdir(parents=True, exist_ok=True)
        fresh = folder / f".{name}.{os.getpid()}"
        fresh.write_text(json.dumps(data, separators=(",", ":")), encoding="utf-8")
        fresh.replace(folder / f"{name}.json")
        kind = name.rpartition("-")[0]
        for old in folder.glob(f"{kind}-*.json"):
            if old.stem != name and old.stem.rpartition("-")[0] == kind:
                old.unlink(missing_ok=True)
    except (OSError, RuntimeError):
        return
