"""The table `[measured]` of a player's file: written beside everything else, read strictly, with places."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gripway.catalog.own_files.measured_table import measured_text, with_measured, write_measured
from gripway.catalog.own_files.player_file import read_player
from gripway.errors import PlayerFileError, RequestError
from gripway.model.mechanism import FINGERS
from gripway.model.player import OwnTimes

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "player.toml"
OWN = OwnTimes(
    date="2026-11-20",
    pairs=12,
    takes=36,
    base_ms=101.5,
    base_spread_ms=4.0,
    weights=tuple((finger, 1.1) for finger in FINGERS),
    spreads=tuple((finger, 0.1) for finger in FINGERS),
    line_factor=1.05,
    line_spread=0.06,
)


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    """Into a new file, and again over what stands there."""
    path = tmp_path / "me.toml"
    write_measured(path, OWN)
    assert read_player(path).own_times == OWN
    newer = OwnTimes("2026-12-24", 9, 27, 99.0, 3.0, OWN.weights, OWN.spreads)
    write_measured(path, newer)
    assert read_player(path).own_times == newer
    assert path.read_text(encoding="utf-8").count("[measured]") == 1


def test_everything_else_in_the_file_stays(tmp_path: Path) -> None:
    """Comments and all, letter by letter, with the table at the end or in the middle."""
    text = EXAMPLE.read_text(encoding="utf-8")
    path = tmp_path / "player.toml"
    (tmp_path / "tuner.csv").write_bytes((EXAMPLE.parent / "tuner.csv").read_bytes())
    path.write_text(text, encoding="utf-8")
    write_measured(path, OWN)
    assert path.read_text(encoding="utf-8") == f"{text}\n{measured_text(OWN)}"
    middle = with_measured(f"{measured_text(OWN)}\n{text}", OWN)
    assert middle == f"{measured_text(OWN)}\n{text}"


@given(st.lists(st.sampled_from(EXAMPLE.read_text(encoding="utf-8").split("\n\n")), unique=True))
def test_any_order_of_tables_stays(blocks: list[str]) -> None:
    """Whatever tables the file has, and in which order, they mean the same afterwards."""
    text = "\n\n".join(blocks)
    once = with_measured(text, OWN)
    assert tomllib.loads(once) == tomllib.loads(text) | {
        "measured": tomllib.loads(measured_text(OWN))["measured"]
    }
    assert with_measured(once, OWN) == once


def test_a_file_that_cannot_be_changed_safely_stays(tmp_path: Path) -> None:
    """A table [measured] inside a text of several lines, or a file with a fault: refused, untouched."""
    for text, error in (
        ('[known]\ngrips = ["""\n[measured]\n"""]\n', PlayerFileError),
        ("[dials]\nspeed = 9\n", PlayerFileError),
        ("measured.pairs = 3\n", PlayerFileError),
    ):
        path = tmp_path / "me.toml"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(error):
            write_measured(path, OWN)
        assert path.read_text(encoding="utf-8") == text
    with pytest.raises((RequestError, PlayerFileError)):
        write_measured(tmp_path, OWN)


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("base_ms = 101.5\n", "", "measured.base_ms", "is missing"),
        ("date = 2026-11-20\n", "", "measured.date", "is missing"),
        ("date = 2026-11-20", 'date = "soon"', "measured.date", "Write it as 2026-11-20"),
        ("base_ms = 101.5", "base_ms = 3", "measured.base_ms", "not from 20 to 1000"),
        ("LT = 1.1, ", "", "measured.weights", "no weight of LT"),
        ("LT = 1.1", "XX = 1.1", "measured.weights.XX", "no such key"),
        ("L1 = 1.1", "L1 = 50", "measured.weights.L1", "not from 0.5 to 5"),
        ("pairs = 12", "pairs = -1", "measured.pairs", "not from 0"),
        ("takes = 36", "takes = 36\nbest = 1", "measured.best", "no such key"),
        ("line_factor = 1.05", "line_factor = 9", "measured.line_factor", "not from 0.3 to 5"),
    ],
)
def test_a_fault_is_named_with_its_key(tmp_path: Path, old: str, new: str, key: str, words: str) -> None:
    """Every key is read strictly: the place is file:key, and the next step is said."""
    path = tmp_path / "me.toml"
    text = measured_text(OWN)
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(PlayerFileError, match=words) as told:
        read_player(path)
    assert told.value.place == f"{path}:{key}"
    assert told.value.next_step
