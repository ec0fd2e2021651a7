"""Files are written in one way: whole, through links, with mode and owner, and only plain ones."""

import os
import stat
import threading
from pathlib import Path

import pytest

from gripway import files
from gripway.errors import RequestError
from gripway.files import check_writable, read_bounded, write_whole

ROOT_ONLY = pytest.mark.skipif(os.geteuid() != 0, reason="only root may give files away")


def mode_of(path: Path) -> int:
    """The permission bits of a file."""
    return stat.S_IMODE(path.stat().st_mode)


def test_a_link_stays_and_its_target_is_written(tmp_path: Path) -> None:
    """Through two links, one of them relative; and through one whose target is not there yet."""
    target, near, far = tmp_path / "a" / "real.txt", tmp_path / "a" / "near", tmp_path / "far"
    target.parent.mkdir()
    target.write_text("old")
    near.symlink_to("real.txt")
    far.symlink_to(near)
    write_whole(far, b"new")
    assert (far.is_symlink(), near.is_symlink(), target.read_text()) == (True, True, "new")
    dangling = tmp_path / "dangling"
    dangling.symlink_to("later.txt")
    write_whole(dangling, b"x")
    assert (dangling.is_symlink(), (tmp_path / "later.txt").read_text()) == (True, "x")


def test_links_in_a_ring_are_the_systems_error(tmp_path: Path) -> None:
    """No file stands behind them (ELOOP, POSIX)."""
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    with pytest.raises(OSError, match="Too many levels"):
        write_whole(tmp_path / "a", b"x")


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o666, 0o755])
def test_the_mode_of_a_file_stays(tmp_path: Path, mode: int) -> None:
    """A private file stays private, an executable one executable."""
    path = tmp_path / "mine"
    path.write_text("old")
    path.chmod(mode)
    write_whole(path, b"new")
    assert (mode_of(path), path.read_bytes()) == (mode, b"new")


@ROOT_ONLY
def test_the_owner_of_a_file_stays(tmp_path: Path) -> None:
    """Root writing a user's file does not take it away."""
    path = tmp_path / "theirs"
    path.write_text("old")
    os.chown(path, 12345, 23456)
    write_whole(path, b"new")
    assert (path.stat().st_uid, path.stat().st_gid, path.read_bytes()) == (12345, 23456, b"new")


def test_a_second_name_of_a_file_sees_the_new_content(tmp_path: Path) -> None:
    """A hard link is another name of the same file, and stays one."""
    one, two = tmp_path / "one", tmp_path / "two"
    one.write_bytes(b"a long old text")
    os.link(one, two)
    write_whole(one, b"new")
    assert (two.read_bytes(), one.samefile(two)) == (b"new", True)


def test_what_cannot_be_finished_in_its_place_is_given_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that is full half-way leaves the old content under both names."""
    one, two = tmp_path / "one", tmp_path / "two"
    one.write_bytes(b"old and longer")
    os.link(one, two)
    right = files._write_all

    def full(file: int, data: bytes) -> None:
        right(file, data[:2])
        if data == b"the new":
            raise OSError(28, "No space left on device")
        right(file, data[2:])

    monkeypatch.setattr(files, "_write_all", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(one, b"the new")
    assert two.read_bytes() == b"old and longer"


def test_a_full_disk_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever fails before the new file is whole, the old one stays as it was."""
    path = tmp_path / "out"
    path.write_bytes(b"old")

    def full(_file: int, _data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "_write_all", full)
    with pytest.raises(OSError, match="No space"):
        write_whole(path, b"new")
    assert [(each.name, each.read_bytes()) for each in tmp_path.iterdir()] == [("out", b"old")]


def test_read_only_counts_for_everybody(tmp_path: Path) -> None:
    """A file of mode 0444 is left alone, by root, too."""
    path = tmp_path / "kept"
    path.write_text("old")
    path.chmod(0o444)
    with pytest.raises(RequestError, match="read only"):
        write_whole(path, b"new")
    assert (path.read_text(), mode_of(path)) == ("old", 0o444)


def test_what_is_no_plain_file_is_refused_by_its_kind(tmp_path: Path) -> None:
    """A pipe keeps its reader waiting for nobody, a device stays one, a folder is named."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    link = tmp_path / "link"
    link.symlink_to(os.devnull)
    for path, kind in ((pipe, "a pipe"), (link, "a device"), (tmp_path, "a folder")):
        with pytest.raises(RequestError, match=f"is {kind}"):
            write_whole(path, b"x")
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert link.is_symlink()


@pytest.fixture(params=["nameless", "named"])
def kind_of_file(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """New files without a name, where this system has them, and as a system without them has it."""
    if request.param == "named":
        monkeypatch.setattr(files, "_nameless", lambda *_: None)
    return str(request.param)


@pytest.mark.parametrize("there", [True, False])
def test_file_and_folder_are_flushed_before_and_after_the_new_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind_of_file: str, there: bool
) -> None:
    """The content is on the disk before the name leads to it, the name before the writer returns (POSIX)."""
    told: list[str] = []
    flush = os.fsync

    def flushed(file: int) -> None:
        in_folder = stat.S_ISDIR(os.fstat(file).st_mode)
        told.append(
            f"{'folder' if in_folder else 'file'}, {path.read_bytes()!r}" if path.exists() else "none"
        )
        flush(file)

    path = tmp_path / "new"
    if there:
        path.write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", flushed)
    write_whole(path, b"x")
    assert told == ["file, b'old'" if there else "none", "folder, b'x'"], kind_of_file


def test_nothing_stands_beside_a_file_that_is_being_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever ends the process meanwhile (kill -9) leaves the old file, or none, and nothing else."""
    if files._nameless(tmp_path, 0o600) is None:
        pytest.skip("this file system has no files without a name")
    seen: list[list[str]] = []
    fill = files._fill_new

    def filled(file: int, data: bytes, before: os.stat_result | None) -> None:
        fill(file, data, before)
        seen.append([each.name for each in tmp_path.iterdir()])

    monkeypatch.setattr(files, "_fill_new", filled)
    write_whole(tmp_path / "new", b"x")
    write_whole(tmp_path / "new", b"y")
    assert (seen, (tmp_path / "new").read_bytes()) == ([[], ["new"]], b"y")


def test_a_file_that_came_meanwhile_is_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever writes last has the name, also where the place was free when the writing began."""
    path = tmp_path / "new"
    fill = files._fill_new

    def filled(file: int, data: bytes, before: os.stat_result | None) -> None:
        fill(file, data, before)
        path.write_bytes(b"theirs")

    monkeypatch.setattr(files, "_fill_new", filled)
    write_whole(path, b"ours")
    assert [(each.name, each.read_bytes()) for each in tmp_path.iterdir()] == [("new", b"ours")]


def test_two_writers_leave_one_whole_file(tmp_path: Path) -> None:
    """Whoever is last has the name; no mixture is ever there."""
    path = tmp_path / "out"
    texts = [bytes([sign]) * 200_000 for sign in b"ab"]
    writers = [threading.Thread(target=write_whole, args=(path, text)) for text in texts]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert path.read_bytes() in texts
    assert list(tmp_path.iterdir()) == [path]


def test_small_files_are_read_up_to_their_bound(tmp_path: Path) -> None:
    """A file of just the bound is read; longer ones, and a name with a NUL, are system errors."""
    path = tmp_path / "small"
    path.write_bytes(b"x" * 2048)
    assert read_bounded(path, 2048) == b"x" * 2048
    for other in (path, Path("/dev/zero")):
        with pytest.raises(OSError, match="it is longer than 1 KiB"):
            read_bounded(other, 2047)
    for act in (lambda: read_bounded(Path("a\0b"), 9), lambda: check_writable(Path("a\0b"))):
        with pytest.raises(OSError, match="no file name can have"):
            act()
