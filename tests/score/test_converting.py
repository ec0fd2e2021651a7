"""ABC, MIDI, Humdrum and MEI through music21."""

import struct
import sys

import pytest

from gripway.errors import ScoreError
from gripway.score.reading.score_reading import read_score

ABC = b"X:1\nM:4/4\nL:1/4\nQ:1/4=120\nK:D\nd e f g|\n"
HUMDRUM = b"**kern\n*M4/4\n*k[f#c#]\n=1\n4dd\n4ee\n4ff#\n4gg\n==\n*-\n"
MEI = b"""<?xml version="1.0"?><mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score>
<scoreDef meter.count="4" meter.unit="4"><staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2"/>
</staffGrp></scoreDef><section><measure n="1"><staff n="1"><layer n="1"><note pname="d" oct="5" dur="4"/>
<note pname="e" oct="5" dur="4"/><note pname="f" accid="s" oct="5" dur="4"/><note pname="g" oct="5" dur="4"/>
</layer></staff></measure></section></score></mdiv></body></music></mei>"""


def midi(*numbers: int) -> bytes:
    """A standard MIDI file with a quarter note for each note number."""
    events = b"".join(bytes([0, 0x90, n, 64, 96, 0x80, n, 64]) for n in numbers) + b"\x00\xff\x2f\x00"
    return b"MThd" + struct.pack(">IHHH", 6, 0, 1, 96) + b"MTrk" + struct.pack(">I", len(events)) + events


@pytest.mark.parametrize(
    ("name", "data", "kind"),
    [
        ("a.abc", ABC, "ABC"),
        ("a.krn", HUMDRUM, "Humdrum"),
        ("a.mei", MEI, "MEI"),
        ("wide.mei", MEI.decode().replace('"?>', '" encoding="UTF-16"?>', 1).encode("utf-16"), "MEI"),
        ("no_mark.mei", MEI.decode().encode("utf-16-be"), "MEI"),
        ("wide.abc", ABC.decode().encode("utf-16"), "ABC"),
        ("a.mid", midi(74, 76, 78, 79), "MIDI"),
        ("no_suffix", midi(74, 76, 78, 79), "MIDI"),
    ],
)
def test_other_formats_are_converted_and_said(name: str, data: bytes, kind: str) -> None:
    """D5 E5 F#5 G5 in each format, with a remark naming the conversion."""
    reading = read_score(data, name)
    assert [n.pitch.number for n in reading.passage.notes] == [74, 76, 78, 79]
    assert reading.passage.remarks[0].text.startswith(f"converted from {kind}")
    assert reading.source.converted_from == kind


def test_midi_says_that_its_pitches_are_sounding() -> None:
    """Where the flute transposes, the reader must know."""
    assert "sounding" in read_score(midi(74), "a.mid").passage.remarks[0].text


@pytest.mark.parametrize(
    ("name", "data"), [("a.mid", b"MThd\x00"), ("a.krn", b"**kern\n4x\ty\n"), ("a.abc", b"?")]
)
def test_a_broken_file_is_a_score_error(name: str, data: bytes) -> None:
    """music21's complaint is passed on with the next step."""
    with pytest.raises(ScoreError, match=r"music21 cannot read.*Export the score as MusicXML"):
        read_score(data, name)


def test_entities_in_mei_are_refused() -> None:
    """Before any other parser sees them."""
    with pytest.raises(ScoreError, match="entities"):
        read_score(
            b'<!DOCTYPE mei [<!ENTITY a "a">]><mei xmlns="http://www.music-encoding.org/ns/mei"/>', "a.mei"
        )


def test_without_music21_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """The error says how to install it."""
    monkeypatch.setitem(sys.modules, "music21", None)
    with pytest.raises(ScoreError, match=r"pip install \"gripway\[scores\]\""):
        read_score(ABC, "a.abc")
