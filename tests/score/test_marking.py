"""Marks in the score: insertions only, valid, read back the same, written once."""

import io
import re
import warnings
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from music21 import converter
from tests.score.small_scores import bar, note, read, score
from tests.score.w3c_schema import schema_errors

from gripway.errors import RequestError
from gripway.model.house_style import PLACEMENTS, STYLES
from gripway.score.marking import Mark, mark_score
from gripway.score.reading.score_reading import ScoreReading, read_score

DATA = Path(__file__).parents[1] / "data"
PARTS = sorted(DATA.glob("*.musicxml"))


def only_inserted(before: bytes, after: bytes) -> bool:
    """Whether every byte of the first stands, in order, in the second."""
    rest = iter(after)
    return all(byte in rest for byte in before)


def marked(reading: ScoreReading, *marks: Mark) -> bytes:
    """The marked bytes of a reading."""
    return mark_score(reading.source, reading.places, marks)


def without_instructions(data: bytes) -> bytes:
    """A marked score without the instructions by which its marks are known (`test_own_marks.py`)."""
    return re.sub(rb"\s*<\?gripway [^?]*\?>", b"", data)


def everywhere(reading: ScoreReading) -> list[Mark]:
    """A mark of every style at every note, rest and chord member."""
    return [Mark(note_id, "T 2 & <3>", style, bracket=True) for note_id in reading.places for style in STYLES]


@pytest.fixture(scope="module", params=PARTS, ids=[file.stem for file in PARTS])
def real(request: pytest.FixtureRequest) -> ScoreReading:
    """One of the real parts."""
    return read_score(request.param.read_bytes(), request.param.name)


def test_marking_a_real_part_everywhere_only_inserts(real: ScoreReading) -> None:
    """With a mark of every style at every note, no byte of the original is lost or moved."""
    assert only_inserted(real.source.data, marked(real, *everywhere(real)))


def test_marking_brings_no_new_schema_error(real: ScoreReading) -> None:
    """The marked part is as valid as it was (W3C MusicXML 4.0 schema)."""
    assert schema_errors(marked(real, *everywhere(real))) == schema_errors(real.source.data)


def test_marking_leaves_the_notes_as_they_were(real: ScoreReading) -> None:
    """Our reader finds the same notes, now with the fingering."""
    again = read_score(marked(real, *everywhere(real)), "again.musicxml").passage
    assert [(n.id, n.pitch, n.onset_ms, n.dynamic, n.slurred) for n in again.notes] == [
        (n.id, n.pitch, n.onset_ms, n.dynamic, n.slurred) for n in real.passage.notes
    ]
    assert all(n.fingering == ("[T 2 & <3>]",) for n in again.notes)


def test_marking_twice_adds_nothing(real: ScoreReading) -> None:
    """The same marks on the marked part give the same bytes."""
    once = marked(real, *everywhere(real))
    again = read_score(once, "again.musicxml")
    assert marked(again, *everywhere(again)) == once


def test_music21_reads_the_same_notes_from_the_marked_part() -> None:
    """An independent reader finds the same pitches and offsets before and after, and our fingerings."""
    file = DATA / "boulanger_matin_piccolo.musicxml"
    reading = read_score(file.read_bytes(), file.name)
    ids = dict.fromkeys(n.id for n in reading.passage.notes)
    after = marked(reading, *[Mark(note_id, "1 3") for note_id in ids])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        old, new = (
            converter.parse(text.decode(), format="musicxml") for text in (reading.source.data, after)
        )
    old_notes, new_notes = (list(each.flatten().notes) for each in (old, new))
    assert [(n.pitch, n.offset) for n in new_notes] == [(n.pitch, n.offset) for n in old_notes]
    fingered = [n for n in new_notes if any(a.name == "fingering" for a in n.articulations)]
    assert len(fingered) == len(ids)


LAID_OUT = """<?xml version="1.0"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <note>
        <pitch><step>D</step><octave>6</octave></pitch>
        <duration>1</duration>{tail}
      </note>
    </measure>
  </part>
</score-partwise>
"""


@pytest.mark.parametrize(
    ("tail", "expected"),
    [
        (
            "",
            """
        <notations>
          <technical>
            <fingering placement="below">2</fingering>
          </technical>
        </notations>""",
        ),
        (
            '\n        <notations>\n          <slur type="start"/>\n        </notations>',
            """
        <notations>
          <slur type="start"/>
          <technical>
            <fingering placement="below">2</fingering>
          </technical>
        </notations>""",
        ),
        (
            "\n        <notations/>\n        <lyric><text>la</text></lyric>",
            """
        <notations/>
        <notations>
          <technical>
            <fingering placement="below">2</fingering>
          </technical>
        </notations>
        <lyric><text>la</text></lyric>""",
        ),
        (
            "\n        <notations><technical><fingering>1</fingering></technical></notations>",
            """
        <notations><technical><fingering>1</fingering>
            <fingering placement="below">2</fingering></technical></notations>""",
        ),
        (
            "\n        <notations><technical/></notations>",
            """
        <notations><technical/>
          <technical>
            <fingering placement="below">2</fingering>
          </technical></notations>""",
        ),
    ],
    ids=["plain", "into notations", "beside empty notations", "into technical", "beside empty technical"],
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_a_fingering_goes_where_the_schema_wants_it(tail: str, expected: str, newline: str) -> None:
    """Merged into what is there, else made, in the indentation and newline style of the file."""
    before = LAID_OUT.format(tail=tail).replace("\n", newline).encode()
    after = LAID_OUT.format(tail=expected).replace("\n", newline).encode()
    assert without_instructions(marked(read(before), Mark("P1-n1", "2"))) == after


def test_a_lyric_mark_takes_a_line_of_its_own() -> None:
    """Beside lyric 1 the mark is lyric 2; the next marks join that line."""
    lyric = "<lyric number='1'><text>la</text></lyric>"
    reading = read(score(bar(note("D6", after=lyric) + note("E6"))))
    first = marked(reading, Mark("P1-n1", "1", "lyric"))
    assert b'<lyric number="2" name="grip" placement="below"><text>1</text></lyric>' in first
    both = marked(read(first), Mark("P1-n2", "3", "lyric"))
    assert both.count(b'number="2" name="grip"') == 2


def test_words_stand_before_the_whole_chord() -> None:
    """A direction never splits a chord, even for its upper note."""
    data = score(bar(note("C6") + note("E6", before="<chord/>")))
    after = marked(read(data), Mark("P1-n2", "x", "words", "above"))
    root = etree.fromstring(without_instructions(after))
    assert [child.tag for child in root.find(".//measure")] == ["attributes", "direction", "note", "note"]


def test_a_score_on_one_line_stays_on_one_line() -> None:
    """Where there is no indentation, none is added."""
    after = marked(read(score(bar(note("D6")))), *[Mark("P1-n1", "1", style) for style in STYLES])
    assert after.count(b"\n") == score(bar(note("D6"))).count(b"\n")
    assert not schema_errors(after)


@pytest.mark.parametrize("codec", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig", "iso-8859-1"])
def test_marks_are_written_in_the_encoding_of_the_score(codec: str) -> None:
    """UTF-16 in both orders, UTF-8 with a mark, Latin-1: bytes only inserted, text read back."""
    declared = {"utf-8-sig": "UTF-8", "iso-8859-1": "ISO-8859-1"}.get(codec, "UTF-16")
    text = LAID_OUT.format(tail="").replace('"1.0"?', f'"1.0" encoding="{declared}"?')
    mark = "\ufeff" if codec in ("utf-16-le", "utf-16-be") else ""
    data = (mark + text).replace("Flute", "Flöte").encode(codec)
    after = marked(read(data), Mark("P1-n1", "T♯"))
    assert only_inserted(data, after)
    again = read(after)
    assert again.passage.notes[0].fingering == ("T♯",)
    assert again.passage.part == "Flöte"


def test_a_compressed_score_comes_back_with_only_its_score_changed() -> None:
    """Order, names and contents of all other members stay; mimetype is first and stored."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("mimetype", "application/vnd.recordare.musicxml", zipfile.ZIP_STORED)
        rootfile = '<rootfile full-path="score.xml" media-type="application/vnd.recordare.musicxml+xml"/>'
        packed.writestr("META-INF/container.xml", f"<container><rootfiles>{rootfile}</rootfiles></container>")
        packed.writestr("score.xml", score(bar(note("D6"))))
        packed.writestr("picture.png", bytes(range(256)))
    reading = read_score(target.getvalue(), "small.mxl")
    after = marked(reading, Mark("P1-n1", "1 3"))
    with zipfile.ZipFile(target) as old, zipfile.ZipFile(io.BytesIO(after)) as new:
        assert new.namelist() == old.namelist()
        assert new.infolist()[0].compress_type == zipfile.ZIP_STORED
        same = [name for name in old.namelist() if old.read(name) == new.read(name)]
        assert same == ["mimetype", "META-INF/container.xml", "picture.png"]
    assert read_score(after, "small.mxl").passage.notes[0].fingering == ("1 3",)


texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn"]), min_size=1, max_size=12)


@given(texts, st.sampled_from(STYLES), st.sampled_from(PLACEMENTS))
def test_any_text_is_escaped_and_written_once(text: str, style: str, placement: str) -> None:
    """Whatever the text, the marked score is valid, and a second marking changes nothing."""
    if not text.strip():
        return
    reading = read(score(bar(note("D6"))))
    mark = Mark("P1-n1", text, style, placement)
    once = marked(reading, mark)
    assert not schema_errors(once)
    there = "".join([*etree.fromstring(once).itertext(), *etree.fromstring(once).xpath("//image/@source")])
    assert mark.written in there
    assert marked(read(once), mark) == once


def test_marks_that_cannot_be_written_are_refused() -> None:
    """An unknown note, style, placement, or an unprintable text is a RequestError."""
    reading = read(score(bar(note("D6"))))
    with pytest.raises(RequestError, match="no note 'P1-n9'"):
        marked(reading, Mark("P1-n9", "1"))
    for wrong in ({"style": "song"}, {"placement": "left"}, {"text": " "}, {"text": "a\x00"}):
        with pytest.raises(RequestError):
            Mark(**{"note_id": "P1-n1", "text": "1", **wrong})


def test_words_stand_upright_and_small(real: ScoreReading) -> None:
    """Engravers slant words otherwise; the size of a house wins."""
    name = next(iter(real.places))
    data = marked(real, Mark(name, "[T | Eb]", "words"))
    assert b'<words font-style="normal" font-size="8">[T | Eb]</words>' in data
    data = marked(real, Mark(name, "[T | Eb]", "words", font_points=6.5))
    assert b'<words font-style="normal" font-size="6.5">[T | Eb]</words>' in data


@pytest.mark.parametrize(
    ("placement", "words", "line"),
    [("above", "56", "10"), ("below", "-68", "-50")],
)
def test_a_line_stands_between_the_staff_and_its_letters(placement: str, words: str, line: str) -> None:
    """In tenths of a staff space: letters of three lines, a line one staff space from the staff of four."""
    reading = read(score(bar(note("D6") * 2)))
    first, second = reading.places
    stacked = Mark(first, "R\n1\n2", "words", placement, until=second, distance_spaces=1)
    heights = re.findall(rb"<(\w+)[^>]*default-y=\"([-0-9.]+)\"", marked(reading, stacked))
    expected = {("words", words), ("bracket", line)}
    assert {(name.decode(), height.decode()) for name, height in heights} == expected
