"""The list of our marks beside a marked score: TOML of [[mark]] tables, read strictly."""

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta

from gripway.catalog.own_files.own_file import own_text
from gripway.catalog.own_files.place_keys import (
    MAY_BE_EMPTY,
    PlaceKeys,
    entries_of,
    entry_text,
    place_said,
    place_values,
)
from gripway.catalog.own_files.typed import faults, typed
from gripway.errors import MarksListError
from gripway.model.listed_mark import LINE, LINE_ENDS, TEXT_KINDS, ListedMark

ENDING = ".marks.toml"
MOST_MARKS = 20_000
_Tempo = Annotated[float, Meta(gt=0, le=10_000, description="Write quarters a minute, such as 96")]

FIRST_LINE = "# The marks that gripway put into a score"
HEAD = f"""\
{FIRST_LINE}: keep this file beside it. Where another program has saved the
# score, gripway unmark SCORE and gripway finger SCORE --renew find them by this list.
"""


class _Mark(PlaceKeys, frozen=True):
    voice: str = "1"
    tempo: _Tempo | None = None
    fingering: tuple[str, ...] = ()
    lyric: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    picture: tuple[str, ...] = ()
    line: tuple[str, ...] = ()


def list_beside(score: Path) -> Path:
    """Where the list of a score's marks stands."""
    return score.with_name(score.stem + ENDING)


def lists_beside(score: Path) -> tuple[Path, ...]:
    """Where it may stand: a library, in which names may differ in their endings only, has the whole name."""
    return score.with_name(score.name + ENDING), list_beside(score)


def is_marks_list(path: Path) -> bool:
    """Whether a file is such a list, by its first line."""
    with path.open("rb") as file:
        return file.read(len(FIRST_LINE)) == FIRST_LINE.encode()


def read_marks_list(path: Path) -> tuple[ListedMark, ...]:
    """The marks of a list. Raises MarksListError with file, number of the entry and key."""
    entries = entries_of(own_text(path, MarksListError), str(path), "mark", MOST_MARKS, MarksListError)
    return tuple(_mark(here, entry) for here, entry in entries)


def _mark(here: str, data: dict[str, Any]) -> ListedMark:
    fault = faults(MarksListError, f"{here}: ")
    filled = {key: value for key, value in data.items() if value != "" or key not in MAY_BE_EMPTY}
    said = typed(filled, _Mark, fault)
    for end in said.line:
        if end not in LINE_ENDS:
            raise fault(LINE, f"{end!r} is no end of a line", 'Write "start" or "stop"')
    signs = tuple((kind, text) for kind in (*TEXT_KINDS, LINE) for text in getattr(said, kind))
    return ListedMark(place_said(said, fault), said.voice, signs, here, said.tempo)


def marks_list_text(marks: Iterable[ListedMark]) -> str:
    """The text of a list; reading it gives the same marks."""
    return "\n".join([HEAD, *(_entry(mark) for mark in marks)])


def _entry(mark: ListedMark) -> str:
    texts = {kind: [text for each, text in mark.signs if each == kind] for kind in (*TEXT_KINDS, LINE)}
    signs = {kind: found for kind, found in texts.items() if found}
    said = {"voice": mark.voice, "tempo": mark.tempo}
    return entry_text("mark", place_values(mark.place) | said | signs)
