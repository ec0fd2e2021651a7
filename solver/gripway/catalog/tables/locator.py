"""Where tables and manual are: inside the installed package, else in the checkout beside `solver/`."""

from pathlib import Path

_ROOM = Path(__file__).resolve()


def tables_folder() -> Path:
    """The folder of tables of this installation."""
    packaged = _ROOM.parents[2] / "tables"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "tables"


def examples_folder() -> Path:
    """The folder of examples of this installation."""
    packaged = _ROOM.parents[2] / "examples"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "examples"


def manual_folder() -> Path:
    """The folder of the manual's texts of this installation."""
    packaged = _ROOM.parents[2] / "manual"
    return packaged if packaged.is_dir() else _ROOM.parents[4] / "examples" / "manual"
