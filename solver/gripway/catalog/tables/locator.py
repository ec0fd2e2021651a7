"""Where tables and manual are: inside the installed package, else in the checkout beside `solver/`.

A folder of the user's own tables lies over ours: what it holds counts in place of ours, what it
does not hold is ours.
"""

import atexit
import os
from functools import cache
from pathlib import Path

from gripway.errors import RequestError

OWN_TABLES = "GRIPWAY_TABLES"
"""Environment variable that names a folder of the user's own tables; empty: none."""

_ROOM = Path(__file__).resolve()


def tables_folder() -> Path:
    """The folder of tables: of this installation, with the user's own over them where there are some.

    Raises RequestError for a folder of their own that holds no table.
    """
    own = os.environ.get(OWN_TABLES)
    return _over_ours(Path(own)) if own else our_tables()


@cache
def our_tables() -> Path:
    """The folder of tables of this installation."""
    packaged = _ROOM.parents[2] / "tables"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "tables"


def own_tables(own: Path) -> tuple[str, ...]:
    """The tables in a folder of the user's own, as paths below it. RequestError where it holds none."""
    kinds = {path.name for path in our_tables().iterdir()}
    found = [path.relative_to(own) for path in sorted(own.rglob("*")) if path.suffix in (".csv", ".toml")]
    tables = tuple(path.as_posix() for path in found if path.parts[0] in kinds)
    if not tables:
        what = "there is no table in this folder" if own.is_dir() else "there is no such folder"
        raise RequestError(
            what,
            place=str(own),
            next_step="Lay tables out as ours: instruments/NAME/instrument.toml, grips/NAME.csv",
        )
    return tables


@cache
def _over_ours(own: Path) -> Path:
    """A folder with our tables and a user's own over them, which goes with the process."""
    import shutil
    import tempfile

    tables = own_tables(own)
    whole = Path(tempfile.mkdtemp(prefix="gripway-tables-"))
    atexit.register(shutil.rmtree, whole, ignore_errors=True)
    for source, names in ((our_tables(), _files(our_tables())), (own, tables)):
        for name in names:
            target = whole / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes((source / name).read_bytes())
    return whole


def _files(folder: Path) -> tuple[str, ...]:
    return tuple(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def examples_folder() -> Path:
    """The folder of examples of this installation."""
    packaged = _ROOM.parents[2] / "examples"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "examples"


def manual_folder() -> Path:
    """The folder of the manual's texts of this installation."""
    packaged = _ROOM.parents[2] / "manual"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "examples" / "manual"
