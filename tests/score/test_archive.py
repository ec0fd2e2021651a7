"""Compressed scores: read through the container, and refused when they are not what they should be."""

import io
import warnings
import zipfile

import pytest
from tests.score.small_scores import bar, note, score

from gripway.errors import ScoreError
from gripway.score.reading.score_reading import read_score
from gripway.score.xml import archive
from gripway.score.xml.archive import CONTAINER

SCORE = score(bar(note("C5")))


def container(path: str, kind: str = "application/vnd.recordare.musicxml+xml") -> str:
    """A container that names one root file."""
    return f'<container><rootfiles><rootfile full-path="{path}" media-type="{kind}"/></rootfiles></container>'


def packed(**members: str | bytes) -> bytes:
    """A zip of these members; `container` stands for the container's path."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in members.items():
            file.writestr(CONTAINER if name == "container" else name, content)
    return target.getvalue()


def test_the_first_musicxml_root_file_is_read() -> None:
    """Another root file, of another type, is passed over."""
    listed = container("music").replace(
        "<rootfiles>", '<rootfiles><rootfile full-path="p" media-type="application/pdf"/>'
    )
    reading = read_score(packed(container=listed, p=b"%PDF", music=SCORE), "x.mxl")
    assert reading.passage.notes[0].pitch.name == "C5"
    assert reading.source.data == SCORE


GOOD = packed(container=container("music"), music=SCORE)
LOCKED = bytearray(GOOD)
for signature, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
    at = LOCKED.find(signature)
    while at >= 0:
        LOCKED[at + flags] |= 1
        at = LOCKED.find(signature, at + 1)

BAD = {
    "no_container": (packed(music=SCORE), "is missing"),
    "no_root_file": (packed(container=container("other"), music=SCORE), "names no MusicXML score"),
    "picture_only": (
        packed(container=container("music", "image/png"), music=SCORE),
        "names no MusicXML score",
    ),
    "container_cut": (packed(container="<container><root"), "not well-formed"),
    "points_outside": (packed(container=container("../../etc/passwd")), "points outside"),
    "absolute_path": (packed(container=container("/etc/passwd")), "points outside"),
    "cut_off": (GOOD[: len(GOOD) // 2], "cannot be unpacked"),
    "locked": (bytes(LOCKED), "encrypted"),
    "score_empty": (packed(container=container("music"), music=b""), "not well-formed"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_archive_is_an_error_with_its_next_step(case: str) -> None:
    """Each says what is wrong with the archive, and never writes a file."""
    data, message = BAD[case]
    with pytest.raises(ScoreError, match=message) as caught:
        read_score(data, "x.mxl")
    assert "x.mxl" in caught.value.place
    assert caught.value.next_step


def test_an_archive_that_grows_too_much_is_not_unpacked() -> None:
    """20 MiB of blanks in a few kilobytes is a bomb, not a score."""
    data = packed(container=container("music"), music=b" " * (20 * 1024**2))
    with pytest.raises(ScoreError, match="too much for a score"):
        read_score(data, "x.mxl")


def test_an_archive_of_too_many_files_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Above the limit of members nothing is unpacked."""
    monkeypatch.setattr(archive, "MAX_MEMBERS", 1)
    with pytest.raises(ScoreError, match="in 2 files, too much"):
        read_score(GOOD, "x.mxl")


def archive_of(*members: tuple[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    """An archive of these members, in this order."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", how) as written, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # zipfile warns of a name that comes twice
        for name, data in members:
            written.writestr(name, data)
    return target.getvalue()


def spoilt(data: bytes, member: str) -> bytes:
    """The archive with some bytes of a packed member turned round."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        info = packed.getinfo(member)
    at = info.header_offset + 30 + len(member) + info.compress_size // 2
    return data[:at] + bytes(byte ^ 0xFF for byte in data[at : at + 8]) + data[at + 8 :]


NAMED = (CONTAINER, container("music").encode()), ("music", SCORE), ("cover", b"a picture" * 50)


@pytest.mark.parametrize(
    "how", [zipfile.ZIP_DEFLATED, zipfile.ZIP_LZMA, zipfile.ZIP_BZIP2, zipfile.ZIP_STORED]
)
@pytest.mark.parametrize("member", ["music", "cover"])
def test_a_damaged_member_is_named_when_the_score_is_read(how: int, member: str) -> None:
    """Whichever member it is and however it is packed: what is read can be written back."""
    data = archive_of(*NAMED, how=how)
    assert read_score(data, "x.mxl").passage.notes
    with pytest.raises(ScoreError, match="damaged") as caught:
        read_score(spoilt(data, member), "x.mxl")
    assert caught.value.place == f"x.mxl:{member!r}"


def test_a_name_that_comes_twice_is_refused() -> None:
    """Which of the two is meant nobody can say."""
    with pytest.raises(ScoreError, match="two files of this name"):
        read_score(archive_of(*NAMED, ("music", SCORE)), "x.mxl")


def test_a_container_whose_root_is_mostly_skipped_names_no_score() -> None:
    """`<print/>` is left out in scores; as a root it is an error like any other."""
    with pytest.raises(ScoreError, match="names no MusicXML score"):
        read_score(archive_of((CONTAINER, b"<print/>"), ("music", SCORE)), "x.mxl")
