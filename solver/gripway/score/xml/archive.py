"""Compressed MusicXML (.mxl): the score member read, and written back with all else untouched."""

import io
import zipfile

from gripway.errors import RequestError, ScoreError
from gripway.free_memory import check_reading
from gripway.score.xml.numerals import shown
from gripway.score.xml.xml_tree import MAX_BYTES, parse_tree
from gripway.score.xml.zip_limits import Archive

CONTAINER = "META-INF/container.xml"
MAX_MEMBERS = 1000
"""Most members of an archive (judgement: a score with its pictures has a handful)."""

MAX_RATIO = 200
"""Largest growth on unpacking (judgement; MusicXML text shrinks about twentyfold)."""

SMALL_BYTES = 64 * 1024
"""Archives up to this size may grow more: empty bars pack very small (judgement)."""

SCORE_TYPES = ("", "application/vnd.recordare.musicxml+xml", "application/vnd.recordare.musicxml", "text/xml")


def open_archive(data: bytes, name: str) -> tuple[Archive, bytes]:
    """The archive and the bytes of its score.

    Raises ScoreError when it is damaged, encrypted, grows too much on unpacking, or has no
    container naming a score, RequestError where there is no memory for it.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            _check_size(packed, name)
            _check_members(packed, name)
            member = _score_member(packed, name)
            return Archive(data, member), packed.read(member)
    except (ScoreError, RequestError):
        raise
    except Exception as error:  # zipfile and its unpackers raise many kinds on bad input
        raise ScoreError(
            f"the compressed score cannot be unpacked ({error})",
            place=name,
            next_step="The file is damaged or locked; export it again",
        ) from None


def _check_members(packed: zipfile.ZipFile, name: str) -> None:
    """Refuse an archive that could not be written back: every member is unpacked once."""
    seen: set[str] = set()
    for info in packed.infolist():
        place = f"{name}:{shown(info.filename)}"
        if info.flag_bits & 0x1:
            raise ScoreError(
                "the archive is encrypted", place=name, next_step="Give an archive without a password"
            )
        if info.filename in seen:
            raise ScoreError(
                "the archive has two files of this name", place=place, next_step="Export the score again"
            )
        seen.add(info.filename)
        try:
            packed.read(info)
        except Exception as error:
            raise ScoreError(
                f"this file in the archive is damaged ({shown(str(error))})",
                place=place,
                next_step="Export the score again",
            ) from None


def _check_size(packed: zipfile.ZipFile, name: str) -> None:
    members = packed.infolist()
    total = sum(member.file_size for member in members)
    small = sum(member.compress_size for member in members)
    if len(members) > MAX_MEMBERS or total > MAX_BYTES or total > MAX_RATIO * max(small, SMALL_BYTES):
        raise ScoreError(
            f"the archive would unpack to {total // 1024} KiB in {len(members)} files, too much for a score",
            place=name,
            next_step="Export the score again, or unpack it yourself and give the .musicxml file",
        )
    check_reading(total, name)  # as the directory of the archive says, before anything is unpacked


def _score_member(packed: zipfile.ZipFile, name: str) -> str:
    """The first MusicXML root file the container names."""
    if CONTAINER not in packed.namelist():
        raise ScoreError(
            f"this zip file is no compressed MusicXML ({CONTAINER} is missing)",
            place=name,
            next_step="Give the .musicxml file itself, or export as .mxl again",
        )
    root = parse_tree(packed.read(CONTAINER), f"{name}:{CONTAINER}")
    rootfiles = root.find("rootfiles")
    for rootfile in rootfiles.all("rootfile") if rootfiles is not None else ():
        path = rootfile.attributes.get("full-path", "")
        if path.startswith("/") or ".." in path.split("/"):
            raise ScoreError(
                f"the container points outside the archive ({path!r})",
                place=f"{name}:{CONTAINER}",
                next_step="Do not trust this file; export the score again",
            )
        if rootfile.attributes.get("media-type", "") in SCORE_TYPES and path in packed.namelist():
            return path
    raise ScoreError(
        "the container names no MusicXML score in the archive",
        place=f"{name}:{CONTAINER}",
        next_step="Export the score again as .mxl or .musicxml",
    )


def replace_score(archive: Archive, score: bytes) -> bytes:
    """The archive with its score replaced; every other member keeps place, name and content."""
    target = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(archive.data)) as packed,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as written,
    ):
        written.comment = packed.comment
        member = packed.getinfo(archive.member)
        for info in packed.infolist():
            content = score if info is member else packed.read(info)
            written.writestr(info, content, compress_type=info.compress_type)
    return target.getvalue()
