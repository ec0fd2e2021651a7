"""A line of notes in a file (`part.txt`) or from standard input (`--notes -`)."""

import sys
from pathlib import Path

from gripway.errors import NotationError
from gripway.files import read_bounded

ENDING = ".txt"
STANDARD_INPUT, STDIN_NAME = "-", "standard input"
MOST_BYTES = 1024 * 1024
"""Longest line of notes read (judgement: a symphony's part has a hundredth)."""


def notes_given(score: Path | None, notes: str | None) -> tuple[Path | None, str | None, str]:
    """SCORE and the text of --notes, one of which a file of notes becomes, and where that text stood.

    Raises NotationError for a text that cannot be read.
    """
    if notes is None and score is not None and score.suffix.lower() == ENDING:
        return None, _text(score.name, _bytes_of(score)), score.name
    if notes == STANDARD_INPUT:
        data = sys.stdin.buffer.read(MOST_BYTES + 1)
        return score, _text(STDIN_NAME, data), STDIN_NAME
    return score, notes, ""


def _bytes_of(path: Path) -> bytes:
    try:
        return read_bounded(path, MOST_BYTES)
    except OSError as problem:
        raise NotationError(
            f"cannot be read: {problem.strerror}", place=str(path), next_step="Check the file's name"
        ) from None


def _text(name: str, data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise NotationError(
            f"longer than {MOST_BYTES // 1024} KiB", place=name, next_step="Give the notes of one part"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotationError("is no UTF-8 text", place=name, next_step="Save it as UTF-8") from None
