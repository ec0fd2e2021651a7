"""What was worked out before the tables were shipped: JSON objects in `tables/surveys/`, read when asked for.

`index.json` says by the name that `cache_folder.py` would keep an object under, which has a digest of all it
depends on, in which file it is: what was worked out from other tables or by other code is never read. The
files are gzip, and equal objects are one file. `python -m tests.acoustics.surveys` writes them.
"""

import json
import zlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from gripway.catalog.tables.locator import our_tables

FOLDER, INDEX, ENDING = "surveys", "index.json", ".json.gz"

GZIP = 16 + zlib.MAX_WBITS
"""How zlib is told of gzip's head and tail; the module gzip would only be one more to load."""

BROKEN = (OSError, ValueError, TypeError, KeyError, zlib.error)
"""What reading a file that is missing or damaged may raise."""


def shipped(name: str) -> dict[str, Any] | None:
    """The shipped JSON object of a name; None where there is none, or none that can be read."""
    folder = our_tables() / FOLDER
    try:
        stem = _index(folder / INDEX).get(name)
        if stem is None:
            return None
        found = json.loads(zlib.decompress((folder / f"{stem}{ENDING}").read_bytes(), GZIP))
    except BROKEN:
        return None
    return found if isinstance(found, dict) else None


@cache
def _index(path: Path) -> dict[str, str]:
    """The file of each name, without its ending."""
    return dict(json.loads(path.read_bytes())) if path.is_file() else {}


def ship(folder: Path, objects: Mapping[str, tuple[str, Mapping[str, Any]]]) -> None:
    """Write files and index anew into a folder: by the name of each object the file it may have, and itself.

    Files of former objects go.
    """
    stems: dict[bytes, str] = {}
    index: dict[str, str] = {}
    for name, (stem, data) in sorted(objects.items(), key=lambda item: (len(item[1][0]), item)):
        index[name] = stems.setdefault(as_text(data), stem)
    for old in folder.glob(f"*{ENDING}"):
        old.unlink()
    for text, stem in stems.items():
        packer = zlib.compressobj(level=9, wbits=GZIP)
        (folder / f"{stem}{ENDING}").write_bytes(packer.compress(text) + packer.flush())
    lines = json.dumps(dict(sorted(index.items())), indent=1)
    (folder / INDEX).write_text(f"{lines}\n", encoding="utf-8", newline="\n")


def as_text(data: Mapping[str, Any]) -> bytes:
    """A JSON object as it is kept and shipped."""
    return json.dumps(data, separators=(",", ":")).encode()
