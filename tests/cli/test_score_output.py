"""`gripway finger --format musicxml`: the same score with marks, and what is said beside it."""

import io
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import pytest
from music21 import converter
from tests.cli.run_gripway import FLUTE, PICCOLO, REPEATS, Answer, ask, on_a_terminal
from tests.cli.tiny_scores import fingering, note, part, score, simple
from tests.tiers import thinned

FAST = "400"
HIGH = simple("E6", "F#6", "G#6", "A6", "G#6", "F#6", "E6")
CONTAINER = b'<container><rootfiles><rootfile full-path="part.xml"/></rootfiles></container>'


def mark(data: bytes, *words: object) -> Answer:
    """The command's answer to a score piped in at a tempo that calls for other grips."""
    return ask("finger", "-", "--format", "musicxml", "--tempo", FAST, *words, stdin=data)


def fingerings(data: bytes) -> list[str]:
    """All fingerings of a score, read by Python's own XML parser."""
    return [each.text or "" for each in ET.fromstring(data).iter("fingering")]


def only_inserted(before: bytes, after: bytes) -> bool:
    """Whether every byte of the first stands, in order, in the second."""
    rest = iter(after)
    return all(byte in rest for byte in before)


def compressed(data: bytes) -> bytes:
    """A compressed MusicXML file (MusicXML 4.0, chapter on .mxl: a container names the score)."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", CONTAINER)
        archive.writestr("part.xml", data)
    return target.getvalue()


@pytest.mark.parametrize("path", thinned([PICCOLO, FLUTE, REPEATS], 3), ids=lambda path: path.stem)
@pytest.mark.parametrize("which", ["needed", "first", "every"])
def test_marking_a_real_part_only_inserts_and_is_done_once(path: Path, which: str, tmp_path: Path) -> None:
    """No byte is lost; marking the marked part again gives the same bytes."""
    words = ("--format", "musicxml", "--mark", which)
    once = ask("finger", path, *words)
    assert once.code == 0
    assert only_inserted(path.read_bytes(), once.data)
    marked = tmp_path / path.name
    marked.write_bytes(once.data)
    assert ask("finger", marked, *words).data == once.data


@pytest.mark.parametrize("style", ["fingering", "lyric", "words"])
@pytest.mark.parametrize("bracket", [(), ("--bracket",)])
def test_every_style_is_written_once(style: str, bracket: tuple[str, ...]) -> None:
    """Fingering, lyric or words, bracketed or not: the text is there, and a second run adds nothing."""
    words = ("--mark", "every", "--mark-as", style, *bracket)
    once = mark(HIGH, *words)
    tag = {"fingering": "fingering", "lyric": "text", "words": "words"}[style]
    texts = [each.text or "" for each in ET.fromstring(once.data).iter(tag)]
    assert len(texts) == 7
    assert all(text.startswith("[") == bool(bracket) for text in texts)
    assert mark(once.data, *words).data == once.data


def test_marks_are_the_grips_of_the_route() -> None:
    """With every note marked, the fingerings are the grips of the JSON, without the hand letters."""
    route = ask("finger", "-", "--tempo", FAST, "--format", "json", stdin=HIGH).json["notes"]
    shown = [each["grip"].replace("L", "").replace("R", "") for each in route]
    assert fingerings(mark(HIGH, "--mark", "every").data) == shown


def test_another_program_reads_the_marks() -> None:
    """music21, an independent reader, finds the same notes and as many fingerings."""
    marked = mark(HIGH, "--mark", "every")
    read = converter.parseData(marked.data, format="musicxml").flatten().notes
    found = [[art for art in each.articulations if "Fingering" in type(art).__name__] for each in read]
    assert [each.nameWithOctave for each in read] == ["E6", "F#6", "G#6", "A6", "G#6", "F#6", "E6"]
    assert [len(each) for each in found] == [1] * 7


def test_fingerings_in_the_source_are_left_alone() -> None:
    """A note with a fingering of its own gets no other, whatever the route says."""
    own = note("F#6", inside=fingering("2"))
    data = score(part(note("E6") + own + note("G#6")))
    assert fingerings(mark(data, "--mark", "every").data).count("2") == 1
    assert len(fingerings(mark(data, "--mark", "every").data)) == 3


def test_a_compressed_score_comes_back_compressed(tmp_path: Path) -> None:
    """An .mxl is answered by an .mxl with the marked score inside."""
    source, out = tmp_path / "part.mxl", tmp_path / "marked.mxl"
    source.write_bytes(compressed(HIGH))
    answer = ask("finger", source, "--format", "musicxml", "--tempo", FAST, "--out", out)
    assert (answer.code, answer.data) == (0, b"")
    with zipfile.ZipFile(out) as archive:
        assert archive.read("META-INF/container.xml") == CONTAINER
        assert archive.read("part.xml") == mark(HIGH).data
    piped = ask("finger", "-", "--format", "musicxml", "--tempo", FAST, stdin=compressed(HIGH))
    assert zipfile.is_zipfile(io.BytesIO(piped.data))


@pytest.mark.parametrize(
    ("packed", "out", "said"),
    [
        (True, "marked.musicxml", "is compressed like its source. Let the name end in .mxl"),
        (True, "marked.XML", "is compressed like its source. Let the name end in .mxl"),
        (False, "marked.mxl", "is not compressed, like its source. Let the name end in .musicxml or .xml"),
    ],
)
def test_a_name_that_says_another_kind_of_file_is_refused(
    packed: bool, out: str, said: str, tmp_path: Path
) -> None:
    """No program could open such a file: exit 2, nothing written."""
    source = tmp_path / "part.musicxml"
    source.write_bytes(compressed(HIGH) if packed else HIGH)
    answer = ask("finger", source, "--format", "musicxml", "--out", tmp_path / out)
    assert (answer.code, answer.data) == (2, b"")
    assert said in answer.err
    assert [path.name for path in tmp_path.iterdir()] == ["part.musicxml"]


def test_a_compressed_score_is_not_thrown_at_a_screen(tmp_path: Path) -> None:
    """On a terminal the zip is refused with the way out."""
    source = tmp_path / "part.mxl"
    source.write_bytes(compressed(HIGH))
    answer = on_a_terminal("finger", source, "--format", "musicxml")
    assert answer.code == 2
    assert "Name a file: --out marked.mxl" in answer.out
    assert b"PK" not in answer.data


def test_a_note_played_with_two_grips_is_said() -> None:
    """A repeat that plays a note with another grip than its mark says is told on standard error."""
    again = '<barline location="right"><repeat direction="backward"/></barline>'
    data = score(part(note("E6") + note("F#6") + again))
    answer = mark(data, "--mark", "every", "--pin", "2=T 1 3 | 3 Eb", "--pin", "4=T 1 3 | 2 Eb")
    assert (
        "remark: bar 1: F#6 is T 1 3 | 3 Eb the first time and T 1 3 | 2 Eb in the repeat; "
        "its mark says the first"
    ) in answer.err
    assert answer.err.count("its mark says") == 1
    assert fingerings(answer.data)[1] == "T 1 3 | 3 Eb"
    plain = score(part(note("E6") + note("F6") + note("G6") + again))
    assert "its mark says" not in mark(plain, "--mark", "every").err


def test_a_gap_is_left_unmarked() -> None:
    """A note without a grip gets no mark, its neighbours do; exit 1."""
    answer = mark(simple("E6", "G3", "F#6"), "--mark", "every")
    assert (answer.code, len(fingerings(answer.data))) == (1, 2)
