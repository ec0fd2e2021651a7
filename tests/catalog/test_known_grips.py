"""Known grips added to a player's own file: only they, and nothing where it cannot be done."""

from pathlib import Path

import pytest

from gripway.catalog.own_files.known_grips import add_known
from gripway.catalog.own_files.player_file import read_player
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip

NEW = ("B6", Grip.parse("T L1 L3 | "))
OLD = '"F#6: T L1 L3 | R2 Eb"'

FILES = {
    "empty": "",
    "no table": "# mine\n[dials]\ntuning = 2.0",
    "empty table": "[known]\n[dials]\ntuning = 2.0\n",
    "empty list": "[known]  # by heart\ngrips = [ ]\n",
    "one": f"[known]\ngrips = [{OLD}]   # for years\n\n[dials]\ntuning = 2.0\n",
    "lines": f"[bans]\ngrips = []\n[known]\ngrips = [\n  {OLD},\n]\n",
    "in one line": f"known.grips = [{OLD}]\n",
}


@pytest.mark.parametrize("text", [text for name, text in FILES.items() if name != "in one line"])
def test_a_grip_is_added_and_all_else_stays(tmp_path: Path, text: str) -> None:
    """Read again the file has what it had and the grip; every line of it is still there; twice is once."""
    path = tmp_path / "me.toml"
    path.write_text(text)
    before = read_player(path)
    assert add_known(path, [NEW, NEW]) == 1
    after = read_player(path)
    assert {grip for _, grip in after.known} == {grip for _, grip in before.known} | {NEW[1]}
    assert (after.dials, after.bans) == (before.dials, before.bans)
    changed = path.read_text()
    kept = iter(changed)
    assert all(letter in kept for letter in text)  # in order: only something was put in
    assert add_known(path, [NEW]) == 0
    assert path.read_text() == changed


def test_a_form_that_is_not_added_to_is_refused_and_the_file_left_alone(tmp_path: Path) -> None:
    """A dotted key is TOML too: the grip is told, to be written by hand."""
    path = tmp_path / "me.toml"
    path.write_text(FILES["in one line"])
    with pytest.raises(PlayerFileError, match="form that is not added to") as problem:
        add_known(path, [NEW])
    assert "B6" in problem.value.next_step
    assert path.read_text() == FILES["in one line"]
