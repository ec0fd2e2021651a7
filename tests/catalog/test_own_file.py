"""A player's own files: what is out of all bounds is named with its place, and never a traceback."""

from collections.abc import Callable
from pathlib import Path

import pytest

from gripway.catalog.own_files.house_style_file import read_house_style
from gripway.catalog.own_files.own_file import LARGEST_NUMBER, MOST_BYTES
from gripway.catalog.own_files.player_file import read_player
from gripway.catalog.own_files.rules_file import read_rules
from gripway.catalog.own_files.tuner_list import read_cents
from gripway.errors import GripwayError

READERS: tuple[Callable[[Path], object], ...] = (read_player, read_house_style, read_rules)

ODD = {
    "deep lists": ("a = " + "[" * 5000, "too deep"),
    "deep tables": ("[" + ".".join("abcdefghijklmnop") + "]\nx = 1\n", "too deep"),
    "5000 digits": ("[dials]\n\ntuning = " + "9" * 5000, "line 3: is no TOML: a number has too many digits"),
    "400 digits": ("[dials]\ntuning = " + "9" * 400, ":dials.tuning: the number is out of all bounds"),
    "too large": (
        f"[dials]\ntuning = {LARGEST_NUMBER + 1}",
        ":dials.tuning: the number is out of all bounds",
    ),
    "long text": (
        '[flute]\ninstrument = "' + "a" * 20_000 + '"',
        ":flute.instrument: the text has 20000 signs",
    ),
    "no end": ("[dials\n", "line 1: is no TOML"),
}


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("case", ODD)
def test_odd_values_are_errors_with_their_place(
    reader: Callable[[Path], object], case: str, tmp_path: Path
) -> None:
    """File, and line or key; the same for player, house style and rules."""
    text, said = ODD[case]
    path = tmp_path / "own.toml"
    path.write_text(text)
    with pytest.raises(GripwayError) as caught:
        reader(path)
    assert str(caught.value).startswith(str(path))
    assert said in str(caught.value)
    assert caught.value.next_step
    assert len(str(caught.value)) < 2000


@pytest.mark.parametrize("reader", [*READERS, lambda path: list(read_cents(path))])
def test_a_file_is_read_up_to_a_bound(reader: Callable[[Path], object], tmp_path: Path) -> None:
    """A byte more than the bound is refused, as is a file without end."""
    path = tmp_path / "own.toml"
    path.write_bytes(b"#" * (MOST_BYTES + 1))
    for each in (path, Path("/dev/zero")):
        with pytest.raises(GripwayError, match="longer than 1024 KiB"):
            reader(each)


def test_a_name_with_a_nul_is_an_error_of_the_player_file(tmp_path: Path) -> None:
    """TOML can write a sign into a path that no path can have."""
    path = tmp_path / "me.toml"
    path.write_text('[cents]\nfile = "a\\u0000b"\n')
    with pytest.raises(GripwayError, match="no file name can have"):
        read_player(path)
