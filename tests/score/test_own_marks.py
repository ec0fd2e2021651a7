"""Our marks are taken out byte for byte; what others wrote, or changed since, stays."""

from pathlib import Path

import pytest
from tests.score.small_scores import bar, note, read, score
from tests.tiers import thinned

from gripway.model.house_style import STYLES
from gripway.score.marking import Mark, mark_score
from gripway.score.own_marks import Unmarked, as_own, bar_at, without_own
from gripway.score.reading.score_reading import ScoreReading, read_score
from gripway.score.xml.splice import Document

PARTS = sorted((Path(__file__).parents[1] / "data").glob("*.musicxml"))
INDENTED = score(bar("\n    ".join(map(note, ("E6", "F#6", "G6")))).replace("</note>", "\n    </note>"))


def taken_out(data: bytes, codec: str = "utf-8") -> Unmarked:
    """What is left without our marks."""
    return without_own(Document(data, codec))


def everywhere(reading: ScoreReading, styles: tuple[str, ...] = STYLES) -> bytes:
    """The score with marks of these styles at every note."""
    marks = [Mark(name, "T 1 3 | 2 Eb", style) for name in reading.places for style in styles]
    return mark_score(reading.source, reading.places, marks)


@pytest.mark.parametrize("styles", thinned([(STYLES,), *(((style,),) for style in STYLES)], 4), ids="-".join)
@pytest.mark.parametrize("part", PARTS, ids=lambda path: path.stem)
def test_a_real_part_comes_back_byte_for_byte(part: Path, styles: tuple[str, ...]) -> None:
    """With marks of every style at every note, and taken out again, it is the file it was."""
    data = part.read_bytes()
    marked = everywhere(read_score(data, part.name), styles)
    assert marked != data
    assert taken_out(marked).data == data


@pytest.mark.parametrize("codec", ["utf-8", "utf-16", "latin-1"])
def test_in_every_encoding(codec: str) -> None:
    """The instructions are written in the document's own encoding and found in it."""
    text = INDENTED.decode().replace("UTF-8", codec.upper() if codec != "latin-1" else "ISO-8859-1")
    data = text.encode(codec)
    reading = read_score(data, "part.musicxml")
    marked = everywhere(reading)
    assert without_own(Document(marked, reading.source.codec)).data == data


def test_marks_put_into_marks_come_out_too() -> None:
    """A second mark goes into the elements made for the first; both come out, and nothing else."""
    first = mark_score(read(INDENTED).source, read(INDENTED).places, [Mark("P1-n2", "T")])
    both = mark_score(read(first).source, read(first).places, [Mark("P1-n2", "Tb")])
    assert both.count(b"<fingering") == 2
    assert taken_out(both).data == INDENTED
    assert taken_out(both).taken == 2


def test_an_editors_fingering_stays() -> None:
    """Also one with the very text of ours."""
    own = "<notations><technical><fingering>T 1 3 | 2 Eb</fingering></technical></notations>"
    data = score(bar(note("E6", after=own) + note("F#6")))
    marked = mark_score(read(data).source, read(data).places, [Mark("P1-n2", "T 1 3 | 2 Eb")])
    assert marked.count(b"<fingering") == 2
    assert taken_out(marked).data == data


def test_a_mark_that_was_changed_stays_and_is_told() -> None:
    """Its text is another now, or an editor's sign stands in the elements made for it."""
    marked = everywhere(read(INDENTED), ("fingering",))
    changed = marked.replace(b"2 Eb", b"3 Eb", 1)
    found = taken_out(changed)
    assert found.taken == 2
    assert len(found.changed) == 1
    assert found.data.count(b"<fingering") == 1
    assert b"3 Eb" in found.data
    assert bar_at(Document(found.data, "utf-8"), found.changed[0]) == "1"
    inside = marked.replace(b"</technical>", b"<up-bow/></technical>", 1)
    assert taken_out(inside).data.count(b"<up-bow/>") == 1


@pytest.mark.parametrize("broken", [b"<?gripway end?>", b"<?gripway mark 0000abcd?>", b"<?gripway mark x?>"])
def test_a_lone_instruction_takes_nothing_with_it(broken: bytes) -> None:
    """Halves that somebody cut apart stay; whole marks beside them come out."""
    data = INDENTED.replace(b"<part id", broken + b"<part id")
    marked = everywhere(read(data), ("lyric",))
    found = taken_out(marked).data
    assert found.count(b"<lyric") in (0, 3)
    assert broken in found


def test_the_checksum_is_of_what_stands_between() -> None:
    """What is put in can be told from what was not, by its bytes."""
    document = Document(b"", "utf-8")
    one = as_own(document, "<a/>")
    assert without_own(Document(one, "utf-8")).data == b""
    assert without_own(Document(one.replace(b"<a/>", b"<b/>"), "utf-8")).taken == 0
