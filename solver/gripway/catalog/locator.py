"""Where the tables are: inside the installed package, else in the checkout beside `solver/`."""

from importlib.resources import files
from pathlib import Path


def tables_folder() -> Path:
    """The folder of tables of this installation."""
    packaged = Path(str(files("gripway"))) / "tables"
    return packaged if packaged.is_dir() else Path(__file__).resolve().parents[3] / "tables"
