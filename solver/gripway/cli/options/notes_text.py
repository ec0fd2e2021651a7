"""A line of notes in a file (`part.txt`) or from standard input (`--notes -`)."""

import sys
from pathlib import Path

from gripway.errors import NotationError

ENDING = ".txt"
STANDARD_INPUT, STDIN_NAME = "-", "standard input"


def notes_given(score: Path | None, notes: str | None) -> tuple[Path | None, str | None, str]:
    """SCORE and the text of --notes, one of which a file of notes becomes, and where that text stood.

    Raises NotationError for a text that cannot be read.
    """
    if notes is None and score is not None and score.suffix.lower() == ENDING:
        from gripway.catalog.own_files.own_file import own_text

        return None, own_text(score, NotationError), score.name
    if notes == STANDARD_INPUT:
        return score, _from_stdin(), STDIN_NAME
    return score, notes, ""


def _from_stdin() -> str:
    from gripway.catalog.own_files.own_file import MOST_BYTES, utf8_text

    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise NotationError(
            f"longer than {MOST_BYTES // 1024} KiB", place=STDIN_NAME, next_step="Give the notes of one part"
        )
    return utf8_text(data, STDIN_NAME, NotationError)
