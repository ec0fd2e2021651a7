"""Opening scores, notes and session files: the good, the damaged and the hostile."""

import base64
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from tests.every import every
from tests.tiers import thinned
from tests.web.pages import (
    ROOFTOP,
    ROOT,
    SCHUBERT,
    ask,
    client,
    error_of,
    nothing_written,
    opened,
    score_body,
)

from gripway.errors import RequestError, ScoreError
from gripway.tasks.flutes import flute
from gripway.tasks.routes import finger
from gripway.tasks.scores import read
from gripway.web import opening, work
from gripway.web.asking import asked_of
from gripway.web.size_limits import MOST_SCORE_BYTES, MOST_STEPS
from gripway.web.solver_pool import SolverPool
from gripway.web.work import OpenWork

HOSTILE = "<img src=x onerror=alert(1)><script>alert(2)</script>"


def refused(**body: Any) -> dict[str, str]:
    """The words of a refusal."""
    answer = client().post("/open", json=body)
    assert answer.status_code == 400, answer.text
    return error_of(answer)


def data(content: bytes) -> str:
    """Bytes as a request carries them."""
    return base64.b64encode(content).decode()


def test_a_score_opens_with_its_parts_bars_and_tempo() -> None:
    """Schubert's flute part (D 485, first movement): title, part, bars, the tempo of its first bar."""
    found = opened(**score_body(SCHUBERT))
    assert found["title"] == "Symphony No.5 in B-flat major"
    assert found["bars"] == ["1", "299"]
    assert [part["name"] for part in found["parts"]] == ["Flute"]
    assert found["flute"] == "concert-flute"


def test_the_part_decides_the_flute() -> None:
    """A part that sounds an octave higher opens on the piccolo, and a remark says so."""
    found = opened(**score_body(ROOT / "tests" / "data" / "boulanger_matin_piccolo.musicxml"))
    assert found["flute"] == "piccolo"
    assert any("piccolo" in remark["text"] for remark in found["remarks"])


def test_notes_open_like_a_score() -> None:
    """A line of notes becomes music of the same notes, which can be marked and taken away."""
    found = opened(notes="mf (E6 F#6) r G#6:1/4 Bb5", unit="1/8", tempo=80)
    route = ask("route", found["work"], wishes={}).json()
    assert [note["pitch"] for note in route["notes"]] == ["E6", "F#6", "G#6", "Bb5"]
    assert found["tempo"] == 80
    assert ask("engraving", found["work"], wishes={}, width_mm=120).json()["systems"]


@every(
    [
        ({"name": "a.musicxml", "data": data(b"")}, "empty"),
        ({"name": "a.pdf", "data": data(b"%PDF-1.7 ...")}, "no score"),
        ({"name": "a.musicxml", "data": data(b"<score-partwise><part>")}, "not well-formed"),
        ({"name": "a.musicxml", "data": "%%%"}, "damaged"),
        ({"name": "", "data": data(b"<a/>")}, "no name"),
        ({"name": 3, "data": data(b"<a/>")}, "3 is not a text"),
        ({"data": data(b"<a/>")}, "no name"),
        ({"name": "a.mid", "data": data(b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60")}, "MIDI"),
        ({"notes": ""}, "no note"),
        ({"notes": "r r"}, "no note"),
        ({"notes": "E6 H6"}, "H6"),
        ({"notes": "E6 " * 40_000}, "signs"),
        ({"notes": "E6 " * 5_001}, "notes"),
        ({"notes": "E6", "unit": "1/0"}, "1/0"),
        ({"notes": "E6", "tempo": "fast"}, "number"),
        ({"notes": "E6", "name": "a", "data": ""}, "one of the two"),
        ({"notes": "E6", "path": "/etc/passwd"}, "no such key"),
        ({}, "no name"),
    ]
)
def test_what_cannot_be_opened_says_why(body: dict[str, Any], words: str) -> None:
    """Every refusal has words; none is a fault."""
    error = refused(**body)
    assert words in error["what"] + error["place"]


def test_a_score_over_the_limit() -> None:
    """More bytes than the page takes: the size, the limit and what to do."""
    error = refused(name="big.musicxml", data=data(b"<" + b" " * MOST_SCORE_BYTES))
    assert "8 MiB" in error["what"]
    assert ".mxl" in error["next_step"]


def work_of(**source: str) -> OpenWork:
    """The work of a source."""
    return opening.work_of(opening.OpeningSource(**source), SolverPool())


def test_a_score_is_taken_up_to_its_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    """At the limit it is opened, a byte above it is refused: the limit told is the one that holds."""
    monkeypatch.setattr(opening, "MOST_SCORE_BYTES", 64)
    assert len(work_of(name="a.xml", data=data(b"<".ljust(64))).data) == 64
    with pytest.raises(ScoreError, match="are read"):
        work_of(name="a.xml", data=data(b"<".ljust(65)))


def test_notes_are_taken_up_to_their_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Signs and notes: at the limit they are opened, one above it is refused."""
    monkeypatch.setattr(opening, "MOST_NOTE_TEXT", 9)
    monkeypatch.setattr(opening, "MOST_NOTES", 2)
    assert work_of(notes="E6 F#6".ljust(9))
    with pytest.raises(RequestError, match="9 signs"):
        work_of(notes="E6 F#6".ljust(10))
    with pytest.raises(RequestError, match="2 notes"):
        work_of(notes="E6 F6 G6")


def test_bars_are_taken_up_to_the_most_notes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two bars of four: with eight notes at most both are open, with seven the first, with three none."""
    asked = asked_of({})
    for most, first_bars in ((8, 2), (7, 1), (4, 1), (3, 0)):
        monkeypatch.setattr(work, "MOST_NOTES", most)
        made = work_of(notes="E6 F6 G6 A6 E6 F6 G6 A6", unit="1/4")
        assert made.first_bars(asked) == (8, first_bars)
        if most == 8:
            assert len(made.reading(asked).passage.notes) == most
        else:
            with pytest.raises(RequestError, match="8 notes as played"):
                made.reading(asked)


def test_entities_are_refused() -> None:
    """Entities that grow without end (billion laughs) or point at a file: refused as they are declared."""
    for entity in ('<!ENTITY a "aaaa">', '<!ENTITY a SYSTEM "file:///etc/passwd">'):
        text = f"<!DOCTYPE s [{entity}]><score-partwise>&a;</score-partwise>"
        assert "entities" in refused(name="a.musicxml", data=data(text.encode()))["what"]


def test_a_zip_that_grows_without_measure_is_refused() -> None:
    """A small archive of very much, and one that points outside of itself."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", "<container/>")
        archive.writestr("a.musicxml", b" " * 60_000_000)
    assert "too much" in refused(name="a.mxl", data=data(packed.getvalue()))["what"]
    rootfile = '<container><rootfiles><rootfile full-path="../a.xml"/></rootfiles></container>'
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("META-INF/container.xml", rootfile)
    assert "outside" in refused(name="a.mxl", data=data(packed.getvalue()))["what"]


def test_deep_nesting_is_refused() -> None:
    """Elements without end inside each other."""
    text = "<score-partwise>" + "<a>" * 20_000 + "</a>" * 20_000 + "</score-partwise>"
    assert "nested" in refused(name="a.musicxml", data=data(text.encode()))["what"]


@pytest.mark.whole
def test_too_many_notes_as_played() -> None:
    """More notes than a request may have: the page says how many there are and asks for bars."""
    notes = "".join(
        "<note><pitch><step>E</step><octave>6</octave></pitch><duration>1</duration></note>"
        for _ in range(5_001)
    )
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        '<part id="P1"><measure number="1"><attributes><divisions>4</divisions></attributes>'
        f"{notes}</measure></part>"
        "</score-partwise>"
    )
    error = refused(name="a.musicxml", data=data(text.encode()))
    assert "5001" in error["what"]
    assert "bars" in error["next_step"]


def test_a_long_score_opens_with_its_first_bars() -> None:
    """400 bars of 16 notes are too many: it is open up to bar 312 (4992 notes), and says so."""
    one = "".join(
        "<note><pitch><step>E</step><octave>6</octave></pitch><duration>1</duration></note>"
        for _ in range(16)
    )
    divisions = "<attributes><divisions>4</divisions></attributes>"
    bars = "".join(f'<measure number="{k}">{divisions}{one}</measure>' for k in range(1, 401))
    text = (
        '<score-partwise><part-list><score-part id="P1"><part-name>Flute</part-name></score-part></part-list>'
        f'<part id="P1">{bars}</part></score-partwise>'
    )
    found = opened(name="long.musicxml", data=data(text.encode()))
    assert found["notes"] == 4992
    assert found["wishes"]["bars"] == "-312"
    assert "6400" in found["cut"]
    assert "bar 312" in found["cut"]
    assert found["written_tempo"] is None


def test_a_picture_is_refused_with_what_the_page_reads() -> None:
    """What to open instead is what the page reads: no MIDI, no ABC."""
    error = refused(name="page.png", data=data(b"\x89PNG\r\n\x1a\n" + bytes(50)))
    assert "MusicXML" in error["next_step"]
    assert "MIDI" not in error["next_step"]


def hostile_score() -> bytes:
    """The rooftop study with markup for a title, a part name, a lyric and a tempo word."""
    text = ROOFTOP.read_text(encoding="utf-8")
    bad = HOSTILE.replace("<", "&lt;")
    lyric = f"<lyric><text>{bad}</text></lyric></note>"
    words = f"<direction><direction-type><words>{bad}</words></direction-type></direction><note"
    start = text.index("<work-title>") + len("<work-title>")
    text = text[:start] + bad + text[text.index("</work-title>") :]
    at = text.index("</note>")
    text = text[:at] + lyric + text[at + len("</note>") :]
    return text.replace("<note", words, 1).encode()


@pytest.mark.whole
def test_a_hostile_title_stays_text() -> None:
    """Markup in titles, words and lyrics comes back as text; no drawing has a script or a handler."""
    found = opened(name=f"{HOSTILE}.musicxml", data=data(hostile_score()))
    assert found["title"] == HOSTILE
    drawn = ask("engraving", found["work"], wishes={}, width_mm=200).json()
    drawings = "".join(system["drawing"] for system in drawn["systems"]) + "".join(drawn["glyphs"].values())
    assert "&lt;img" in drawings
    for bad in (
        "<script",
        "<img",
        "onerror=alert(1)>",
        "foreignObject",
        "url(",
        "javascript:",
        "<style",
        "<a ",
    ):
        assert bad not in drawings
    report = ask("download/report", found["work"], wishes={}).text
    assert "<img src=x" not in report
    assert "<script>alert" not in report


@pytest.mark.whole
def test_names_of_files_are_only_shown() -> None:
    """A path for a name opens nothing and is cut to its last part; nothing is written anywhere."""
    with nothing_written(ROOT / "solver"):
        found = opened(name="../../../etc/passwd\n.musicxml", data=score_body(ROOFTOP)["data"])
        for kind in ("musicxml", "report", "csv", "player", "decisions"):
            answer = ask(f"download/{kind}", found["work"], wishes={})
            assert answer.status_code == 200
            assert "/" not in answer.headers["content-disposition"].split("filename=")[1]
    assert found["name"] == "passwd.musicxml"


def session(**changes: Any) -> dict[str, Any]:
    """A session file of the rooftop study with one wish and one step back."""
    whole = {
        "format": "gripway-session",
        "version": 1,
        "source": score_body(ROOFTOP),
        "wishes": {"tempo": 100, "bans": [{"kind": "harmonic"}]},
        "past": [{}],
        "future": [],
    }
    return whole | changes


def test_a_session_comes_back_whole() -> None:
    """Source, wishes and steps of a session file, written to JSON and read again."""
    found = opened(session=json.loads(json.dumps(session())))
    assert found["wishes"] == {"tempo": 100, "bans": [{"kind": "harmonic"}]}
    assert found["past"] == [{}]
    assert found["source"] == score_body(ROOFTOP)
    assert found["tempo"] == 100


@pytest.mark.parametrize(
    "changes",
    [
        {"format": "other"},
        {"version": 2},
        {"more": 1},
        {"source": {"path": "/etc/passwd"}},
        {"source": []},
        {"wishes": {"tempi": 1}},
        {"past": [{"tempi": 1}]},
        {"past": [{}] * (MOST_STEPS + 1)},
        {"future": {}},
    ],
)
def test_a_session_is_read_strictly(changes: dict[str, Any]) -> None:
    """Another format or version, unknown keys, wishes that are none: refused whole."""
    assert refused(session=session(**changes))["what"]


def test_a_session_that_is_no_object() -> None:
    """A list or a text is no session."""
    for bad in ([], "x", None):
        assert client().post("/open", json={"session": bad}).status_code == 400


@pytest.mark.parametrize("path", thinned([ROOFTOP, SCHUBERT], 2), ids=lambda path: path.stem)
def test_the_marked_score_only_has_insertions(path: Path) -> None:
    """What is taken away is the score's own bytes with more between them, the mark of a pin at least."""
    token = opened(**score_body(path))["work"]
    route = finger(read(path).passage, flute())
    note, other = next(
        (note, other) for note in route.notes for other in note.others if other.candidate.kind == "alternate"
    )
    wishes = {"pins": [{"note": note.note.id, "grip": other.candidate.grip.text}]}
    marked = ask("download/musicxml", token, wishes=wishes).content
    left = iter(marked)
    assert len(marked) > path.stat().st_size
    assert all(byte in left for byte in path.read_bytes())
    listed = ask("download/marks", token, wishes=wishes)
    assert 'filename="marked.marks.toml"' in listed.headers["content-disposition"]
    assert listed.text.count("fingering = ") == marked.count(b"<fingering") - path.read_bytes().count(
        b"<fingering"
    )
