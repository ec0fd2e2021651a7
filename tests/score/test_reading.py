"""The door of the score room: every bad file is a ScoreError with place and next step."""

import io
from pathlib import Path

import pytest
from tests.score.small_scores import bar, names, note, read, score, scores

import gripway
from gripway.errors import RequestError, ScoreError
from gripway.score.reading.read_options import ReadOptions
from gripway.score.reading.score_reading import load_score, read_score

GOOD = score(bar(note("C5")))
ONE_NOTE = '<score-partwise><part id="P1"><measure number="4">{}</measure></part></score-partwise>'

BROKEN = {
    "empty": (b"", "the file is empty"),
    "blank": (b" \r\n ", "the file is empty"),
    "plain_text": (b"dear flutist", "no score gripway can read"),
    "picture": (bytes(range(256)), "no score gripway can read"),
    "web_page": (b"<html><body/></html>", "root element is <html>"),
    "cut_off": (GOOD[:300], "line 2: not well-formed XML"),
    "bad_utf8": (b"<score-partwise>\xff</score-partwise>", "line 1: not well-formed XML"),
    "no_bars": (b"<score-partwise><part-list/></score-partwise>", "has no bars"),
    "no_notes": (ONE_NOTE.format("").encode(), "has no notes"),
    "bad_duration": (
        ONE_NOTE.format("<note><rest/><duration>x</duration></note>").encode(),
        "bar 4: 'x' is not a usable number",
    ),
    "bad_divisions": (
        ONE_NOTE.format("<attributes><divisions>0</divisions></attributes>").encode(),
        "bar 4: '0' is not a usable divisions",
    ),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_score_is_an_error_with_place_and_next_step(case: str) -> None:
    """The file is named, the fault said, the next step given."""
    data, message = BROKEN[case]
    with pytest.raises(ScoreError) as caught:
        read_score(data, f"{case}.musicxml")
    assert message in str(caught.value)
    assert f"{case}.musicxml" in caught.value.place
    assert caught.value.next_step


def test_an_unreadable_pitch_is_left_out_and_said() -> None:
    """A note on step H is no stop for the rest of the part."""
    wrong = "<note><pitch><step>H</step><octave>5</octave></pitch><duration>4</duration></note>"
    passage = read_score(score(bar(wrong + note("C5"))), "x.musicxml").passage
    assert [n.id for n in passage.notes] == ["P1-n2"]
    assert passage.remarks[0].note_id == "P1-n1"


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path) -> None:
    """Neither is a traceback."""
    with pytest.raises(ScoreError, match="there is no such file"):
        load_score(tmp_path / "none.musicxml")
    with pytest.raises(ScoreError, match="this is a folder"):
        load_score(tmp_path)


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    """The source keeps the bytes of the file."""
    file = tmp_path / "one.musicxml"
    file.write_bytes(GOOD)
    reading = load_score(file)
    assert (reading.source.data, reading.source.name) == (GOOD, "one.musicxml")


def test_a_dash_reads_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    """Scores can be piped in."""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(GOOD)))
    assert load_score("-").passage.notes[0].pitch.name == "C5"


def test_a_tempo_that_is_none_is_a_bad_request() -> None:
    """Zero, negative and endless tempos are refused, and those nobody plays at, in a score and in notes."""
    for wrong in (0.0, -3.0, float("inf"), float("nan"), 4.9, 501.0, 1e300):
        for ask in (lambda tempo: ReadOptions(tempo=tempo), lambda tempo: gripway.notes("E6", tempo=tempo)):
            with pytest.raises(RequestError, match="Give 5 to 500"):
                ask(wrong)


@pytest.mark.parametrize(
    "key",
    [
        "<fifths>15</fifths>",
        "<fifths>-99</fifths>",
        "<fifths>two</fifths>",
        "<key-step>F</key-step><key-alter>0.5</key-alter>",
        "<key-step>H</key-step><key-alter>1</key-alter>",
    ],
)
def test_a_key_that_no_music_has_is_left_out_and_told(key: str) -> None:
    """The key before it stays; its bar is named. Fourteen signs are a double one on each letter."""
    odd = f"<attributes><key>{key}</key></attributes>"
    data = score(bar(note("C5"), key=2), bar(odd + note("D5"), "2"))
    reading = read(data)
    assert [each.fifths for each in reading.passage.notes] == [2, 2]
    (told,) = [each for each in reading.passage.remarks if "key signature" in each.text]
    assert (told.bar, told.text) == ("2", "a key signature that no music has was left out")
    fine = read(score(bar(note("C5"), key=14)))
    assert [each.fifths for each in fine.passage.notes] == [14]


def test_bars_are_chosen_by_their_printed_numbers() -> None:
    """One bar, a range, an open end; the first note chosen is at time 0."""
    data = score(*[bar(note(p), str(k)) for k, p in enumerate(("C5", "D5", "E5", "F5"), start=1)])
    assert names(data, bars="2") == ["D5"]
    assert names(data, bars="2-3") == ["D5", "E5"]
    assert names(data, bars="3-") == ["E5", "F5"]
    assert names(data, bars="-2") == ["C5", "D5"]
    assert read_score(data, "x", ReadOptions(bars="3-")).passage.notes[0].onset_ms == 0


def test_bar_numbers_may_be_words() -> None:
    """A pickup bar 0 and an inserted bar X1 can be asked for."""
    data = score(bar(note("C5"), "0"), bar(note("D5"), "X1"), bar(note("E5"), "1"))
    assert names(data, bars="0") == ["C5"]
    assert names(data, bars="X1-1") == ["D5", "E5"]


@pytest.mark.parametrize("wanted", ["9", "1-9", "x", "", "-"])
def test_bars_outside_the_score_name_its_first_and_last(wanted: str) -> None:
    """The error says which bars there are."""
    data = score(bar(note("C5"), "1"), bar(note("D5"), "2"))
    with pytest.raises(ScoreError, match="from 1 to 2"):
        names(data, bars=wanted)


def test_bars_the_wrong_way_round_are_refused() -> None:
    """2-1 is no range."""
    with pytest.raises(ScoreError, match="earlier bar first"):
        names(score(bar(note("C5"), "1"), bar(note("D5"), "2")), bars="2-1")


TWO = scores(("Oboe", (bar(note("C5")),)), ("Flute 1", (bar(note("D5")),)), ("Flute 2", (bar(note("E5")),)))


@pytest.mark.parametrize(
    ("wanted", "first"),
    [(None, "D5"), ("flute 2", "E5"), ("P1", "C5"), ("3", "E5"), ("oboe", "C5"), ("flute", "D5")],
)
def test_a_part_is_chosen_by_name_id_or_number(wanted: str | None, first: str) -> None:
    """Without a wish the first flute is read."""
    assert names(TWO, part=wanted) == [first]


def test_a_wrong_part_lists_the_parts() -> None:
    """The error names every part with its number."""
    with pytest.raises(ScoreError, match="1 Oboe; 2 Flute 1; 3 Flute 2"):
        names(TWO, part="Harp")


def test_the_reading_lists_the_parts_and_the_chosen_one() -> None:
    """Ids are counted by the part's place in the score, and a remark says which part was read."""
    reading = read_score(TWO, "x.musicxml")
    assert [part.name for part in reading.parts] == ["Oboe", "Flute 1", "Flute 2"]
    assert (reading.part.index, reading.passage.notes[0].id) == (2, "P2-n1")
    assert "3 parts; read part 2, Flute 1" in reading.passage.remarks[0].text
