"""Where a player's own file is looked for when none is named."""

import os
from pathlib import Path

PLAYER = "GRIPWAY_PLAYER"
"""Environment variable that names a player file; empty: none is wanted."""

FOLDER, FILE = "gripway", "player.toml"


def settings_folder() -> Path | None:
    """The user's settings folder for gripway (XDG_CONFIG_HOME, else ~/.config); None without a home."""
    base = os.environ.get("XDG_CONFIG_HOME", "")
    if os.path.isabs(base):  # a relative one is to be ignored (XDG Base Directory Specification)
        return Path(base) / FOLDER
    try:
        return Path.home() / ".config" / FOLDER
    except RuntimeError:
        return None


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
