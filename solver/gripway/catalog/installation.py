"""What is installed here: versions, folders, the player file in use."""

import platform
import sys
from importlib.metadata import PackageNotFoundError, version

from gripway.catalog.kept import kept_folder
from gripway.catalog.own_files.settings import own_player_file, settings_folder
from gripway.catalog.tables.locator import tables_folder

LIBRARIES = ("click", "rich", "numpy", "ortools", "networkx", "pandas", "verovio", "starlette", "uvicorn")
EXTRAS = ("music21", "resvg-py")
NO_HOME = "none: no home folder"


def installation() -> dict[str, str]:
    """Every fact by its name, as text."""
    try:
        cache = str(kept_folder())
    except RuntimeError:
        cache = NO_HOME
    found = own_player_file()
    return {
        "gripway": _version("gripway"),
        "python": f"{platform.python_version()} ({sys.executable})",
        "system": platform.platform(),
        "tables": str(tables_folder()),
        "cache": cache,
        "settings": str(settings_folder() or NO_HOME),
        "player": f"{found[0]} ({found[1]})" if found else "none",
        **{name: _version(name) for name in (*LIBRARIES, *EXTRAS)},
    }


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
