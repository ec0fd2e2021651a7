"""What was learnt, put into a player's file: dials and known grips, and nothing else."""

from pathlib import Path

import pytest

from gripway.catalog.own_files.learnt_taste import write_learnt
from gripway.catalog.own_files.player_file import read_player
from gripway.errors import PlayerFileError
from gripway.model.grip import Grip

DIALS = {"tuning": 2.0, "learning": 0.4}
KNOWN = [("B6", Grip.parse("T L1 L3 | "))]
DATE, COUNTS = "2026-11-29", "93 of 100 held-out marks, 71 before"

FILES = {
    "empty": "",
    "no dials": '# mine\n[flute]\nparts = ["split-e"]',
    "one dial": "[dials]  # 0 to 4\ntuning = 1.5   # the ear\nspeed = 1\n\n[hands]\nslower = { R4 = 1.2 }\n",
    "table at the end": '[bans]\nkinds = ["harmonic"]\n[dials]',
    "written before": "[dials]\n# 2026-01-02 gripway taste: 9 of 12\nlearning = 0.7\n",
}


@pytest.mark.parametrize("text", FILES.values(), ids=FILES)
def test_dials_and_grips_are_set_and_all_else_stays(tmp_path: Path, text: str) -> None:
    """Read again it has the dials, the grip, and what else it had; comments stay, ours is there once."""
    path = tmp_path / "me.toml"
    path.write_text(text)
    before = read_player(path)
    write_learnt(path, DIALS, KNOWN, DATE, COUNTS)
    after = read_player(path)
    assert dict(after.dials) == dict(before.dials) | DIALS
    assert {grip for _, grip in after.known} == {KNOWN[0][1]}
    assert (after.parts, after.bans, after.finger_factors) == (
        before.parts,
        before.bans,
        before.finger_factors,
    )
    changed = path.read_text()
    assert changed.count("gripway taste") == 1
    assert f"# {DATE} gripway taste: {COUNTS}\n" in changed
    for comment in ("# mine", "# 0 to 4", "# the ear"):
        assert (comment in changed) == (comment in text)
    write_learnt(path, DIALS, KNOWN, DATE, COUNTS)
    assert path.read_text() == changed


def test_a_file_that_is_not_there_is_made(tmp_path: Path) -> None:
    """With the dials alone."""
    path = tmp_path / "new.toml"
    write_learnt(path, DIALS, [], DATE, COUNTS)
    assert dict(read_player(path).dials) == DIALS


@pytest.mark.parametrize("text", ["dials.tuning = 1.0\n", "dials = { tuning = 1.0 }\n"])
def test_a_form_that_is_not_written_to_is_refused_and_the_file_left_alone(tmp_path: Path, text: str) -> None:
    """Dotted keys and tables in a line are TOML too: the lines are told, to be written by hand."""
    path = tmp_path / "me.toml"
    path.write_text(text)
    with pytest.raises(PlayerFileError, match="form that is not written to") as problem:
        write_learnt(path, DIALS, [], DATE, COUNTS)
    assert "dials.tuning = 2" in problem.value.next_step
    assert path.read_text() == text
