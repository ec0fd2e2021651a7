"""What is installed here: versions, folders, the player file in use."""

import platform
import re
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, files, metadata, requires, version

from gripway.catalog.cache_folder import kept_folder
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


@dataclass(frozen=True, slots=True)
class Library:
    """A library gripway uses: its version (empty: not installed), its licence, the extra that brings it."""

    name: str
    version: str
    licence: str
    extra: str = ""


def libraries() -> tuple[Library, ...]:
    """Every library gripway needs or can use, and the faces it brings, those of no extra first.

    What only developers need is left out.
    """
    found: dict[str, Library] = {face.name: face for face in FACES}
    for text in requires("gripway") or ():
        name, _, condition = text.partition(";")
        (extra,) = re.findall(r"""extra\s*==\s*["']([\w-]+)""", condition) or [""]
        plain = re.split(r"[\s<>=!~\[(]", name.strip())[0]
        if extra != DEVELOPERS and plain != "gripway":
            found.setdefault(plain, Library(plain, _there(plain), _licence(plain), extra))
    return tuple(sorted(found.values(), key=lambda each: (each.extra, each.name)))


FACES = (
    Library("source-sans", "3.52.0", "OFL-1.1"),
    Library("source-serif", "4.5.1", "OFL-1.1"),
    Library("leipzig", "1.0", "OFL-1.1"),
)
"""What the faces in `web/static/faces/`, which are shipped, were cut from; OFL.txt there has the licence."""

DEVELOPERS = "dev"
"""The extra that only developers need."""

CLASSIFIER = "License :: "


def _there(name: str) -> str:
    found = _version(name)
    return "" if found == NOT_INSTALLED else found


def _licence(name: str) -> str:
    """The licence a library states (an expression, classifiers, a text), or where its text is."""
    try:
        told, files_of = metadata(name), files(name) or ()
    except PackageNotFoundError:
        return ""
    classes = [text for text in told.get_all("Classifier") or () if text.startswith(CLASSIFIER)]
    named = [text.rpartition(" :: ")[2] for text in classes]
    told_at = next((str(path) for path in files_of if path.stem == "LICENSE"), "")
    stated = {key: told[key] for key in ("License", "License-Expression") if key in told}
    text = next((line.strip() for line in stated.get("License", "").splitlines() if line.strip()), "")
    text = text or (f"see {told_at}" if told_at else "not stated")
    return stated.get("License-Expression") or ", ".join(named) or text


NOT_INSTALLED = "not installed"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return NOT_INSTALLED
