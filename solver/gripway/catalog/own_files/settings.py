"""Where a player's own file is looked for when none is named."""

import os
from pathlib import Path

PLAYER = "GRIPWAY_PLAYER"
"""Environment variable that names a player file; empty: none is wanted."""

FOLDER, FILE = "gripway", "player.toml"


def settings_folder() -> Path | None:
    """The settings folder for gripway, as the system has it (on Linux XDG_CONFIG_HOME, else ~/.config).

    None without a home, and where the system names a relative one, which is to be ignored (XDG Base
    Directory Specification).
    """
    from platformdirs import user_config_path

    folder = user_config_path(FOLDER, appauthor=False)
    return folder if folder.is_absolute() else None


def own_player_file() -> tuple[Path, str] | None:
    """The player file found without being named, and by what; None where there is none."""
    named = os.environ.get(PLAYER)
    if named is not None:
        return (Path(named), PLAYER) if named else None
    folder = settings_folder()
    try:
        if folder is not None and (folder / FILE).is_file():
            return folder / FILE, "the settings folder"
    except (OSError, ValueError):
        return None
    return None
