"""The one way files are written, and the bounded way small ones are read.

A file appears whole or not at all: it is written beside its place, flushed to the disk and put there.
"""

import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from gripway.errors import RequestError

KINDS = (
    (stat.S_ISDIR, "is a folder", "Name a file in it"),
    (stat.S_ISFIFO, "is a pipe", "Name a plain file, or leave the option out and redirect"),
    (stat.S_ISSOCK, "is a socket", "Name a plain file, or leave the option out and redirect"),
    (stat.S_ISCHR, "is a device", "Name a plain file, or leave the option out and redirect"),
    (stat.S_ISBLK, "is a device", "Name a plain file"),
)
"""What is no plain file, in words, and what to do about it."""

BATCH_BYTES = 256 * 1024
"""So much of an answer that is made piece by piece is written at once."""

_OPEN_FILES = Path("/proc/self/fd")
"""Where Linux shows the open files of a process."""


def read_bounded(path: Path, most: int) -> bytes:
    """The bytes of a file of at most `most` bytes.

    Raises OSError with a reason in `strerror`, also for a name that no file can have and for
    a longer file, of which no more than that is read.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(most + 1)
    except ValueError:  # the system's own word for a NUL in a name
        raise OSError(None, "the name has a sign that no file name can have") from None
    if len(data) > most:
        raise OSError(None, f"it is longer than {most // 1024} KiB")
    return data


def check_writable(path: Path) -> os.stat_result | None:
    """What stands at a place that is to be written, through symbolic links; None where nothing does.

    Raises RequestError for what is no plain file or is set to be read only (which counts for root,
    too), OSError where the place cannot be looked at.
    """
    try:
        here = path.stat()
    except FileNotFoundError:
        return None
    except ValueError:
        raise OSError(None, "the name has a sign that no file name can have") from None
    for is_kind, what, next_step in KINDS:
        if is_kind(here.st_mode):
            raise RequestError(what, place=str(path), next_step=next_step)
    if not here.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise RequestError(
            "is set to be read only", place=str(path), next_step="Name another file, or allow writing to it"
        )
    return here


def write_whole(path: Path, data: bytes | Iterable[bytes]) -> None:
    """Write a file whole or not at all, and onto the disk, before this returns; in pieces or in one.

    A symbolic link stays and its target is written; mode and owner of a file that was there stay.
    A file that a new one cannot stand for (it has a second name, another owner, or a folder that
    takes no new file) is overwritten in its place, and gets its old content back when that fails.
    Raises RequestError as `check_writable`, OSError where the system cannot write.
    """
    before = check_writable(path)
    target = Path(os.path.realpath(path))
    if before is not None and not _replaceable(target, before):
        _overwrite(target, data if isinstance(data, bytes) else b"".join(data))
        return
    _put(target, data, before)
    _flush_folder(target.parent)


def _replaceable(target: Path, before: os.stat_result) -> bool:
    ours = before.st_uid == os.geteuid() or os.geteuid() == 0
    return ours and before.st_nlink == 1 and os.access(target.parent, os.W_OK | os.X_OK)


def _put(target: Path, data: bytes | Iterable[bytes], before: os.stat_result | None) -> None:
    """A whole new file at its place, with mode and owner of the one it stands for.

    Where the system has files without a name, it gets its name when it is whole: a process killed
    meanwhile leaves nothing. A place that is taken is reached through a second name beside it, which
    is there for a moment (for the whole time of writing, where every file has a name).
    """
    beside = target.with_name(f".gripway-{os.getpid()}-{os.urandom(4).hex()}")
    mode = 0o666 if before is None else 0o600  # of the first the user's mask takes its share
    file = _nameless(target.parent, mode)
    nameless = file is not None
    try:
        if file is None:
            file = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, mode)
        try:
            _fill_new(file, data, before)
            if nameless and before is None and _name(file, target):
                return
            if nameless:
                _name(file, beside)
        finally:
            os.close(file)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _nameless(folder: Path, mode: int) -> int | None:
    """A file in a folder that has no name yet; None where the system has none such."""
    if not hasattr(os, "O_TMPFILE") or not _OPEN_FILES.is_dir():
        return None
    try:
        return os.open(folder, os.O_TMPFILE | os.O_WRONLY | os.O_CLOEXEC, mode)
    except OSError:  # a file system that cannot do it; another reason comes back with the name
        return None


def _name(file: int, path: Path) -> bool:
    """Give a file without a name its name; False where something has that name already."""
    folder = os.open(path.parent, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:  # with a folder Python follows the link to the open file, as open(2) has it
        os.link(_OPEN_FILES / str(file), path.name, dst_dir_fd=folder)
    except FileExistsError:
        return False
    finally:
        os.close(folder)
    return True


def _fill_new(file: int, data: bytes | Iterable[bytes], before: os.stat_result | None) -> None:
    """Content, onto the disk; and mode and owner of the file a new one stands for."""
    if isinstance(data, bytes):
        _write_all(file, data)
    else:
        for pieces in _batches(data):
            _write_all(file, pieces)
    if before is not None:
        made = os.fstat(file)
        if (made.st_uid, made.st_gid) != (before.st_uid, before.st_gid):
            os.fchown(file, before.st_uid, before.st_gid)
        os.fchmod(file, stat.S_IMODE(before.st_mode))
    os.fsync(file)


def _overwrite(path: Path, data: bytes) -> None:
    """Write over a file in its place; what was in it comes back when that fails."""
    file = os.open(path, os.O_RDWR | os.O_CLOEXEC)
    try:
        old = os.pread(file, os.fstat(file).st_size, 0)
        try:
            _fill(file, data)
        except OSError:
            _fill(file, old)
            raise
    finally:
        os.close(file)


def _fill(file: int, data: bytes) -> None:
    os.lseek(file, 0, os.SEEK_SET)
    _write_all(file, data)
    os.ftruncate(file, len(data))
    os.fsync(file)


def _batches(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """Small pieces put together to some that are worth a call of the system."""
    batch = bytearray()
    for piece in pieces:
        batch += piece
        if len(batch) >= BATCH_BYTES:
            yield bytes(batch)
            batch.clear()
    yield bytes(batch)


def _write_all(file: int, data: bytes) -> None:
    left = memoryview(data)
    while left:
        left = left[os.write(file, left) :]


def _flush_folder(folder: Path) -> None:
    """The new name onto the disk; a file system that cannot do that is passed over."""
    try:
        file = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except OSError:
        return
    try:
        os.fsync(file)
    except OSError:
        pass
    finally:
        os.close(file)
