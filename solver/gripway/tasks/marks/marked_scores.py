"""Marks put into a score and taken out of it again, and the list of them beside it."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from gripway.display import brief, counted
from gripway.errors import ScoreError
from gripway.model.house_style import PLAIN_STYLE, HouseStyle
from gripway.route.result import Route

if TYPE_CHECKING:  # what only some tasks need is imported in them: a short question starts quickly
    from gripway.edition.listed_marks import AlreadyRead, ChangedMark
    from gripway.model.listed_mark import ListedMark
    from gripway.score.reading.score_reading import Bare, ScoreReading, ScoreSource

MARKED_ENDINGS = (".musicxml", ".xml", ".mxl")
"""Endings of scores, for which a file is a marked score and no list of marks."""


def house_style(path: str | Path) -> HouseStyle:
    """The house style of a TOML file: which notes are marked, how many, in which hand.

    Raises HouseStyleError, which names file and key. `gripway help house_style` has every key.

    >>> import gripway
    >>> gripway.house_style("examples/house_style.toml").which
    'figures'
    """
    from gripway.catalog.own_files.house_style_file import read_house_style

    return read_house_style(Path(path))


class MarkedScore(bytes):
    """The bytes of a score with `marks` marks, those included that it had already; its repr says how many."""

    marks = 0

    def __repr__(self) -> str:
        return brief(self, counted(self.marks, "mark"), f"{len(self)} bytes")


def mark(reading: "ScoreReading", route: Route, house: HouseStyle = PLAIN_STYLE) -> bytes:
    """The score's own bytes with the route's marks inserted (an .mxl file comes back as one).

    `house` says which notes are marked and how the marks look. By itself it marks what is `needed`: notes
    whose grip is not the plain one and takes less effort. So a route of standard grips gives the score as it
    was; `HouseStyle(which="every")` marks every note. The answer's repr says how many marks there are; write
    it with `Path("marked.musicxml").write_bytes(...)`. Notes with a fingering of their
    own in the source are left alone. The marks say what the route says; `gripway.edit` gives one
    in which the same figure has the same grip. Raises RequestError for a house style with short marks
    or pictures.

    >>> import gripway
    >>> score = gripway.read("examples/ladder_cell.musicxml")
    >>> route = gripway.finger(score.passage, gripway.flute())
    >>> gripway.mark(score, route).count(b"<fingering")  # standard grips need no mark
    0
    >>> gripway.mark(score, route, gripway.HouseStyle(which="every")).count(b"<fingering")
    26
    """
    from gripway.edition.marks import as_marks, marked_notes
    from gripway.errors import RequestError, check_kind
    from gripway.model.house_style import FULL, PICTURE
    from gripway.score.marking import mark_score
    from gripway.score.reading.score_reading import ScoreReading

    check_kind(reading, ScoreReading, "score that was read", "Give what read(...) gives")
    check_kind(route, Route, "route", "Give what finger(...) gives")
    check_kind(
        house,
        HouseStyle,
        "house style",
        "Give what house_style(...) gives, and write the bytes to a file yourself: "
        'Path("marked.musicxml").write_bytes(mark(reading, route))',
    )
    if house.form != FULL or house.style == PICTURE:
        raise RequestError(
            "short marks and pictures need to know the flute", next_step="Use gripway.edit and marked_file"
        )
    marks = [*as_marks(marked_notes(route, house), house)]
    marked = MarkedScore(mark_score(reading.source, reading.places, marks))
    marked.marks = len(marks)
    return marked


def unmark(path: str | Path, marks_list: str | Path | None = None) -> "Bare":
    """A score file without the marks that gripway put in; every other byte is as it was.

    A mark that somebody has changed since stays, with a remark. Where another program has saved the
    score, the marks are found by their list: `marks_list`, else the one beside the score; a marked score
    as gripway wrote it serves as well. What cannot be told from an editor's own is left, with a remark.
    Raises ScoreError for what is no MusicXML, MarksListError for what is no list.
    """
    from gripway.score.reading.score_reading import open_score

    source = open_score("-" if str(path) == "-" else Path(path))
    if source.converted_from:
        raise ScoreError(
            f"this is {source.converted_from}, which has no marks of ours",
            place=source.name,
            next_step="Give MusicXML (.musicxml, .xml, .mxl)",
        )
    return bare_of(source, list_beside(path) if marks_list is None else Path(marks_list))


def list_beside(path: str | Path) -> Path | None:
    """The list of marks beside a score file, where there is one."""
    from gripway.catalog.own_files.marks_list import lists_beside

    beside = () if str(path) == "-" else lists_beside(Path(path))
    return next((each for each in beside if each.is_file()), None)


def bare_of(source: "ScoreSource", marks_list: Path | None) -> "Bare":
    """A score without our marks: by their instructions, and by the list where it has none of those."""
    from gripway.catalog.own_files.marks_list import read_marks_list
    from gripway.edition.listed_marks import listed_marks, unmarked_by_list
    from gripway.score.reading.score_reading import open_score, unmarked

    bare = unmarked(source)
    if bare.taken or bare.remarks or marks_list is None:
        return bare
    marked = marks_list.suffix.lower() in MARKED_ENDINGS
    return unmarked_by_list(
        source, listed_marks(open_score(marks_list)) if marked else read_marks_list(marks_list)
    )


def marks_list_of(
    marked: bytes,
    name: str,
    routes: Iterable[Route] = (),
    score: str | Path | None = None,
    already: "AlreadyRead | None" = None,
) -> str:
    """The list of our marks in a marked score, as the text of its file; empty where there are none.

    `routes` are those it was marked with, `score` is the file it was before: with them the list says at
    which tempos the marks were made, now and before. `already` is what was read of the marked score.
    """
    from gripway.catalog.own_files.marks_list import marks_list_text
    from gripway.edition.listed_marks import listed_marks
    from gripway.score.reading.score_reading import source_of

    before = marks_list_beside(score) if score is not None else ()
    marks = listed_marks(source_of(marked, name), _tempos(routes), before, already)
    return marks_list_text(marks) if marks else ""


def _tempos(routes: Iterable[Route]) -> dict[str, float]:
    """The tempo at each note that had no fingering, in quarters a minute, as it is played first."""
    from gripway.model.passage import quarters_of

    found: dict[str, float] = {}
    for note in (note for route in routes for note in route.passage.notes if not note.fingering):
        if tempo := round(quarters_of(note), 1):
            found.setdefault(note.id, tempo)
    return found


def marks_list_beside(path: str | Path) -> "tuple[ListedMark, ...]":
    """The marks of the list beside a score file; none where there is no list, or none that can be read."""
    from gripway.catalog.own_files.marks_list import read_marks_list
    from gripway.errors import MarksListError

    beside = list_beside(path)
    try:
        return read_marks_list(beside) if beside is not None else ()
    except MarksListError:
        return ()


def renewed_marks(
    path: str | Path, marked: bytes
) -> "tuple[tuple[ListedMark, ...], tuple[ChangedMark, ...]]":
    """The marks of ours that a score had, and which notes have others in the copy marked anew."""
    from gripway.edition.listed_marks import changed_marks, listed_marks
    from gripway.score.reading.score_reading import open_score, source_of

    beside = marks_list_beside(path)
    before = listed_marks(open_score(Path(path)), before=beside) or beside
    return before, changed_marks(before, listed_marks(source_of(marked, str(path))))
