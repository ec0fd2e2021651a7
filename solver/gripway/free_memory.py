"""How much memory can still be had: what is too long for it is refused with a word before it is begun.

A process that goes on for long gives back what it no longer needs.
"""

import gc
from pathlib import Path

from gripway.errors import RequestError

LONG = 50_000
"""Notes up to which nobody asks: a part of so many takes some 200 MB."""

BYTES_A_NOTE = 4_500
"""What a note of a long part takes at most, all in all (measured: `python -m tests.bench -k growth`)."""

LONG_BYTES = 5_000_000
"""Length of a score up to which nobody asks."""

TREE_BYTES_A_BYTE = 6
"""What a byte of a score takes at least once it is read: 7 in real scores, 11 in dense ones (measured:
the growth of the process as `opened_score` reads the sixteen scores and a line of 400,000 notes)."""

MACHINE = Path("/proc/meminfo")
GROUP = Path("/sys/fs/cgroup")

COLLECT_AFTER = (50_000, 10, 10)
"""Objects made between two looks for rings that nothing holds, and looks between two longer ones: what is
worked out of a flute is held for long and holds no rings, so that looking through it often finds nothing."""


def check_room(notes: int, place: str = "") -> None:
    """Raise RequestError where so many notes need more memory than there is; nothing where nobody tells."""
    if notes > LONG:
        _check(f"{notes:,} notes", notes * BYTES_A_NOTE, place, "Take some bars of the part")


def check_reading(size: int, place: str) -> None:
    """The same for a score of so many bytes, unpacked, that is to be read."""
    if size > LONG_BYTES:
        _check(
            f"{size // 1024**2} MiB of score", size * TREE_BYTES_A_BYTE, place, "Export only the flute part"
        )


def _check(what: str, needed: int, place: str, instead: str) -> None:
    free = free_bytes()
    if free is not None and needed > free:
        raise RequestError(
            f"{what} need about {_told(needed)} of memory, and {_told(free)} are free",
            place=place,
            next_step=f"{instead}, or take a machine with more memory",
        )


def free_bytes() -> int | None:
    """Bytes that the machine and the control group of this process still have; None but on Linux."""
    try:
        lines = (line.split() for line in MACHINE.read_text(encoding="ascii").splitlines())
        free = next(1024 * int(words[1]) for words in lines if words[0] == "MemAvailable:")
    except (OSError, ValueError, StopIteration, IndexError):
        return None
    try:
        most = int((GROUP / "memory.max").read_text(encoding="ascii"))  # "max" where there is no limit
        return min(free, most - int((GROUP / "memory.current").read_text(encoding="ascii")))
    except (OSError, ValueError):
        return free


def _told(size: int) -> str:
    return f"{max(0, size) / 1e9:.1f} GB"


def collect_seldom() -> None:
    """Have this process look for rings of objects seldom; what is there already is not looked at again."""
    gc.freeze()
    gc.set_threshold(*COLLECT_AFTER)
    gc.enable()
