"""A folder of the user's own tables, taken up while a program runs."""

import os
import sys
from pathlib import Path

from gripway.catalog.tables.locator import OWN_TABLES, own_tables


def use_own_tables(folder: Path | None) -> tuple[str, ...]:
    """The tables in a folder, which count over ours from now on; None: ours alone again.

    What was read before is forgotten. Raises RequestError for a folder without a table.
    """
    found = () if folder is None else own_tables(folder)
    os.environ[OWN_TABLES] = "" if folder is None else str(folder.absolute())
    for name, module in list(sys.modules.items()):
        if name.startswith("gripway."):
            for value in list(vars(module).values()):
                if getattr(value, "__module__", "") == name and hasattr(value, "cache_clear"):
                    value.cache_clear()
    return found
