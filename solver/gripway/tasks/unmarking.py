"""Our own marks taken out of a score again."""

from pathlib import Path

from gripway.errors import ScoreError
from gripway.score.reading.score_reading import Bare, ScoreSource, open_score, unmarked


def unmark(path: str | Path) -> Bare:
    """A score file without the marks that gripway put in; every other byte is as it was.

    A mark that somebody has changed since stays, with a remark. Raises ScoreError for what is no
    MusicXML.
    """
    source = open_score("-" if str(path) == "-" else Path(path))
    if source.converted_from:
        raise ScoreError(
            f"this is {source.converted_from}, which has no marks of ours",
            place=source.name,
            next_step="Give MusicXML (.musicxml, .xml, .mxl)",
        )
    return unmarked(source)


def bytes_of(source: ScoreSource) -> bytes:
    """The file of a score: MusicXML, or the .mxl it came in with its score exchanged."""
    if source.archive is None:
        return source.data
    from gripway.score.xml.archive import replace_score

    return replace_score(source.archive, source.data)
