"""Where another program has saved a marked score, its list tells our marks from everybody else's."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import etree
from tests.cli.house_styles import house_file
from tests.cli.run_gripway import FLUTE, PICCOLO, ask
from tests.score.small_scores import bar, note, read, score

from gripway.catalog.own_files.marks_list import marks_list_text, read_marks_list
from gripway.edition.listed_marks import AlreadyRead, listed_marks, unmarked_by_list
from gripway.errors import MarksListError
from gripway.model.house_style import STYLES
from gripway.model.listed_mark import ListedMark
from gripway.score.marking import Mark, mark_score
from gripway.score.reading.musicxml import opened_score
from gripway.score.reading.score_reading import Bare, ScoreSource, source_of

GRIP = "T 1 3 | 2 Eb"
BARS = [
    bar("".join(map(note, ("E6", "F#6", "G6")))),
    bar("".join(map(note, ("A6", "B6", "F#6"))), "2"),
]
OWN = "<notations><technical><fingering>{}</fingering></technical></notations>"


def saved(marked: bytes) -> bytes:
    """A marked score as a program saves it that keeps all but the instructions."""
    return re.sub(rb"<\?gripway[^>]*\?>", b"", marked)


def marked(styles: tuple[str, ...] = ("fingering",)) -> ScoreSource:
    """Two bars with a mark of each style on the second note and on the last."""
    reading = read(score(*BARS))
    marks = [Mark(name, GRIP, style) for name in ("P1-n2", "P1-n6") for style in styles]
    return source_of(mark_score(reading.source, reading.places, marks), "part.musicxml")


def without(data: bytes, marks: tuple[ListedMark, ...]) -> Bare:
    """What is left of a saved score."""
    return unmarked_by_list(source_of(data, "saved.musicxml"), marks)


def told(data: bytes) -> list[bytes]:
    """The text of a score element by element, blanks around them left out."""
    root = etree.fromstring(data, etree.XMLParser(remove_blank_text=True, load_dtd=False))
    return [line.strip() for line in etree.tostring(root, pretty_print=True).splitlines()]


@pytest.mark.parametrize("style", STYLES)
def test_every_style_is_found(style: str) -> None:
    """In a saved copy nothing of ours is left, and nothing else is gone."""
    source = marked((style,))
    marks = listed_marks(source)
    assert [mark.place.bar for mark in marks] == ["1", "2"]
    bare = without(saved(source.data), marks)
    assert (bare.taken, bare.remarks) == (2, ())
    assert told(bare.source.data) == told(score(*BARS))


def test_what_is_read_already_is_not_read_again() -> None:
    """A score that is open with its part read gives the same list; so does one without that part."""
    source = marked(STYLES)
    opened, reading = opened_score(source.data, source.name), read(source.data)
    marks = listed_marks(source)
    assert len(marks) == 2
    assert listed_marks(source, already=AlreadyRead(opened, [reading])) == marks
    assert listed_marks(source, already=AlreadyRead(opened, [])) == marks


def test_of_two_voices_each_is_read_for_itself() -> None:
    """A part that was read in its first voice tells nothing of the second one's marks."""
    both = bar(
        "".join(note(pitch, 4, after="<voice>1</voice>") for pitch in ("E6", "F#6"))
        + "<backup><duration>8</duration></backup>"
        + "".join(note(pitch, 4, after="<voice>2</voice>") for pitch in ("E5", "F#5"))
    )
    second = read(score(both), voice="2")
    name = second.passage.notes[1].id
    source = source_of(
        mark_score(second.source, second.places, [Mark(name, GRIP, "fingering")]), "two.musicxml"
    )
    marks = listed_marks(source)
    assert [mark.place.pitch.name for mark in marks] == ["F#5"]
    opened, first = opened_score(source.data, source.name), read(source.data)
    assert listed_marks(source, already=AlreadyRead(opened, [first])) == marks


@pytest.mark.parametrize("style", ["figures", "words", "lyrics", "stacked", "difference"])
@pytest.mark.parametrize("part", [PICCOLO, pytest.param(FLUTE, marks=pytest.mark.whole)])
def test_a_real_part_is_what_it_was(part: Path, style: str, tmp_path: Path) -> None:
    """Its marks and lines out again, element for element as it came."""
    house = ("--house-style", house_file(tmp_path, style), "--tempo", "300")
    data = ask("finger", part, *house, "--format", "musicxml").data
    source = source_of(data, "marked.musicxml")
    bare = without(saved(data), listed_marks(source))
    assert bare.taken > 2
    assert bare.remarks == ()
    assert told(bare.source.data) == told(part.read_bytes())


def test_a_list_is_read_as_it_was_written(tmp_path: Path) -> None:
    """With every kind of mark."""
    first, *others = listed_marks(marked(STYLES))
    marks = (replace(first, tempo=92.5), *others)
    assert len(marks[0].signs) == len(STYLES)
    path = tmp_path / "part.marks.toml"
    path.write_text(marks_list_text(marks), encoding="utf-8")
    assert [replace(mark, said_at="") for mark in read_marks_list(path)] == list(marks)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("[[decision]]\nbar = 1", ": decision"),
        ("[[mark]]\nbar = 1", ": mark 1: pitch"),
        ("[[mark]]\nbar = 1\npitch = 'E6'\nline = ['middle']", ": mark 1: line"),
        ("[[mark]]\nbar = 1\npitch = 'E6'\nwords = 'T'", ": mark 1: words"),
        ("[[mark]]\nbar = 1\npitch = 'E6'\ntempo = 0", ": mark 1: tempo"),
    ],
)
def test_every_mistake_in_a_list_has_its_place(text: str, place: str, tmp_path: Path) -> None:
    """File, number of the entry and key."""
    path = tmp_path / "part.marks.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(MarksListError) as caught:
        read_marks_list(path)
    assert place in str(caught.value)


def test_marks_are_found_after_a_bar_was_put_in() -> None:
    """As decisions are: by pitch, beat and neighbours."""
    source = marked()
    front = bar(note("C5")).replace('<measure number="1"', '<measure number="0"')
    data = saved(source.data).replace(b"<measure", front.encode() + b"<measure", 1)
    bare = without(data, listed_marks(source))
    assert (bare.taken, bare.remarks) == (2, ())
    assert b"<fingering" not in bare.source.data


def test_an_editors_fingering_stays_and_a_second_one_keeps_both() -> None:
    """The same text elsewhere is nobody's but theirs; beside ours it cannot be told from it."""
    source = marked()
    marks = listed_marks(source)
    elsewhere = saved(source.data).replace(b"</note>", OWN.format(GRIP).encode() + b"</note>", 1)
    bare = without(elsewhere, marks)
    assert (bare.taken, bare.remarks) == (2, ())
    assert bare.source.data.count(b"<fingering") == 1
    twice = saved(source.data).replace(
        b"</fingering>", f"</fingering><fingering>{GRIP}</fingering>".encode(), 1
    )
    bare = without(twice, marks)
    assert bare.taken == 1
    assert bare.source.data.count(b"<fingering") == 2
    (remark,) = bare.remarks
    assert (remark.bar, remark.note_id) == ("1", "P1-n2")
    assert "which is ours cannot be told" in remark.text


def test_what_was_changed_is_left_and_told() -> None:
    """A mark with another text is the editor's; a note that is another now has none of ours."""
    source = marked()
    marks = listed_marks(source)
    bare = without(saved(source.data).replace(b"2 Eb", b"3 Eb", 1), marks)
    assert bare.taken == 1
    assert b"3 Eb" in bare.source.data
    assert "is not there any more, or was changed" in bare.remarks[0].text
    other = saved(source.data).replace(b"<step>F</step>", b"<step>C</step>", 1)
    bare = without(other, marks)
    assert bare.taken == 1
    assert bare.source.data.count(b"<fingering") == 1
    assert "has no place any more" in bare.remarks[0].text
    assert bare.remarks[0].bar == "1"


def test_what_an_editor_put_beside_our_mark_stays() -> None:
    """Only what is empty then goes with it."""
    source = marked()
    data = saved(source.data).replace(b"</technical>", b"<up-bow/></technical>", 1)
    bare = without(data, listed_marks(source))
    assert bare.taken == 2
    assert bare.source.data.count(b"<technical>") == bare.source.data.count(b"<up-bow/>") == 1


def test_a_list_of_another_part_takes_nothing() -> None:
    """Its entries are told, one by one."""
    source = marked()
    marks = tuple(replace(mark, place=replace(mark.place, part="7")) for mark in listed_marks(source))
    bare = without(saved(source.data), marks)
    assert (bare.taken, bare.source.data) == (0, saved(source.data))
    assert ["no such part" in remark.text for remark in bare.remarks] == [True, True]
