"""The parts of several scores, each with a name of its own."""

from collections.abc import Sequence
from pathlib import Path

from gripway.cli.output import tell
from gripway.model.passage import Passage
from gripway.tasks.scores import open_parts


def named_parts(scores: Sequence[Path], wanted: tuple[str, ...]) -> list[tuple[str, Passage]]:
    """The parts asked for of each score (the first flute without a wish) by name; remarks are told."""
    parts = []
    for score in dict.fromkeys(scores):
        read = open_parts(score, wanted, else_first=True)
        tell((*read.remarks, *read.tacet_remarks(str(score))))
        many = len(read.readings) > 1
        for reading in read.readings:
            title = reading.passage.title or score.stem
            parts.append((f"{title}, {reading.passage.part}" if many else title, reading.passage))
    names = [name for name, _ in parts]
    return [
        (f"{name} ({place})" if names.count(name) > 1 else name, passage)
        for place, (name, passage) in enumerate(parts, start=1)
    ]
