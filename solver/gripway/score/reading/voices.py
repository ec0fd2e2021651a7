"""The choice of one voice where a part has several."""

from collections import Counter
from collections.abc import Sequence

from gripway.errors import ScoreError
from gripway.score.reading.read_notes import WrittenNote


def choose_voice(
    notes: Sequence[WrittenNote], wanted: str | None, name: str
) -> tuple[list[WrittenNote], str]:
    """The notes of the voice asked for, else of the first one, and a remark on what was left out.

    Raises ScoreError listing the voices when there is none of that name.
    """
    counts = Counter(note.voice for note in notes)
    if not counts:
        return [], ""
    voice = wanted.strip() if wanted is not None else notes[0].voice
    if voice not in counts:
        raise ScoreError(
            f"there is no voice {voice!r}",
            place=name,
            next_step=f"The voices of this part are {', '.join(sorted(counts))}",
        )
    left = [f"voice {other} (notes: {count})" for other, count in sorted(counts.items()) if other != voice]
    remark = f"voice {voice} was read; left out: {', '.join(left)}" if left else ""
    return [note for note in notes if note.voice == voice], remark
